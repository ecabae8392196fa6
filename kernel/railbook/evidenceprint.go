package main

import (
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/evidence"
	"example.com/railbook/sizing/quantity"
)

// mostPrinted is how many pulls of a log are printed.
const mostPrinted = 24

// printable returns the logs with no more pulls than are printed, and how many that leaves
// out.
func (j *evidenceJob) printable() (logs []*evidence.Log, left int) {
	for _, log := range j.read {
		short := *log
		if n := len(log.Pulls); n > mostPrinted {
			short.Pulls = log.Pulls[:mostPrinted]
			left += n - mostPrinted
		}
		logs = append(logs, &short)
	}
	return logs, left
}

// print prints what the logs say for a person, in the sheet's units.
func (j *evidenceJob) print() error {
	sys := j.assessment.Build.Job.Units
	logs, left := j.printable()
	out := &printer{w: j.stdout}
	out.print("%s\n%s\n", j.assessment.Build.Job.Name, folded(j.advice.Text, 90))
	for _, log := range logs {
		out.print("\n%s\n%s.\n", log.Name, log.Shape)
		if text := log.RejectedText(); text != "" {
			out.print("%s\n", text)
		}
		if log.WhyNone != "" {
			out.print("%s\n", folded(log.WhyNone, 90))
			continue
		}
		out.print("%s\n", folded(log.Rail.Text, 90))
		for _, p := range log.Pulls {
			if p.Finding != nil {
				out.print("%s\n", folded(p.Finding.Text, 90))
			}
		}
	}
	for _, t := range evidenceTables(sys, logs) {
		out.print("\n%s", t.Text())
	}
	if left > 0 {
		out.print("\n%s more; --out FILE.csv writes all.\n", plural(left, "pull"))
	}
	heading := "\nTaken for granted\n"
	said := map[string]bool{}
	for _, log := range logs {
		for _, n := range log.Notes {
			if !said[n] {
				out.print("%s- %s\n", heading, strings.ReplaceAll(folded(n, 88), "\n", "\n  "))
				heading, said[n] = "", true
			}
		}
	}
	for _, path := range []string{j.out, j.chart} {
		if path == "" {
			continue
		}
		n, err := sizeOf(path)
		if err != nil {
			return err
		}
		out.print("\n%s  %s", path, size(n))
	}
	if j.out != "" || j.chart != "" {
		out.print("\n")
	}
	out.print("\n%s\n", caution)
	return out.err
}

// evidenceTables are the tables of logs: their pulls, and of the first log with a
// consumption what its uncertainty is made of, for it is much the same in all pulls.
func evidenceTables(sys quantity.System, logs []*evidence.Log) []sizing.Table {
	var tables []sizing.Table
	if t := evidence.PullTable(sys, logs...); len(t.Rows) > 0 {
		tables = append(tables, t, evidence.ConsumptionTable(sys, logs...), evidence.AsideTable(logs...))
	}
	if p, ok := firstMeasured(logs); ok {
		tables = append(tables, p.UncertaintyTable(sys))
	}
	for _, log := range logs {
		tables = append(tables, log.ColumnTable())
	}
	return tables
}

func firstMeasured(logs []*evidence.Log) (evidence.Pull, bool) {
	for _, log := range logs {
		for _, p := range log.Pulls {
			if p.Average.Measured() {
				return p, true
			}
		}
	}
	return evidence.Pull{}, false
}

// folded sets text in lines of a width.
func folded(text string, width int) string {
	var b strings.Builder
	line := 0
	for i, word := range strings.Fields(text) {
		n := len([]rune(word))
		switch {
		case i == 0:
		case line+1+n > width:
			b.WriteByte('\n')
			line = 0
		default:
			b.WriteByte(' ')
			line++
		}
		b.WriteString(word)
		line += n
	}
	return b.String()
}
