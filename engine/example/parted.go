package example

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// diagnose says of each expectation that was not met from which trial on it could not be, which trials no rule saw, and
// why the behaviour stands where it stands.
func diagnose(p *engine.Program, s script, dogs []curriculum.Dog, run *Case) {
	for i := range run.Failures {
		f := &run.Failures[i]
		if f.expected == nil {
			continue
		}
		d := &diagnosis{p: p, s: s, dogs: dogs, e: f.expected, upTo: slices.IndexFunc(s.items, func(item curriculum.ExampleItem) bool { return item.Expect == f.expected })}
		d.replay()
		f.Parted = d.parted()
		if f.Parted == nil && len(d.idle) == 0 { // else it is known what is wrong
			d.idle = d.unsaid()
		}
		f.Idle = d.idle
		later := d.later()
		if f.expected.Noted != "" && !f.expected.Not {
			f.Found += d.elsewhere()
		}
		if d.hopeless != "" && later == "" && len(d.idle) == 0 {
			later = "; " + d.hopeless
		}
		f.Found += later
		if f.expected.Plan {
			continue // what the rules have counted says nothing about a plan
		}
		f.Why, _ = d.end.fold.WhyCounts(d.end.dog.Name, f.expected.Behaviour, d.end.now)
	}
}

// diagnosis looks at one expectation that was not met.
type diagnosis struct {
	p    *engine.Program
	s    script
	dogs []curriculum.Dog
	e    *curriculum.Expectation
	upTo int // the expectation's item

	from  int                        // trials before the last expectation of the same behaviour that was met
	stood []engine.BehaviourStanding // after so many trials, from none on
	end   *player
	idle  []string

	hopeless string // set where no trial decided it: whatever they had been they would not have been enough
}

// replay plays the script up to the expectation and remembers where the behaviour stood after each trial.
func (d *diagnosis) replay() {
	pl := newPlayer(d.p, d.s, d.dogs)
	d.end = pl
	note := func() {
		s, _ := pl.fold.Of(pl.dog.Name, d.e.Behaviour, pl.now)
		d.stood = append(d.stood[:min(len(pl.played), len(d.stood))], s)
	}
	looks := lookedAt{}
	pl.fold.Watch(looks)
	pl.after = func(pl *player) {
		note()
		d.unseen(looks)
		clear(looks)
	}
	note()
	for i := range d.upTo {
		failed := len(pl.failures)
		pl.items(d.s.items[i : i+1])
		switch e := d.s.items[i].Expect; {
		case e == nil:
			note()
		case e.Behaviour == d.e.Behaviour && e.Step != "" && len(pl.failures) == failed:
			d.from = len(pl.played)
		}
	}
}

// later is what to add where the expectation will be met once the session is over.
func (d *diagnosis) later() string {
	now := d.end.now
	defer func() { d.end.now = now }()
	d.end.now = now.Add(betweenSessions)
	if _, ok := d.end.meets(d.e); ok && d.end.tried {
		return "; it will be so once the session is over: end the session with a bar | or a line `session` before this one"
	}
	return ""
}

// elsewhere is what to add to a note that is missing where a move led to another step, whose rules are others.
func (d *diagnosis) elsewhere() string {
	last := &d.stood[len(d.stood)-1]
	moves := last.Moves[len(d.stood[0].Moves):]
	for i := len(moves) - 1; i >= 0; i-- {
		m := &moves[i]
		if m.From.Step != m.To.Step && strings.HasPrefix(m.Trial, "t") {
			return fmt.Sprintf("; trial %s moved it from %s to %s, %s%s", m.Trial[1:], d.placeOf(m.From), d.placeOf(m.To), m.Because, lineText(m.File, m.Line))
		}
	}
	return ""
}

// lookedAt is which behaviours' rules were looked at.
type lookedAt map[int]bool

// Looked notes the behaviour.
func (l lookedAt) Looked(r engine.RuleAt, _ []bool) { l[r.Behaviour] = true }

// Fired is of no interest.
func (l lookedAt) Fired(engine.RuleAt) {}

// unseen notes the trial just played if no rule saw it and the author may have meant otherwise.
func (d *diagnosis) unseen(looks lookedAt) {
	n := len(d.end.played)
	t := d.end.played[n-1]
	b := d.p.Curriculum().Behaviour(t.line.Behaviour)
	if b == nil || b != d.p.Curriculum().Behaviour(d.e.Behaviour) || t.mark.Outcome == curriculum.Void {
		return
	}
	before, now := &d.stood[n-1], &d.stood[n]
	if len(now.Moves) > len(before.Moves) || looks[slices.Index(d.p.Curriculum().Behaviours, b)] {
		return
	}
	why := ""
	switch {
	case before.State == curriculum.Waiting || before.State == curriculum.Paused:
		why = standsText(d.p.Curriculum(), before)
	case t.line.Step != "" && b.Step(t.line.Step) != b.Step(before.Step), !levelOf(before.Level).Meets(t.line.Level), before.State == curriculum.Kept && t.line.Step != "":
		why = "the dog stood at " + placeText(d.p.Curriculum(), before.Behaviour, before.Step, before.Level)
	default:
		return // a level without rules, or one that waits for the close of the session
	}
	text := fmt.Sprintf("trial %d (line %d) fed no rule: %s", n, t.pos.Line, why)
	if k := len(d.idle); k > 0 && strings.HasSuffix(d.idle[k-1], why) { // trials in a row are said once
		first, _, _ := strings.Cut(strings.TrimPrefix(strings.TrimPrefix(d.idle[k-1], "trials "), "trial "), " ")
		text = fmt.Sprintf("trials %s to %d (line %d) fed no rule: %s", first, n, t.pos.Line, why)
		d.idle = d.idle[:k-1]
	}
	d.idle = append(d.idle, text)
}

func (d *diagnosis) at(n int, format string, args ...any) *Parted {
	t := d.end.played[n-1]
	return &Parted{Trial: n, Mark: t.mark.String(), File: t.pos.File, Line: t.pos.Line, Column: t.pos.Column, Text: fmt.Sprintf(format, args...)}
}

// parted finds the trial that made the difference, nil where no single one did.
func (d *diagnosis) parted() *Parted {
	switch {
	case d.e.Plan:
		return nil
	case d.e.Noted != "":
		return d.partedNote()
	case d.e.State == curriculum.Kept:
		return d.partedPlace(float64(keptRank))
	case d.e.State != "":
		return d.partedState()
	}
	return d.partedPlace(d.rank(d.e.Step, curriculum.Level{Values: d.e.Level}, false))
}

// partedNote is the trial that was noted though it should not have been, or after which what should be noted could not be.
func (d *diagnosis) partedNote() *Parted {
	last := &d.stood[len(d.stood)-1]
	if !d.e.Not {
		if slices.ContainsFunc(last.Noted, func(n engine.Noted) bool { return n.Rule == d.e.Noted }) {
			return nil // before the last expectations
		}
		return d.decided(kinds...)
	}
	for i := d.end.noted[d.e.Behaviour]; i < len(last.Noted); i++ {
		if n := last.Noted[i]; n.Rule == d.e.Noted {
			at := 0
			if _, err := fmt.Sscanf(n.Trial, "t%d", &at); err == nil && at > 0 {
				return d.at(at, "trial %d is where %s was noted: %s%s", at, n.Rule, n.Because, lineText(n.File, n.Line))
			}
		}
	}
	return nil
}

// partedState is the trial since which the behaviour is in the state it is in.
func (d *diagnosis) partedState() *Parted {
	n := len(d.stood) - 1
	found := d.stood[n].State
	for n > 0 && d.stood[n-1].State == found {
		n--
	}
	if n == 0 {
		return d.decided(kinds...)
	}
	return d.at(n, "since trial %d it is %s; before it was %s", n, found, d.stood[n-1].State)
}

// keptRank is further than any step.
const keptRank = 1 << 20

// rank puts the places of a behaviour in order: a thousand a step, one a level; levels that a split put in lie between.
func (d *diagnosis) rank(step string, l curriculum.Level, kept bool) float64 {
	if kept {
		return keptRank
	}
	b := d.p.Curriculum().Behaviour(d.e.Behaviour)
	at := b.Step(step)
	if at < 0 {
		return math.NaN()
	}
	base := float64(at) * 1000
	levels := b.Steps[at].Levels
	for i, known := range levels {
		if known.Meets(l.Values) {
			return base + float64(i)
		}
	}
	for i, known := range levels { // before the first that is harder
		for _, v := range l.Values {
			w, ok := known.Get(v.Of)
			if !ok || v.Quantity.IsZero() || w.Quantity.IsZero() {
				continue
			}
			if c := w.Quantity.Cmp(v.Quantity); c > 0 && !falling(b.Steps[at], v.Of) || c < 0 && falling(b.Steps[at], v.Of) {
				return base + float64(i) - 0.5
			}
		}
	}
	return base - 0.5
}

func falling(s *curriculum.Step, of string) bool {
	return slices.ContainsFunc(s.Ramps, func(r curriculum.Ramp) bool { return r.Of == of && r.Falling })
}

// partedPlace is the trial whose move led away from the place that was expected, or after which it was out of reach.
func (d *diagnosis) partedPlace(want float64) *Parted {
	gap := func(i int) float64 {
		s := &d.stood[i]
		if len(d.e.Level) == 0 && d.e.Step != "" && s.State != curriculum.Kept && s.Step == d.e.Step {
			return 0 // any level of the step
		}
		return math.Abs(d.rank(s.Step, levelOf(s.Level), s.State == curriculum.Kept) - want)
	}
	last, nearest := len(d.stood)-1, d.from
	for i := d.from; i <= last; i++ {
		if gap(i) <= gap(nearest) {
			nearest = i
		}
	}
	if gap(last) <= gap(nearest) {
		return d.outOfReach(want)
	}
	for i := nearest + 1; i <= last; i++ {
		if gap(i) > gap(nearest) {
			move := ""
			if moves := d.stood[i].Moves; len(moves) > 0 {
				m := moves[len(moves)-1]
				move = fmt.Sprintf(": %s to %s, %s%s", m.Rule, d.placeOf(m.To), m.Because, lineText(m.File, m.Line))
			}
			if gap(nearest) == 0 {
				return d.at(i, "it stood there until trial %d moved it on%s", i, move)
			}
			return d.at(i, "trial %d led away from there%s", i, move)
		}
	}
	return nil
}

func (d *diagnosis) placeOf(p engine.Place) string {
	if p.Kept {
		return "kept"
	}
	return placeText(d.p.Curriculum(), d.e.Behaviour, p.Step, p.Level)
}

// outOfReach is the trial that decided a place.
func (d *diagnosis) outOfReach(want float64) *Parted {
	last := d.stood[len(d.stood)-1]
	if d.rank(last.Step, levelOf(last.Level), last.State == curriculum.Kept) > want {
		return d.decided(curriculum.Wrong)
	}
	return d.decided(curriculum.Success)
}

// kinds are what a trial of a note or a state may be replaced by.
var kinds = []curriculum.Outcome{curriculum.Silent, curriculum.Wrong, curriculum.Success, curriculum.OptOut}

// decided is the first trial after which what is expected could not be any more, though all trials behind it had gone one
// of these ways.
func (d *diagnosis) decided(ways ...curriculum.Outcome) *Parted {
	enough := "no trials of one kind, from %s, would have been enough"
	switch {
	case len(ways) > 1:
	case ways[0] == curriculum.Success:
		enough = "successes alone, from %s, would not have been enough"
	default:
		enough = "misses alone, from %s, would not have been enough"
	}
	total := len(d.end.played)
	mine := func(n int) bool { return d.end.played[n-1].line.Behaviour == d.e.Behaviour }
	reached := func(fixed int, way curriculum.Outcome) bool {
		pl := newPlayer(d.p, d.s, d.dogs)
		pl.replace = func(n int, m curriculum.Mark) curriculum.Mark {
			if n <= fixed || !mine(n) {
				return m
			}
			return curriculum.Mark{Outcome: way, Measures: m.Measures, Rewarded: m.Rewarded}
		}
		pl.items(d.s.items[:d.upTo])
		_, ok := pl.meets(d.e)
		return ok
	}
	const most = 200 // looking further back costs more than it tells
	first := 0
	for fixed := total - 1; fixed >= max(0, total-most); fixed-- {
		if !mine(fixed + 1) {
			continue
		}
		first = fixed + 1
		if !slices.ContainsFunc(ways, func(way curriculum.Outcome) bool { return reached(fixed, way) }) {
			continue
		}
		if fixed+1 == total {
			return d.at(total, "up to there it could still be reached: trial %d (%s) decided it", total, d.end.played[fixed].mark)
		}
		return d.at(fixed+1, "after trial %d (%s) it was out of reach: %s", fixed+1, d.end.played[fixed].mark, fmt.Sprintf(enough, fmt.Sprintf("here to trial %d", total)))
	}
	if first > 0 && total <= most {
		d.hopeless = fmt.Sprintf(enough, fmt.Sprintf("trial %d on", first))
	}
	return nil
}

// lineText names the line of a rule.
func lineText(file string, line int) string {
	if line == 0 {
		return ""
	}
	if file == "" {
		return fmt.Sprintf(" (line %d)", line)
	}
	return fmt.Sprintf(" (%s:%d)", file, line)
}
