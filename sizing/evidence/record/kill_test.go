package record

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"reflect"
	"strconv"
	"testing"
	"time"
)

// writerEnv makes the test program a process that writes to the record at its value.
const writerEnv = "RAILBOOK_RECORD_WRITER"

// batch is how many pulls a writer adds at a time.
const batch = 3

func TestMain(m *testing.M) {
	if path := os.Getenv(writerEnv); path != "" {
		write(path)
		return
	}
	os.Exit(m.Run())
}

// write adds batches of pulls until it is killed, and says which are in.
func write(path string) {
	fail := func(err error) {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	fmt.Println(0)
	r, err := Open(context.Background(), path, Create)
	if err != nil {
		fail(err)
	}
	pulls, err := r.Pulls(context.Background())
	if err != nil {
		fail(err)
	}
	for n := len(pulls); ; n += batch {
		if _, err := r.Add(context.Background(), "a", day, invented(n), invented(n+1), invented(n+2)); err != nil {
			fail(err)
		}
		fmt.Println(n + batch)
	}
}

// TestKilledWriter kills a process that writes, again and again at random moments, some
// while it makes the file. Each time the record opens, is whole, holds whole batches of
// whole pulls, and all that the writer had been told were in.
func TestKilledWriter(t *testing.T) {
	rounds, files := 40, 8
	if testing.Short() {
		rounds, files = 6, 2
	}
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(6, 40))
	total, journals := 0, 0
	for file := range files {
		path := fmt.Sprintf("%s/%d.db", t.TempDir(), file)
		for round := range rounds / files {
			// Now from the start of the process, now from the first batch that is in.
			said := kill(t, program, path, round%2, time.Duration(rng.IntN(60))*time.Millisecond)
			if _, err := os.Stat(path + "-journal"); err == nil {
				journals++ // a transaction was under way
			}
			found := whole(t, path)
			if found < said || found%batch != 0 {
				t.Fatalf("%d pulls are in, the writer was told of %d", found, said)
			}
			total = max(total, found)
		}
	}
	t.Logf("up to %d pulls; %d of %d kills left a journal", total, journals, rounds)
	if total == 0 {
		t.Error("no writer lived long enough to write")
	}
}

// kill starts a writer, waits until it has said so many lines and then for the delay, kills
// it, and returns how many pulls it had been told were in.
func kill(t *testing.T, program, path string, lines int, delay time.Duration) int {
	t.Helper()
	cmd := exec.Command(program)
	cmd.Env = append(os.Environ(), writerEnv+"="+path)
	var problems bytes.Buffer
	cmd.Stderr = &problems
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	said := 0
	scanner := bufio.NewScanner(out)
	for heard := 0; scanner.Scan(); heard++ {
		if n, err := strconv.Atoi(scanner.Text()); err == nil {
			said = n
		}
		if heard == lines {
			go func() {
				time.Sleep(delay)
				cmd.Process.Kill()
			}()
		}
	}
	cmd.Wait() // it was killed
	if problems.Len() > 0 {
		t.Fatalf("the writer failed: %s", &problems)
	}
	return said
}

// whole checks a record throughout and returns how many pulls are in it.
func whole(t *testing.T, path string) int {
	t.Helper()
	r, err := Open(t.Context(), path, Create)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var verdict string
	if err := r.db.QueryRow("PRAGMA integrity_check").Scan(&verdict); err != nil || verdict != "ok" {
		t.Fatalf("integrity: %s, %v", verdict, err)
	}
	rows, err := r.db.Query("PRAGMA foreign_key_check")
	if err != nil {
		t.Fatal(err)
	}
	if rows.Next() {
		t.Fatal("a row belongs to no pull")
	}
	rows.Close()
	pulls := must[[]Pull](t)(r.Pulls(t.Context()))
	for i, p := range pulls {
		if p.Engine != "a" || !reflect.DeepEqual(p.PullSummary, invented(i)) {
			t.Fatalf("pull %d is not whole: %+v", i, p)
		}
	}
	return len(pulls)
}

// TestManyProcesses lets several processes add the same pulls to one new record at once,
// kills them all in mid-write, and finds it whole with every pull once.
func TestManyProcesses(t *testing.T) {
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	path := t.TempDir() + "/pulls.db"
	var writers []*exec.Cmd
	var problems [3]bytes.Buffer
	for i := range problems {
		cmd := exec.Command(program)
		cmd.Env = append(os.Environ(), writerEnv+"="+path)
		cmd.Stderr = &problems[i]
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		writers = append(writers, cmd)
	}
	for start := time.Now(); time.Since(start) < time.Minute; time.Sleep(20 * time.Millisecond) {
		if info, err := os.Stat(path); err == nil && info.Size() > 64<<10 {
			break // some hundred pulls
		}
	}
	for i, cmd := range writers {
		cmd.Process.Kill()
		cmd.Wait() // it was killed
		if problems[i].Len() > 0 {
			t.Errorf("a writer failed: %s", &problems[i])
		}
	}
	if found := whole(t, path); found < 2*batch || found%batch != 0 {
		t.Errorf("%d pulls are in", found)
	}
}
