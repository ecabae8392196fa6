package record

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"

	"example.com/railbook/sizing/evidence"
)

// Outcome is what became of a pull that was added.
type Outcome uint8

const (
	Added   Outcome = iota // it is new
	Known                  // it was there with the same figures
	Revised                // it was there with other figures, or under another engine, and was replaced
)

// String returns "added", "known" or "revised".
func (o Outcome) String() string { return [...]string{"added", "known", "revised"}[o] }

// ErrConflict marks a pull that would replace another engine's by quite another.
var ErrConflict = errors.New("holds another pull of the same ID")

// Add adds the pulls of an engine, all or none. It returns what became of each. now stands
// in the record as the time at which new ones were added.
//
// The error names the first pull that cannot be kept and why, see [Check].
func (r *Record) Add(ctx context.Context, engine string, now time.Time, pulls ...evidence.PullSummary) ([]Outcome, error) {
	for i, p := range pulls {
		if err := Check(engine, p); err != nil {
			return nil, fmt.Errorf("pull %d: %w", i+1, err)
		}
	}
	outcomes := make([]Outcome, len(pulls))
	err := r.change(ctx, func(tx *sql.Tx) error {
		for i, p := range pulls {
			var err error
			if outcomes[i], err = add(ctx, tx, Pull{Engine: engine, Added: now, PullSummary: p}); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return nil, r.explain(err)
	}
	return outcomes, nil
}

func add(ctx context.Context, tx *sql.Tx, p Pull) (Outcome, error) {
	sum, err := figures(p.PullSummary)
	if err != nil {
		return 0, err
	}
	if p.ID == "" {
		p.ID = sum
	}
	outcome := Added
	added := p.Added.UTC().Format(time.RFC3339)
	var engine, old string
	switch err := tx.QueryRowContext(ctx, "SELECT engine, digest, added FROM pull WHERE id = ?", p.ID).Scan(&engine, &old, &added); {
	case err == sql.ErrNoRows:
	case err != nil:
		return 0, err
	case old == sum && engine == p.Engine:
		return Known, nil
	case old != sum && engine != p.Engine:
		return 0, fmt.Errorf("%w: %s is one of engine %q with other figures; forget it there first", ErrConflict, p.ID, engine)
	default:
		outcome = Revised
		if _, err := tx.ExecContext(ctx, "DELETE FROM pull WHERE id = ?", p.ID); err != nil {
			return 0, err
		}
	}
	result, err := tx.ExecContext(ctx, insertPull, append([]any{sum, added}, fields(columns(&p))...)...)
	if err != nil {
		return 0, err
	}
	number, err := result.LastInsertId()
	if err != nil {
		return 0, err
	}
	for reason, samples := range p.Aside {
		if _, err := tx.ExecContext(ctx, "INSERT INTO aside (pull, reason, samples) VALUES (?, ?, ?)", number, string(reason), samples); err != nil {
			return 0, err
		}
	}
	return outcome, nil
}

// Pulls returns all pulls in the order in which they were added.
func (r *Record) Pulls(ctx context.Context) ([]Pull, error) {
	pulls, err := read(ctx, r.db)
	return pulls, r.explain(err)
}

func read(ctx context.Context, q querier) ([]Pull, error) {
	rows, err := q.QueryContext(ctx, selectPulls)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var pulls []Pull
	last := int64(-1)
	for rows.Next() { // one row for each reason, or one without
		var (
			p       Pull
			number  int64
			added   string
			reason  sql.NullString
			samples sql.NullInt64
		)
		if err := rows.Scan(append([]any{&number, &added, &reason, &samples}, fields(columns(&p))...)...); err != nil {
			return nil, fmt.Errorf("%w: %w", ErrDamaged, err)
		}
		if number != last {
			last = number
			if p.Added, err = time.Parse(time.RFC3339, added); err != nil {
				return nil, fmt.Errorf("%w: %w", ErrDamaged, err)
			}
			pulls = append(pulls, p)
		}
		if reason.Valid {
			p := &pulls[len(pulls)-1]
			if p.Aside == nil {
				p.Aside = map[evidence.Reason]int{}
			}
			p.Aside[evidence.Reason(reason.String)] = int(samples.Int64)
		}
	}
	return pulls, rows.Err()
}

// Forget removes the pulls whose IDs begin with the given texts, all or none, and returns
// them. A text has to fit exactly one pull.
func (r *Record) Forget(ctx context.Context, ids ...string) ([]Pull, error) {
	var gone []Pull
	err := r.change(ctx, func(tx *sql.Tx) error {
		pulls, err := read(ctx, tx)
		if err != nil {
			return err
		}
		for _, id := range ids {
			p, err := only(pulls, id)
			if err != nil {
				return err
			}
			if _, err := tx.ExecContext(ctx, "DELETE FROM pull WHERE id = ?", p.ID); err != nil {
				return err
			}
			gone = append(gone, p)
		}
		return nil
	})
	if err != nil {
		return nil, r.explain(err)
	}
	return gone, nil
}

// only returns the one pull whose ID begins with the text.
func only(pulls []Pull, text string) (Pull, error) {
	var found []Pull
	for _, p := range pulls {
		if p.ID == text {
			return p, nil
		}
		if text != "" && strings.HasPrefix(p.ID, text) {
			found = append(found, p)
		}
	}
	if len(found) != 1 {
		return Pull{}, fmt.Errorf("has %d pulls whose ID begins with %q; want one", len(found), text)
	}
	return found[0], nil
}
