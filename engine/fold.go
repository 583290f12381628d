package engine

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// ErrEarlier is in the chain of the error for a line earlier than the last one taken of its dog. Replay sorts.
var ErrEarlier = errors.New("earlier than the last line taken of this dog")

// LineError is a line of a history that cannot be used: it was not taken.
type LineError struct {
	Report
	Err error // ErrEarlier, or nil
}

// Error is the place and what is wrong.
func (e *LineError) Error() string {
	if e.Source == "" && e.Line == 0 {
		return e.Text
	}
	return fmt.Sprintf("%s:%d: %s", e.Source, e.Line, e.Text)
}

// Unwrap is ErrEarlier or nil.
func (e *LineError) Unwrap() error { return e.Err }

// Fold takes trials and events of any number of dogs one at a time, and knows at any moment where each dog stands. It is
// not safe for concurrent use.
type Fold struct {
	p       *Program
	dogs    map[string]*dog
	now     time.Time
	reports []report
	told    map[string]bool   // what is reported once
	texts   map[string]string // of reports that many lines may need

	// what the last line named
	behaviour              *behaviour
	dog                    *dog
	called, place, handler string

	ids   []string // room for the trials of moves
	marks []mark   // scratch

	trying bool // a search on copies: nothing but the rules matters

	watcher Watcher // or nil
	parts   []bool  // scratch

	// of the trial being taken
	easeDue bool
	first   bool   // of its behaviour in its session
	session uint32 // its number
	facts   expression.Facts
	day     int
	closing bool   // the rules that wait for a close are looked at
	present ending // then: the present trial
	seq     uint32
}

// NewFold begins with no trials. Dogs are the profiles known; a dog without one is known from its first line on.
func (p *Program) NewFold(dogs ...curriculum.Dog) *Fold {
	f := &Fold{p: p, dogs: map[string]*dog{}, told: map[string]bool{}, texts: map[string]string{}}
	if p.none() {
		return f
	}
	for _, profile := range dogs {
		d := p.newDog(profile.Name)
		d.profile, d.known = &profile, true
		f.dogs[profile.Name] = d
	}
	return f
}

// Record takes one trial. The error is a *LineError where the trial cannot be used; its report is also in Reports. The
// trial is not kept, but its texts are. Whether its id came before is not looked at.
func (f *Fold) Record(t *curriculum.Trial) error {
	if f.none() {
		return ErrNoProgram
	}
	if t == nil {
		return f.refuse(line{}, CodeNoOutcome, "there is no trial")
	}
	ln := line{t.Source, t.Line, t.Dog}
	b, err := f.behaviourOf(ln, t.Behaviour)
	if err != nil {
		return err
	}
	d, err := f.admit(ln, t.Dog, t.At)
	if err != nil {
		return err
	}
	if err := f.sound(ln, t); err != nil {
		return err
	}
	named := -1
	if t.Step != "" {
		var ok bool
		if named, ok = b.steps[t.Step]; !ok {
			return f.refuse(ln, CodeUnknownStep, "%s has no step %q%s", b.src.Name, t.Step, near(t.Step, b.stepNames()))
		}
	}
	if f.p.closes {
		d = f.closesFor(d, !d.goesOn(t.At, t.Session))
	}
	st := d.state(b)
	at := st
	var away *curriculum.Away
	if len(f.p.away) > 0 {
		if away = f.awayRule(d, st, t); away != nil {
			// the trial belongs where the ease will have put the dog
			eased := *st
			eased.stage, eased.level = st.below(away.Levels)
			at = &eased
		}
	}
	sp := at.spotOf(t, named)
	outcome := t.Outcome
	if outcome == curriculum.NoOutcome || sp.stage.bars && len(t.Measures) > 0 {
		if outcome, err = f.weigh(ln, t, &sp); err != nil {
			return err
		}
	}
	f.begin(d, t.At)
	s := f.join(d, t.At, t.Session, ln)
	if away != nil {
		f.easeAway(d, st, t, away)
	}
	f.declared(ln, t, &sp)
	if s.id != "" || len(s.worked) > 0 {
		f.nameless(ln, s, st, t)
	}
	k := kindOf(outcome, beyond(t, sp.stage.step), t.Early)
	if t.Failed != "" {
		f.failedPiece(ln, t, k, &sp)
	}
	f.take(d, st, s, t, k, &sp, ln)
	return nil
}

// behaviourOf is the behaviour a line names; neighbours in a log are mostly of one.
func (f *Fold) behaviourOf(ln line, name string) (*behaviour, error) {
	if f.behaviour == nil || name != f.called {
		i, ok := f.p.names[name]
		if !ok {
			return nil, f.refuse(ln, CodeUnknownBehaviour, "no behaviour is called %q%s", name, near(name, f.p.behaviourNames()))
		}
		f.behaviour, f.called = f.p.behaviours[i], name
	}
	return f.behaviour, nil
}

// sound refuses measures and outcomes that no log can hold, but a program can.
func (f *Fold) sound(ln line, t *curriculum.Trial) error {
	for i := range t.Measures {
		if m := &t.Measures[i]; math.IsNaN(m.Value) || math.IsInf(m.Value, 0) {
			return f.refuse(ln, CodeBadMeasure, "%s is measured as %v, which is no number", m.Name, m.Value)
		} else if m.Value < 0 && (m.Name == "latency" || m.Name == "duration" || m.Name == "distance") { // as in a log
			return f.refuse(ln, CodeBadMeasure, "%s is measured as %v, and cannot be below nought", m.Name, m.Value)
		}
	}
	if t.Outcome > curriculum.Void {
		return f.refuse(ln, CodeBadOutcome, "%d is no outcome", t.Outcome)
	}
	return nil
}

// admit checks what every line needs: a dog, a time, and none earlier than the dog's last.
func (f *Fold) admit(ln line, name string, at time.Time) (*dog, error) {
	if name == "" {
		return nil, f.refuse(ln, CodeNoDog, "the line names no dog")
	}
	if at.IsZero() {
		return nil, f.refuse(ln, CodeNoTime, "the line has no time")
	}
	if y := at.Year(); y < 0 || y > 9999 {
		return nil, f.refuse(ln, CodeNoTime, "the line has a time in the year %d, which no log can hold", y)
	}
	d := f.dog
	if d == nil || d.name != name {
		if d = f.dogs[name]; d == nil {
			return f.p.newDog(name), nil
		}
		f.dog = d
	}
	if d.lines && at.Before(d.at) {
		return nil, f.refuse(ln, CodeEarlier, "%s is earlier than %s, the last line taken of %s", at.Format(time.RFC3339), d.at.Format(time.RFC3339), name)
	}
	return d, nil
}

// begin takes note that a line of the dog is taken.
func (f *Fold) begin(d *dog, at time.Time) {
	if d.copied {
		d.copied = false
		f.dogs[d.name], f.dog = d, d
	}
	if !d.lines {
		f.dogs[d.name] = d
		d.known, d.lines = true, true
	}
	d.seq++
	d.at = at
	f.seq, f.day = d.seq, dayOf(at)
	if at.After(f.now) {
		f.now = at
	}
}

// spotOf is where a trial belongs.
func (st *state) spotOf(t *curriculum.Trial, named int) spot {
	sg := st.sg()
	if named >= 0 {
		sg = st.b.stages[named]
	} else if len(t.Level) == 0 {
		return spot{stage: sg, level: st.lv(), here: true}
	} else if sg.kept {
		sg = st.b.stages[sg.index-1]
	}
	return st.spot(sg, t.Level)
}

// weigh works out the outcome of a trial that its measures decide, and reports where the two disagree.
func (f *Fold) weigh(ln line, t *curriculum.Trial, sp *spot) (curriculum.Outcome, error) {
	o, carried, missing, contrary := decide(t, f.bars(sp, t.Level))
	switch {
	case t.Outcome == curriculum.NoOutcome && !carried:
		return o, f.refuse(ln, CodeNoOutcome, "the trial has neither an outcome nor a measure of its level that decides it")
	case t.Outcome == curriculum.NoOutcome && missing != "":
		f.report(ln, CodeMeasureMissing, "%s is not recorded, so the trial counts as wrong", missing)
	case contrary:
		f.report(ln, CodeDisagrees, "the outcome says %s, the measures say otherwise; the outcome stands", o)
	}
	return o, nil
}

// declared reports names that the curriculum does not declare.
func (f *Fold) declared(ln line, t *curriculum.Trial, sp *spot) {
	if t.Place == f.place || t.Place == "" {
	} else if f.p.places[t.Place] {
		f.place = t.Place
	} else {
		f.undeclared(ln, CodeUndeclaredPlace, t.Place, func() string {
			return fmt.Sprintf("the curriculum declares no place %q%s", t.Place, near(t.Place, f.p.c.Places))
		})
	}
	if t.Handler == f.handler || t.Handler == "" {
	} else if f.p.handlers[t.Handler] {
		f.handler = t.Handler
	} else {
		f.undeclared(ln, CodeUndeclaredHandler, t.Handler, func() string {
			return fmt.Sprintf("the curriculum declares no handler %q%s", t.Handler, near(t.Handler, f.p.c.Handlers))
		})
	}
	for i := range t.Measures {
		n := t.Measures[i].Name
		if n == "latency" || n == "duration" {
			continue
		}
		if _, ok := f.p.measures[n]; !ok {
			f.undeclared(ln, CodeUndeclaredMeasure, n, func() string {
				return fmt.Sprintf("the curriculum declares no measure %q%s", n, near(n, f.p.measureNames()))
			})
		}
	}
	for _, h := range t.Help {
		if !f.p.help[h] {
			f.undeclared(ln, CodeUndeclaredHelp, h, func() string {
				return fmt.Sprintf("no step names the help %q%s; the trial counts as helped", h, near(h, f.p.helpNames()))
			})
		}
	}
	if v := sp.unlisted; v != nil {
		f.report(ln, CodeUnlistedLevel, "%s has no level %s %s%s; the trial feeds no rule", sp.stage.step.Name, v.Of, v.LevelValue, sp.stage.nearLevel(v))
	}
}

// nameless reports a trial that names neither step nor level though a move came earlier in its session.
func (f *Fold) nameless(ln line, s *session, st *state, t *curriculum.Trial) {
	if t.Step != "" || len(t.Level) > 0 {
		return
	}
	at := st.work
	if st.sess != s.number {
		at = s.find(st.b.index)
	}
	if at >= 0 && s.worked[at].moved && !s.worked[at].told {
		s.worked[at].told = true
		f.reports = append(f.reports, report{Report{Source: ln.source, Line: ln.n, Dog: ln.dog, Code: CodeNoStepAfterMove}, st.lv()})
	}
}

// Take takes either a trial or an event.
func (f *Fold) Take(e *curriculum.Entry) error {
	if e == nil {
		return f.Record(nil)
	}
	if e.IsEvent {
		return f.Note(&e.Event)
	}
	return f.Record(&e.Trial)
}

// Reports is what a person should know about the lines taken and refused so far, in the order in which they came; it only
// grows.
func (f *Fold) Reports() []Report {
	if f == nil {
		return nil
	}
	return f.said()
}

// Now is the time of the latest line of any dog, zero where there is none.
func (f *Fold) Now() (t time.Time) {
	if f == nil {
		return t
	}
	return f.now
}

// Replay folds a whole history: sorted by time, ties in record order; of two lines with one id the first taken stands, a
// line that differs from it is reported. Lines that cannot be used are in Reports. Sessions stay as the lines leave
// them; now is taken by Standing and the other answers. The entries are left as they are.
func (p *Program) Replay(entries []curriculum.Entry, now time.Time, dogs ...curriculum.Dog) *Fold {
	f := p.NewFold(dogs...)
	order := make([]int, len(entries))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return entries[a].At().Compare(entries[b].At()) })
	first := map[string]int{}
	for _, i := range order {
		e := &entries[i]
		if !now.IsZero() && e.At().After(now) {
			break
		}
		if id := idOf(e); id != "" {
			if j, twin := first[id]; twin {
				f.twin(&entries[j], e)
				continue
			}
			first[id] = i
		}
		// a line that cannot be used is in the reports
		_ = f.Take(e)
	}
	return f
}
