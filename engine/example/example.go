// Package example runs the examples that a curriculum has in its text, as tests of its rules.
//
// An example is a small history of one dog and what should come of it. Run plays each of them, and each row of its
// tables, on a fold of its own: the first day is always a Monday, a trial comes every twenty seconds and a session on
// the same day half an hour after the one before, so the answer is always the same. It says which expectations were
// not met and why, and which rules no example ever fired.
//
// Suggest writes examples for the rules that none fires. Doubt changes the rules one number at a time and says which
// changes no example notices.
//
// The package reads no clock and draws nothing at random. Its functions are safe for concurrent use.
package example

import (
	"fmt"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// FirstDay is when every example begins: a Monday morning.
var FirstDay = time.Date(2026, time.March, 2, 8, 0, 0, 0, time.UTC)

// Options says what examples are run with. The zero value runs all of them.
type Options struct {
	Dogs []curriculum.Dog // profiles that an example's `dog` line may name
	Only string           // examples whose name has this in it, whatever the case; "" for all
}

// Result is what came of a curriculum's examples. Its JSON form is what `rung try --format json` prints for a file.
type Result struct {
	Passed int    `json:"passed"`
	Failed int    `json:"failed"`
	Cases  []Case `json:"examples"`
	Rules  Rules  `json:"rules"`
}

// Case is one example, or one row of its tables, as it was played.
type Case struct {
	Name     string    `json:"name"`
	Row      int       `json:"row,omitempty"` // of the example's table, from 1; 0 for the example itself
	File     string    `json:"file,omitempty"`
	Line     int       `json:"line,omitempty"`
	Passed   bool      `json:"passed"`
	Trials   int       `json:"trials"`
	Failures []Failure `json:"failures,omitempty"`

	looked map[engine.RuleAt]bool
}

// Title is the example's name, and the row.
func (r *Case) Title() string {
	if r.Row == 0 {
		return r.Name
	}
	return fmt.Sprintf("%s (row %d)", r.Name, r.Row)
}

// Failure is an expectation that was not met, or a line that could not be played.
type Failure struct {
	File     string      `json:"file,omitempty"`
	Line     int         `json:"line,omitempty"`
	Column   int         `json:"column,omitempty"`
	Expected string      `json:"expected,omitempty"` // in the language's own spelling; "" for a line that could not be played
	Found    string      `json:"found"`              // what is so instead, in words
	Parted   *Parted     `json:"parted,omitempty"`   // nil where no one trial made the difference
	Idle     []string    `json:"idle,omitempty"`     // trials that no rule saw, and why; or what none says though a rule asks; in words
	Why      *engine.Why `json:"why,omitempty"`      // of the behaviour at that moment

	expected *curriculum.Expectation
}

// Parted is the first trial from which on what was expected could not be, or the one that undid it.
type Parted struct {
	Trial  int    `json:"trial"` // among the trials of the run, from 1
	Mark   string `json:"mark"`
	File   string `json:"file,omitempty"`
	Line   int    `json:"line,omitempty"`
	Column int    `json:"column,omitempty"`
	Text   string `json:"text"`
}

// Run plays the examples of p's curriculum. Where p is nil there are none.
func Run(p *engine.Program, opts Options) *Result {
	if p.Curriculum() == nil {
		return &Result{Cases: []Case{}}
	}
	cov := newCoverage(p)
	r := &Result{Cases: []Case{}}
	for _, c := range casesOf(p.Curriculum(), opts.Only) {
		run := play(p, c, opts.Dogs, cov)
		if !run.Passed {
			diagnose(p, c, opts.Dogs, &run)
			r.Failed++
		} else {
			r.Passed++
		}
		r.Cases = append(r.Cases, run)
	}
	r.Rules = rulesOf(cov.rules())
	return r
}

// script is what is played for one example or one row: its lines in order.
type script struct {
	name  string
	row   int
	pos   curriculum.Pos
	items []curriculum.ExampleItem
}

// casesOf lists what there is to play: each example by itself where it expects something or has no table, then its rows.
func casesOf(c *curriculum.Curriculum, only string) (out []script) {
	for i := range c.Examples {
		e := &c.Examples[i]
		if !strings.Contains(strings.ToLower(e.Name), strings.ToLower(only)) {
			continue
		}
		out = append(out, scriptsOf(e)...)
	}
	return out
}

func scriptsOf(e *curriculum.Example) (out []script) {
	whole := script{name: e.Name, pos: e.Pos}
	expects, row := false, 0
	var rows []script
	for _, item := range e.Items {
		if item.Case == nil {
			whole.items = append(whole.items, item)
			expects = expects || item.Expect != nil
			continue
		}
		row++
		s := script{name: e.Name, row: row, pos: item.Pos}
		for _, before := range whole.items {
			if before.Expect == nil {
				s.items = append(s.items, before)
			}
		}
		s.items = append(s.items, curriculum.ExampleItem{Trials: &item.Case.ExampleTrials, Pos: item.Pos})
		for i := range item.Case.Then {
			then := &item.Case.Then[i]
			s.items = append(s.items, curriculum.ExampleItem{Expect: then, Pos: then.Pos})
		}
		rows = append(rows, s)
	}
	if expects || row == 0 {
		out = append(out, whole)
	}
	return append(out, rows...)
}
