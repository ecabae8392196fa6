package evidence

import (
	"bytes"
	"io"
	"runtime"
	"strconv"
	"strings"
	"testing"
)

// longLog is a log over and over, with time going on: some rows of text for as long as is
// asked for, made as it is read.
type longLog struct {
	head  string
	rows  []string // without the first cell
	left  int
	n     int
	rate  float64
	out   []byte
	at    int
	begun bool
}

func newLongLog(t testing.TB, rows int) *longLog {
	lines := strings.SplitAfter(strings.TrimSpace(text(usual().rows(t), ",", false))+"\n", "\n")
	l := &longLog{head: lines[0], left: rows, rate: usual().rate}
	for _, line := range lines[1:] {
		if _, rest, ok := strings.Cut(line, ","); ok {
			l.rows = append(l.rows, ","+rest)
		}
	}
	return l
}

func (l *longLog) Read(p []byte) (int, error) {
	if l.at == len(l.out) {
		l.out, l.at = l.out[:0], 0
		if !l.begun {
			l.out, l.begun = append(l.out, l.head...), true
		}
		for len(l.out) < 64<<10 && l.left > 0 {
			l.out = strconv.AppendFloat(l.out, float64(l.n)/l.rate, 'f', 3, 64)
			l.out = append(l.out, l.rows[l.n%len(l.rows)]...)
			l.n++
			l.left--
		}
		if len(l.out) == 0 {
			return 0, io.EOF
		}
	}
	n := copy(p, l.out[l.at:])
	l.at += n
	return n, nil
}

// TestLongLog reads ten times the rows in no more memory: what it holds is the pulls, and
// these up to a number.
func TestLongLog(t *testing.T) {
	a, m := demo(t), mapping(t, usualMapping)
	held := func(rows int) (uint64, int) {
		log, err := Read(t.Context(), Source{Name: "long.csv", Text: newLongLog(t, rows)}, m, a)
		if err != nil {
			t.Fatal(err)
		}
		if log.Samples != rows {
			t.Fatalf("%d samples, want %d", log.Samples, rows)
		}
		var s runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&s)
		runtime.KeepAlive(log)
		return s.HeapAlloc, len(log.Pulls)
	}
	short, few := held(30_000)
	long, many := held(300_000)
	t.Logf("%d kB with %d pulls, %d kB with %d", short>>10, few, long>>10, many)
	if most := uint64((many-few)*12<<10) + 1<<20; long > short+most {
		t.Errorf("%d bytes for 300,000 rows, %d for 30,000; want at most %d more", long, short, most)
	}
}

// BenchmarkRead reads a log of twelve columns, all mapped.
func BenchmarkRead(b *testing.B) {
	a, m := demo(b), mapping(b, usualMapping)
	const rows = 200_000
	one, err := io.ReadAll(newLongLog(b, rows))
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(one)))
	for b.Loop() {
		log, err := Read(b.Context(), Source{Name: "long.csv", Text: bytes.NewReader(one)}, m, a)
		if err != nil || log.Samples != rows {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(rows*b.N)/b.Elapsed().Seconds()/1e6, "Mrows/s")
}
