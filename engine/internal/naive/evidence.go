package naive

import (
	"math/big"
	"slices"
	"time"

	"example.com/rung/curriculum"
)

// what a trial is, once help, prompts and measures are weighed.
type what uint8

const (
	spoiled    what = iota // void
	left                   // opt-out
	noChance               // help came before the dog could try
	succeeded              // evidence
	helped                 // evidence, a miss
	didWrong               // evidence, a miss
	wasSilent              // evidence, a miss
	unreadable             // neither outcome nor a measure that decides
)

func (w what) evidence() bool { return w >= succeeded && w <= wasSilent }
func (w what) miss() bool     { return w >= helped && w <= wasSilent }

// whatIs weighs one trial, in the order: void, opt-out, early help, helped success, success, wrong, silent.
func (r *Reader) whatIs(l *line) what {
	beyond := helpBeyondPrompts(l.t, l.of.b.Steps[l.step].Prompts)
	o := l.outcomeWritten()
	if o == curriculum.NoOutcome {
		o = r.decidedByMeasures(l)
	}
	switch {
	case o == curriculum.NoOutcome:
		return unreadable
	case o == curriculum.Void:
		return spoiled
	case o == curriculum.OptOut:
		return left
	case beyond && l.t.Early:
		return noChance
	case o == curriculum.Success && beyond:
		return helped
	case o == curriculum.Success:
		return succeeded
	case o == curriculum.Wrong:
		return didWrong
	}
	return wasSilent
}

func (l *line) outcomeWritten() curriculum.Outcome { return l.t.Outcome }

// outcome tells a line that can be read from one that cannot.
func (l *line) outcome() curriculum.Outcome {
	if l.what == unreadable {
		return curriculum.NoOutcome
	}
	return curriculum.Success
}

// helpBeyondPrompts: help is what goes beyond the prompts of the step; early without any word stands for some.
func helpBeyondPrompts(t curriculum.Trial, prompts []string) bool {
	for _, h := range t.Help {
		if !slices.Contains(prompts, h) {
			return true
		}
	}
	return t.Early && len(t.Help) == 0
}

// measured is the level's ramps that a trial can carry: the measure's name, the value asked for, and whether it falls.
type measured struct {
	name    string
	asked   *big.Rat
	falling bool
}

func (r *Reader) measuredRamps(l *line) []measured {
	if len(l.t.Measures) == 0 {
		return nil // carries nothing
	}
	values := l.t.Level
	if l.rung != nil {
		values = curriculum.LevelRef(l.rung.level.Values)
	}
	var out []measured
	for _, v := range values {
		for _, ramp := range l.of.b.Steps[l.step].Ramps {
			if ramp.Of == v.Of && ramp.Measured {
				for _, asked := range l.t.Level {
					if asked.Of == v.Of && ramp.Varied && !asked.Quantity.IsZero() {
						v = asked // judged against its own value
					}
				}
				out = append(out, measured{v.Of, inUnit(v.Quantity, r.unitOf(v.Of)), ramp.Falling})
			}
		}
	}
	return out
}

// unitOf is the unit a trial's number of that name is in.
func (r *Reader) unitOf(measure string) curriculum.Unit {
	for _, m := range r.c.Measures {
		if m.Name == measure {
			return m.Unit
		}
	}
	if measure == "distance" {
		return curriculum.Metre
	}
	return curriculum.Second
}

// inUnit is a quantity as the number of a unit that a log would write: 60 cm in metres is the float nearest to 0.6, so
// that a trial that says 0.6 meets it.
func inUnit(q curriculum.Quantity, u curriculum.Unit) *big.Rat { return exactly(q.In(u)) }

func exactly(f float64) *big.Rat { return new(big.Rat).SetFloat64(f) }

func (m measured) met(v float64) bool {
	c := exactly(v).Cmp(m.asked)
	return m.falling && c <= 0 || !m.falling && c >= 0
}

// weigh counts the level's measured ramps: all, carried by the trial, and met.
func weigh(ms []measured, t curriculum.Trial) (all, carried, met int) {
	for _, m := range ms {
		if v, ok := t.Measure(m.name); ok {
			carried++
			if m.met(v) {
				met++
			}
		}
	}
	return len(ms), carried, met
}

// decidedByMeasures: all measured ramps of the level must be met; one at least must be carried.
func (r *Reader) decidedByMeasures(l *line) curriculum.Outcome {
	all, carried, met := weigh(r.measuredRamps(l), l.t)
	switch {
	case carried == 0:
		return curriculum.NoOutcome
	case met == all:
		return curriculum.Success
	}
	return curriculum.Wrong
}

// reportTrial reports what a person should know about a trial that can be read.
func (r *Reader) reportTrial(d *dog, l *line) {
	t := l.t
	all, carried, met := weigh(r.measuredRamps(l), t)
	switch {
	case t.Outcome == curriculum.NoOutcome && carried < all:
		r.report(HalfMeasured, t.Line)
	case t.Outcome == curriculum.Success && met < carried, t.Outcome == curriculum.Wrong && all > 0 && met == all:
		r.report(Disagrees, t.Line)
	}
	if t.Failed != "" && r.pieceOf(l) == "" {
		r.report(UnknownPiece, t.Line)
	} else if t.Failed != "" && l.what == succeeded {
		r.report(Disagrees, t.Line)
	}
	for _, h := range t.Help {
		if h != curriculum.UnnamedHelp && !r.declaredHelp(h) {
			r.report(UnknownHelp, t.Line)
		}
	}
	if t.Place != "" && !slices.Contains(r.c.Places, t.Place) {
		r.report(UnknownPlace, t.Line)
	}
	if t.Handler != "" && !slices.Contains(r.c.Handlers, t.Handler) {
		r.report(UnknownHand, t.Line)
	}
	for _, v := range t.Level {
		if !l.of.listed(l.step, v) {
			r.report(UnknownLevel, t.Line)
		}
	}
	for _, m := range t.Measures {
		if !r.declaredMeasure(m.Name) {
			r.report(UnknownThing, t.Line)
		}
	}
	for _, k := range d.locks {
		if !k.Strange && (len(k.Behaviours) == 0 || slices.Contains(k.Behaviours, l.of.b.Name)) {
			r.report(Locked, t.Line)
		}
	}
	if s := l.of.state(r, d, t.At); s == curriculum.Waiting || s == curriculum.Paused {
		r.report(Closed, t.Line)
	}
	if t.Step == "" && len(t.Level) == 0 && d.movedEarlier(l) {
		r.report(AfterMove, t.Line)
	}
}

func (r *Reader) declaredHelp(word string) bool {
	for _, b := range r.c.Behaviours {
		for _, s := range b.Steps {
			if slices.Contains(s.Prompts, word) || slices.Contains(s.Help, word) {
				return true
			}
		}
	}
	return false
}

func (r *Reader) declaredMeasure(name string) bool {
	return slices.Contains([]string{"latency", "duration", "distance"}, name) ||
		slices.ContainsFunc(r.c.Measures, func(m curriculum.Measure) bool { return m.Name == name })
}

// listed: some level of the step has that value.
func (p *progress) listed(step int, v curriculum.NamedValue) bool {
	return slices.ContainsFunc(p.steps[step], func(g *rung) bool {
		return g.level.Meets(curriculum.LevelRef{v}) || p.varies(step, g, curriculum.LevelRef{v})
	})
}

// movedEarlier: the behaviour moved at an earlier trial of this session; said once a behaviour and session.
func (d *dog) movedEarlier(now *line) bool {
	moved := false
	byHandBefore := func(i int) bool {
		return slices.ContainsFunc(now.of.byHand, func(h handMove) bool { return h.session == now.session && h.after <= i })
	}
	for i, l := range d.lines {
		if l.of == now.of && l.session == now.session {
			moved = moved || byHandBefore(i)
			if moved && l.t.Step == "" && len(l.t.Level) == 0 {
				return false
			}
			moved = moved || l.moved
		}
	}
	return moved || byHandBefore(len(d.lines))
}

// dayOf is the date written in a time stamp, in its own offset, as a count of days.
func dayOf(t time.Time) int {
	y, m, d := t.Date()
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}
