package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"example.com/rung/engine/history"
	"example.com/rung/engine/plan"
	"example.com/rung/engine/plan/tally"
)

// maxSheet limits a sheet in bytes: a plan is a few tens of KiB, so a longer file is something else.
const maxSheet = 8 << 20

// tallyCall turns the marks on a sheet into a log.
type tallyCall struct {
	Sheet      string   `arg:"" help:"the plan, as rung plan --format json printed it"`
	Marks      []string `required:"" sep:"none" placeholder:"MARKS" help:"what was ticked, item by item: \"1: + + -; 2: + 0\"; may be given several times"`
	At         string   `placeholder:"TIME" help:"when the session began (default: the time it was planned for)"`
	Place      string   `placeholder:"NAME" help:"where it was, if not as planned"`
	Handler    string   `placeholder:"NAME" help:"who worked the dog, if not as planned"`
	Curriculum string   `placeholder:"FILE" help:"the curriculum, for measures written with a unit"`
	Format     string   `default:"text" placeholder:"FORMAT" help:"text: a page of the tally book (the default); json: JSON Lines; csv"`
}

// Validate is called by kong once the flags are read.
func (c *tallyCall) Validate() error { return oneFormat(c.Format, "text", "json", "csv") }

func (c *tallyCall) Run(w *world) error {
	p, err := c.sheet(w)
	if err != nil {
		return err
	}
	o := tally.Options{At: p.At, Place: c.Place, Handler: c.Handler}
	if c.At != "" {
		if o.At, err = parseTime(c.At, p.At.Location()); err != nil {
			return err
		}
	}
	if c.Curriculum != "" {
		house, _, findings, err := readCurriculum(w, c.Curriculum)
		if err != nil {
			return err
		}
		if house == nil {
			w.stderr.findings(findings)
			return usagef("rung check "+c.Curriculum+" says more.", "the curriculum has faults")
		}
		o.Measures = house.Measures
	}
	entries, reports, err := tally.Entries(p, strings.Join(c.Marks, "\n"), o)
	var bad *tally.Error
	switch {
	case errors.As(err, &bad):
		return usagef(sentence(bad.Next), "%s", bad.Text)
	case err != nil:
		return err
	case len(reports) > 0:
		return usagef("Nothing was written; mend the marks and try again.", "%s", reports[0].Text)
	}
	for _, s := range tally.Surplus(p, entries) {
		w.stderr.printf("%s", wrapped(s+": all of them were taken.", "", "    "))
	}
	for _, s := range tally.Unmeasured(p, entries) {
		w.stderr.printf("%s", wrapped(s+".", "", "    "))
	}
	switch c.Format {
	case "json":
		return history.WriteJSONL(w.stdout, entries)
	case "csv":
		return history.WriteCSV(w.stdout, entries)
	default:
		// the book may be read in another zone, so only UTC, which is what is taken without an offset, goes without one
		return history.WriteTally(w.stdout, entries, time.UTC)
	}
}

// sentence makes one of a clause.
func sentence(s string) string {
	s = strings.ToUpper(s[:1]) + s[1:]
	if strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}

// sheet reads the plan.
func (c *tallyCall) sheet(w *world) (*plan.Plan, error) {
	in := w.stdin
	if c.Sheet != "-" {
		f, err := os.Open(c.Sheet)
		if err != nil {
			return nil, plainly(c.Sheet, err)
		}
		defer f.Close()
		in = f
	}
	b, err := io.ReadAll(io.LimitReader(in, maxSheet+1))
	if err != nil {
		return nil, plainly(c.Sheet, err)
	}
	const next = "Make it with rung plan --format json > sheet.json."
	if len(b) > maxSheet {
		return nil, usagef(next, "%s is too long for a plan", c.Sheet)
	}
	var p plan.Plan
	if err := json.Unmarshal(b, &p); err != nil {
		return nil, usagef(next, "%s is not a plan: %v", c.Sheet, err)
	}
	if p.Dog == "" || p.At.IsZero() {
		return nil, usagef(next, "%s is not a plan: it names no dog and no time", c.Sheet)
	}
	if len(p.Referral) > 0 {
		return nil, fmt.Errorf("this sheet holds no training for %s: a welfare sign was not cleared; what happened nevertheless belongs in a tally book", p.Dog)
	}
	return &p, nil
}
