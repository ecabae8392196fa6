package near

import "testing"

func TestDistance(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"", "fuel", 4}, {"fuel", "", 4}, {"fuel", "fuel", 0},
		{"nmae", "name", 2}, {"speed", "spede", 2}, {"boost", "bost", 1},
		{"kitten", "sitting", 3}, // the usual textbook example
	} {
		if got := Distance(tt.a, tt.b); got != tt.want {
			t.Errorf("Distance(%q, %q) = %d, want %d", tt.a, tt.b, got, tt.want)
		}
	}
}
