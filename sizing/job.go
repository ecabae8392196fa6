package sizing

import (
	"fmt"
	"io/fs"
	"strconv"
	"strings"
	"time"

	"example.com/railbook/sizing/internal/choice"
	"example.com/railbook/sizing/quantity"
)

// Job says what the work is and whom it is for. It does not enter any result.
type Job struct {
	Name      string          `sheet:"name"`      // default "Untitled build"
	Reference string          `sheet:"reference"` // the maker's own number
	Date      string          `sheet:"date"`      // 2026-11-20; default none
	Revision  string          `sheet:"revision"`  // default the mark of the last of Build.Revisions, or "A"
	Maker     string          `sheet:"maker"`     // the shop that answers for the work
	Engineer  string          `sheet:"engineer"`  // who did it
	Customer  string          `sheet:"customer"`  // for whom
	Notes     string          `sheet:"notes"`     // free text
	Logo      string          `sheet:"logo"`      // file of a picture for reports, below the sheet's folder and with slashes; default none
	Use       Use             `sheet:"use"`       // what the vehicle is for; default not stated
	Units     quantity.System `sheet:"units"`     // for printing; default SI
	Paper     Paper           `sheet:"paper"`     // of reports; default by the units
}

// Revision is a line of the table that says how the build came to be as it is.
type Revision struct {
	Mark string `sheet:"mark,required"` // such as "B"
	Date string `sheet:"date"`          // 2026-11-20; default none
	By   string `sheet:"by"`            // who made it
	What string `sheet:"what,required"` // was changed
}

// Use says where the engine is to run, on which some rules depend. The zero value leaves
// it open.
type Use uint8

const (
	UseNotStated   Use = iota
	RoadUse            // on public roads, with whatever else
	CompetitionUse     // on closed courses only
	StationaryUse      // on a stand or in a plant
)

var uses = choice.New("a use", "not stated", "road", "competition", "stationary")

// String returns "not stated", "road", "competition" or "stationary".
func (u Use) String() string { return uses.Name(int(u)) }

// MarshalText returns String.
func (u Use) MarshalText() ([]byte, error) { return []byte(u.String()), nil }

// UnmarshalText reads the words of String in any case.
func (u *Use) UnmarshalText(text []byte) error {
	i, err := uses.Index(string(text))
	if err == nil {
		*u = Use(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (Use) Accepts() string { return uses.Accepts() }

// Paper is the paper that reports are laid out for. The zero value goes by the units.
type Paper uint8

const (
	PaperByUnits Paper = iota // letter where the units are first those of the US, else A4
	A4Paper                   // 210 mm by 297 mm, ISO 216
	LetterPaper               // 8.5 in by 11 in
)

var papers = choice.New("a paper", "by units", "a4", "letter")

// String returns "by units", "a4" or "letter".
func (p Paper) String() string { return papers.Name(int(p)) }

// MarshalText returns String.
func (p Paper) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads the words of String in any case.
func (p *Paper) UnmarshalText(text []byte) error {
	i, err := papers.Index(string(text))
	if err == nil {
		*p = Paper(i)
	}
	return err
}

// Accepts says what UnmarshalText takes.
func (Paper) Accepts() string { return papers.Accepts() }

// OfUnits is the paper itself, where p goes by the units.
func (p Paper) OfUnits(sys quantity.System) Paper {
	switch {
	case p != PaperByUnits:
		return p
	case sys.First() == quantity.US:
		return LetterPaper
	}
	return A4Paper
}

func (b *Build) checkJob(c *checker) {
	checkDate(c, "job.date", b.Job.Date)
	if logo := b.Job.Logo; logo != "" && !fs.ValidPath(logo) {
		c.add("job.logo", strconv.Quote(logo), "is not in the sheet's folder", "the name of a picture there, such as logo.png")
	}
	places := map[string]int{}
	before := ""
	for i, r := range b.Revisions {
		field := fmt.Sprintf("revisions[%d].", i+1)
		mark := strings.TrimSpace(r.Mark)
		if mark == "" {
			c.add(field+"mark", "", "is missing", `a mark such as "B"`)
		} else if at, twice := places[mark]; twice {
			c.add(field+"mark", strconv.Quote(r.Mark), fmt.Sprintf("is that of revision %d too", at), "a mark of its own")
		}
		places[mark] = i + 1
		if strings.TrimSpace(r.What) == "" {
			c.add(field+"what", "", "is missing", "what was changed, in a few words")
		}
		if checkDate(c, field+"date", r.Date) && r.Date != "" {
			if r.Date < before {
				c.add(field+"date", strconv.Quote(r.Date), "lies before that of an earlier revision, "+before, "revisions in the order they were made")
			}
			before = r.Date
		}
	}
	if n := len(b.Revisions); n > 0 && b.Job.Revision != "" {
		if last := b.Revisions[n-1].Mark; b.Job.Revision != last {
			c.add("job.revision", strconv.Quote(b.Job.Revision), "is not the last of the revisions", strconv.Quote(last)+", or leave it out")
		}
	}
}

// checkDate reports whether text is a date or empty.
func checkDate(c *checker, field, text string) bool {
	if text == "" {
		return true
	}
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		c.add(field, strconv.Quote(text), "is not a date", "year-month-day such as 2026-11-20")
		return false
	}
	return true
}
