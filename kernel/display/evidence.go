package display

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/kernel/display/markup"
	"example.com/railbook/report/figure"
	"example.com/railbook/sizing"
	"example.com/railbook/sizing/evidence"
)

// Measurements are logged pulls of a build. They are read when something is read off them,
// and once.
type Measurements struct {
	build   sizing.Build
	mapping string
	paths   []string

	assessment *sizing.Assessment
	logs       []*evidence.Log
	advice     evidence.Advice
}

// Evidence reads logged pulls of a build: a mapping says what the columns of the logs are.
// A log may be a pattern, as in "logs/*.csv", and paths count from the notebook's folder.
// [Show] shows what came out.
//
//	pulls := Evidence(build, "logs/dyno.toml", "logs/first.csv")
func Evidence(b sizing.Build, mapping string, logs ...string) *Measurements {
	return &Measurements{build: b, mapping: mapping, paths: logs}
}

// Logs are the logs as read, with their pulls.
func (m *Measurements) Logs() []*evidence.Log { return cell.Must(m.read()) }

// Advice is what the pulls mean for the next build sheet.
func (m *Measurements) Advice() evidence.Advice {
	m.Logs()
	return m.advice
}

// Build is the build with the consumption that was measured in place of the band.
func (m *Measurements) Build() sizing.Build {
	ad := m.Advice()
	if !ad.BSFC.Measured() {
		cell.Fail(errors.New(ad.Text))
	}
	b := m.build
	b.Fuel.BSFC = ad.BSFC.Value
	return b
}

// mostMapping is the largest mapping that is read.
const mostMapping = 1 << 20

func (m *Measurements) read() ([]*evidence.Log, error) {
	if m.logs != nil {
		return m.logs, nil
	}
	f, err := os.Open(m.mapping)
	if err != nil {
		return nil, fmt.Errorf("the mapping: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostMapping))
	if err != nil {
		return nil, fmt.Errorf("the mapping: %w", err)
	}
	meaning, err := evidence.ReadMapping(filepath.Base(m.mapping), data)
	if err != nil {
		return nil, err
	}
	if m.assessment, err = sizing.Assess(m.build); err != nil {
		return nil, err
	}
	var paths []string
	for _, p := range m.paths {
		found, err := filepath.Glob(p)
		if err != nil || len(found) == 0 {
			found = []string{p} // whose error says what is wrong
		}
		paths = append(paths, found...)
	}
	if len(paths) == 0 {
		return nil, errors.New(`no log is named; want for example Evidence(build, "logs/dyno.toml", "logs/first.csv")`)
	}
	var logs []*evidence.Log
	var pulls []evidence.Pull
	for _, path := range paths {
		log, err := readLog(path, meaning, m.assessment)
		if err != nil {
			return nil, err
		}
		logs, pulls = append(logs, log), append(pulls, log.Pulls...)
	}
	m.logs, m.advice = logs, evidence.Advise(m.assessment, pulls...)
	return logs, nil
}

func readLog(path string, m evidence.Mapping, a *sizing.Assessment) (*evidence.Log, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("the log: %w", err)
	}
	defer f.Close()
	return evidence.Read(context.Background(), evidence.Source{Name: filepath.Base(path), Text: f}, m, a)
}

// bundle shows what the pulls say in words, and their tables.
func (m *Measurements) bundle() (cell.Bundle, error) {
	logs, err := m.read()
	if err != nil {
		return nil, err
	}
	html, text := []string{markup.Verdict(m.advice.Text)}, []string{m.advice.Text}
	for _, log := range logs {
		words := log.Rail.Text
		if log.WhyNone != "" {
			words = log.WhyNone
		}
		if left := log.RejectedText(); left != "" {
			words += " " + left
		}
		words = log.Name + ": " + words
		if log.Rail.Sagged > 0 {
			html, text = append(html, markup.Caution(words)), append(text, "Caution. "+words)
		} else {
			html, text = append(html, markup.Note(words)), append(text, "Note. "+words)
		}
	}
	sys := m.build.Job.Units
	for _, t := range []sizing.Table{evidence.PullTable(sys, logs...), evidence.ConsumptionTable(sys, logs...), evidence.AsideTable(logs...)} {
		html, text = append(html, markup.Table(t)), append(text, markup.TextTable(t))
	}
	return cell.Bundle{cell.HTML: strings.Join(html, "\n"), cell.Text: strings.Join(text, "\n\n")}, nil
}

// ConsumptionOverSpeed shows measured consumption over engine speed, with the band of
// common practice.
func ConsumptionOverSpeed(m *Measurements) figure.Figure {
	logs := m.Logs()
	return cell.Must(figure.OfConsumption("consumption-over-speed", m.assessment, logs...))
}

// RailOverSpeed shows how far the rail lay from its set point over engine speed.
func RailOverSpeed(m *Measurements) figure.Figure {
	logs := m.Logs()
	return cell.Must(figure.OfRail("rail-over-speed", m.assessment, logs...))
}
