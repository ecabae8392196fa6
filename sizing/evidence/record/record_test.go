package record

import (
	"context"
	"errors"
	"reflect"
	"strings"
	"testing"
	"time"

	"example.com/railbook/sizing/evidence"
	"example.com/railbook/sizing/quantity"
)

var day = time.Date(2026, 11, 20, 9, 30, 0, 0, time.UTC)

func create(t *testing.T, path string) *Record {
	t.Helper()
	r, err := Open(t.Context(), path, Create)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

func must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// TestKept: what is added comes back in every figure, from a file opened anew.
func TestKept(t *testing.T) {
	path := t.TempDir() + "/pulls.db"
	r := create(t, path)
	bare := invented(2)
	bare.Aside, bare.ID = nil, ""
	outcomes := must[[]Outcome](t)(r.Add(t.Context(), "harbour six", day, invented(1), bare))
	if want := []Outcome{Added, Added}; !reflect.DeepEqual(outcomes, want) {
		t.Errorf("outcomes %v, want %v", outcomes, want)
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	pulls := must[[]Pull](t)(must[*Record](t)(Open(t.Context(), path, Existing)).Pulls(t.Context()))
	if len(pulls) != 2 {
		t.Fatalf("%d pulls, want 2", len(pulls))
	}
	if want := (Pull{"harbour six", day, invented(1)}); !reflect.DeepEqual(pulls[0], want) {
		t.Errorf("got  %+v\nwant %+v", pulls[0], want)
	}
	if len(pulls[1].ID) != 64 {
		t.Errorf("a pull without an ID has %q, want the hash of its figures", pulls[1].ID)
	}
	pulls[1].ID = ""
	if want := (Pull{"harbour six", day, bare}); !reflect.DeepEqual(pulls[1], want) {
		t.Errorf("got  %+v\nwant %+v", pulls[1], want)
	}
}

// TestOnce: a pull is kept once, whatever its log is called, and other figures replace the
// old ones.
func TestOnce(t *testing.T) {
	r := create(t, t.TempDir()+"/pulls.db")
	p := invented(1)
	add := func(engine string, p evidence.PullSummary, want Outcome) {
		t.Helper()
		if got := must[[]Outcome](t)(r.Add(t.Context(), engine, day, p)); got[0] != want {
			t.Errorf("outcome %v, want %v", got[0], want)
		}
		pulls := must[[]Pull](t)(r.Pulls(t.Context()))
		if len(pulls) != 1 || pulls[0].Engine != engine || !reflect.DeepEqual(pulls[0].Aside, p.Aside) {
			t.Errorf("in the record: %+v", pulls)
		}
	}
	add("a", p, Added)
	add("a", p, Known)
	p.Aside = map[evidence.Reason]int{evidence.DutyPinned: 3}
	add("a", p, Revised)
	add("b", p, Revised) // an engine's name set right
	add("b", p, Known)
	p.Log = "copy of third-gear.csv"
	add("b", p, Known)
	p.Boost += quantity.PascalDiff
	if _, err := r.Add(t.Context(), "a", day, p); !errors.Is(err, ErrConflict) || !strings.Contains(err.Error(), `engine "b"`) {
		t.Errorf("another engine's pull of the same ID: %v", err)
	}

	// Without an ID the figures tell, not the name of the log.
	r = create(t, t.TempDir()+"/pulls.db")
	p.ID = ""
	add("a", p, Added)
	p.Log = "copy of third-gear.csv"
	add("a", p, Known)

	// Twice in one go.
	r = create(t, t.TempDir()+"/pulls.db")
	if got := must[[]Outcome](t)(r.Add(t.Context(), "a", day, invented(1), invented(1))); got[0] != Added || got[1] != Known {
		t.Errorf("twice in one go: %v", got)
	}
}

// TestAllOrNone: one pull that cannot be kept, and none is.
func TestAllOrNone(t *testing.T) {
	r := create(t, t.TempDir()+"/pulls.db")
	bad := invented(2)
	bad.Valves = 0
	if _, err := r.Add(t.Context(), "a", day, invented(1), bad); err == nil || !strings.HasPrefix(err.Error(), "pull 2: valves") {
		t.Errorf("error %v", err)
	}
	// A constraint of the schema stops it too, in the middle of the transaction.
	bad = invented(2)
	bad.Aside = map[evidence.Reason]int{evidence.Transient: 1}
	if _, err := r.db.ExecContext(t.Context(), "CREATE TRIGGER stop BEFORE INSERT ON aside WHEN NEW.samples = 1 BEGIN SELECT RAISE(ABORT, 'stopped'); END"); err != nil {
		t.Fatal(err)
	}
	if _, err := r.Add(t.Context(), "a", day, invented(1), bad); err == nil || !strings.Contains(err.Error(), "stopped") {
		t.Errorf("error %v", err)
	}
	if pulls := must[[]Pull](t)(r.Pulls(t.Context())); len(pulls) != 0 {
		t.Errorf("%d pulls, want none", len(pulls))
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := r.Add(ctx, "a", day, invented(1)); err == nil {
		t.Error("added though told to stop")
	}
}

// TestInjection: SQL in a text stays text.
func TestInjection(t *testing.T) {
	r := create(t, t.TempDir()+"/pulls.db")
	p := invented(1)
	p.ID, p.Log = `'); DROP TABLE pull; --`, `"x" OR 1=1`
	const engine = `Robert'); DELETE FROM pull; --`
	must[[]Outcome](t)(r.Add(t.Context(), engine, day, p, invented(2)))
	pulls := must[[]Pull](t)(r.Pulls(t.Context()))
	if len(pulls) != 2 || pulls[0].Engine != engine || pulls[0].ID != p.ID || pulls[0].Log != p.Log {
		t.Errorf("got %+v", pulls)
	}
	if gone := must[[]Pull](t)(r.Forget(t.Context(), p.ID)); len(gone) != 1 || gone[0].ID != p.ID {
		t.Errorf("forgot %+v", gone)
	}
}

func TestForget(t *testing.T) {
	r := create(t, t.TempDir()+"/pulls.db")
	var all []evidence.PullSummary
	for i, id := range []string{"abc1", "abc2", "abd", "ab"} {
		p := invented(i)
		p.ID = id
		all = append(all, p)
	}
	must[[]Outcome](t)(r.Add(t.Context(), "a", day, all...))
	for _, c := range []struct {
		ids  []string
		want string
	}{
		{[]string{"abc"}, `has 2 pulls whose ID begins with "abc"; want one`},
		{[]string{"abd", "zz"}, `has 0 pulls whose ID begins with "zz"; want one`},
		{[]string{""}, `has 0 pulls whose ID begins with ""; want one`},
	} {
		if _, err := r.Forget(t.Context(), c.ids...); err == nil || !strings.HasSuffix(err.Error(), c.want) {
			t.Errorf("forget %q: %v", c.ids, err)
		}
	}
	must[[]Pull](t)(r.Forget(t.Context(), "ab", "abc2")) // "ab" is one's whole ID
	var left []string
	for _, p := range must[[]Pull](t)(r.Pulls(t.Context())) {
		left = append(left, p.ID)
	}
	if want := []string{"abc1", "abd"}; !reflect.DeepEqual(left, want) {
		t.Errorf("left %v, want %v", left, want)
	}
	var orphans int
	if err := r.db.QueryRow("SELECT count(*) FROM aside WHERE pull NOT IN (SELECT number FROM pull)").Scan(&orphans); err != nil || orphans != 0 {
		t.Errorf("%d rows of pulls that are gone, error %v", orphans, err)
	}
}
