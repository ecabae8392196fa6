package record

import (
	"context"
	"database/sql"
	_ "embed"
	"errors"
	"fmt"
	"net/url"
	"strings"
	"time"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

var (
	// ErrNewer marks a record that a newer version of this package wrote.
	ErrNewer = errors.New("was written by a newer version")
	// ErrForeign marks a file that is no record.
	ErrForeign = errors.New("is no record of pulls")
	// ErrDamaged marks a record that is not whole.
	ErrDamaged = errors.New("is damaged")
	// ErrBusy marks a record that another process kept locked for too long.
	ErrBusy = errors.New("is in use by another process")
	// ErrMissing marks a path at which there is no file that can be opened.
	ErrMissing = errors.New("cannot be opened")
)

// applicationID marks a database as a record of pulls: "rbpl" in ASCII.
const applicationID = 0x7262706c

//go:embed schema.sql
var firstSchema string

// steps make each version of the schema from the one before. Once released, a step does
// not change any more; a new one is added behind it.
var steps = []string{firstSchema}

// patience is how long a record that another process is writing to is waited for.
const patience = 10 * time.Second

// Record is an open record. It may be used by several goroutines.
type Record struct {
	db   *sql.DB
	path string
}

// Mode says what [Open] does where there is no file.
type Mode string

const (
	Existing Mode = "rw"  // fail with [ErrMissing]
	Create   Mode = "rwc" // make an empty record
)

// Open opens the record at path. An empty file is an empty record. A record of an older
// version is brought to the present one. The error wraps one of the package's errors and
// names the path.
func Open(ctx context.Context, path string, mode Mode) (*Record, error) {
	return open(ctx, path, mode, patience, steps)
}

func open(ctx context.Context, path string, mode Mode, patience time.Duration, steps []string) (*Record, error) {
	if path == "" {
		return nil, fmt.Errorf("a record without a path %w", ErrMissing)
	}
	options := url.Values{
		"mode":    {string(mode)},
		"_pragma": {fmt.Sprintf("busy_timeout(%d)", patience.Milliseconds()), "foreign_keys(1)", "synchronous(EXTRA)", "trusted_schema(0)"},
		"_txlock": {"immediate"},
	}
	// In a URI the path needs its percent signs, question marks and hashes escaped.
	db, err := sql.Open("sqlite", "file:"+url.PathEscape(path)+"?"+options.Encode())
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	db.SetMaxOpenConns(1)
	r := &Record{db: db, path: path}
	if err := r.prepare(ctx, steps); err != nil {
		db.Close()
		return nil, r.explain(err)
	}
	return r, nil
}

// Close closes the record.
func (r *Record) Close() error { return r.explain(r.db.Close()) }

// prepare sees that the file is a record, whole, and of the present version. Before it
// knows that it is a record it changes nothing.
func (r *Record) prepare(ctx context.Context, steps []string) error {
	version, err := recognise(ctx, r.db, len(steps))
	if err != nil {
		return err
	}
	var verdict string
	if err := r.db.QueryRowContext(ctx, "PRAGMA quick_check(1)").Scan(&verdict); err != nil {
		return err
	}
	if verdict != "ok" {
		return fmt.Errorf("%w: %s", ErrDamaged, verdict)
	}
	if version == len(steps) {
		return nil
	}
	return r.change(ctx, func(tx *sql.Tx) error {
		// Another process may have been faster.
		version, err := recognise(ctx, tx, len(steps))
		if err != nil {
			return err
		}
		for _, step := range steps[version:] {
			if _, err := tx.ExecContext(ctx, step); err != nil {
				return err
			}
		}
		_, err = tx.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", applicationID, len(steps)))
		return err
	})
}

// querier is a database or a transaction.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// recognise returns the version of a record: 0 for an empty database.
func recognise(ctx context.Context, q querier, newest int) (int, error) {
	var application, version, objects int
	err := q.QueryRowContext(ctx, "SELECT (SELECT application_id FROM pragma_application_id), (SELECT user_version FROM pragma_user_version), (SELECT count(*) FROM sqlite_schema)").
		Scan(&application, &version, &objects)
	switch {
	case err != nil:
		return 0, err
	case application == 0 && version == 0 && objects == 0:
		return 0, nil
	case application != applicationID:
		return 0, fmt.Errorf("%w: it is a database of another program", ErrForeign)
	case version > newest:
		return 0, fmt.Errorf("%w: its version is %d, this program knows up to %d", ErrNewer, version, newest)
	case version < 1:
		return 0, fmt.Errorf("%w: its version is %d", ErrDamaged, version)
	}
	return version, nil
}

// change runs f in a transaction, which is rolled back where f fails.
func (r *Record) change(ctx context.Context, f func(tx *sql.Tx) error) error {
	tx, err := r.db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback() // without effect once committed
	if err := f(tx); err != nil {
		return err
	}
	return tx.Commit()
}

// explain names the path and says in the package's words what the database reports.
func (r *Record) explain(err error) error {
	if err == nil {
		return nil
	}
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return fmt.Errorf("%s %w", r.path, err)
	}
	var kind error
	switch e.Code() & 0xff { // the primary code
	case sqlite3.SQLITE_NOTADB:
		kind = ErrForeign
	case sqlite3.SQLITE_CORRUPT:
		kind = ErrDamaged
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		kind = ErrBusy
	case sqlite3.SQLITE_CANTOPEN:
		kind = ErrMissing
	default:
		return fmt.Errorf("%s: %w", r.path, err)
	}
	return fmt.Errorf("%s %w (%s)", r.path, kind, strings.TrimSpace(e.Error()))
}
