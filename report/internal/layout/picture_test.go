package layout

import (
	"bytes"
	"testing"
)

func TestPictureErrors(t *testing.T) {
	good := picture(t, 40, 20)
	damaged := bytes.Clone(good)
	damaged[len(damaged)-25] ^= 1
	for _, c := range []struct {
		name string
		data []byte
	}{
		{"nothing", nil},
		{"not a picture", []byte("hello")},
		{"half a picture", good[:len(good)-30]},
		{"a damaged picture", damaged},
		{"higher than a page", picture(t, 20, 60)},
	} {
		if _, err := newDoc().Picture(c.data, "A picture", ""); err == nil {
			t.Errorf("%s: no error", c.name)
		}
	}
}
