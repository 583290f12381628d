package engine

import "example.com/rung/curriculum"

// Note takes one event: a sign, a clear, a move by hand or a note. The error is a *LineError, as Record's.
func (f *Fold) Note(e *curriculum.Event) error {
	if f.none() {
		return ErrNoProgram
	}
	if e == nil {
		return f.refuse(line{}, CodeBadEvent, "there is no event")
	}
	ln := line{e.Source, e.Line, e.Dog}
	d, err := f.admit(ln, e.Dog, e.At)
	if err != nil {
		return err
	}
	d = f.closesFor(d, d.cur != nil && e.At.Sub(d.cur.last) >= sessionGap)
	var b *behaviour
	if e.Behaviour != "" {
		bi, ok := f.p.names[e.Behaviour]
		if !ok {
			return f.refuse(ln, CodeUnknownBehaviour, "no behaviour is called %q%s", e.Behaviour, near(e.Behaviour, f.p.behaviourNames()))
		}
		b = f.p.behaviours[bi]
	}
	switch e.Kind {
	case curriculum.SignSeen:
		if e.Sign == "" {
			return f.refuse(ln, CodeBadEvent, "the event names no sign")
		}
		f.event(d, e)
		f.sign(d, e, b, ln)
	case curriculum.SignCleared:
		if e.Sign == "" || e.By == "" {
			return f.refuse(ln, CodeBadEvent, "a clear needs the sign and the name of the person who lifts it; the lock stays")
		}
		f.event(d, e)
		f.clear(d, e, b, ln)
	case curriculum.HandMove:
		if b == nil {
			return f.refuse(ln, CodeBadEvent, "a move by hand needs a behaviour")
		}
		stage, lvl, err := f.handPlace(d, b, e, ln)
		if err != nil {
			return err
		}
		f.event(d, e)
		f.handMove(d, b, e, stage, lvl, ln)
	case curriculum.NoteTaken:
		f.event(d, e)
	default:
		return f.refuse(ln, CodeBadEvent, "no event is called %q", e.Kind)
	}
	return nil
}

// event takes note of an event that can be used.
func (f *Fold) event(d *dog, e *curriculum.Event) {
	f.begin(d, e.At)
	f.closeStale(d, e.At)
}

// handPlace is where a move by hand leads.
func (f *Fold) handPlace(d *dog, b *behaviour, e *curriculum.Event, ln line) (stage, lvl int, err error) {
	if e.Kept {
		return len(b.stages) - 1, 0, nil
	}
	if e.Step == "" {
		return 0, 0, f.refuse(ln, CodeBadEvent, "a move by hand needs a step, or kept")
	}
	stage, ok := b.steps[e.Step]
	if !ok {
		return 0, 0, f.refuse(ln, CodeUnknownStep, "%s has no step %q%s", b.src.Name, e.Step, near(e.Step, b.stepNames()))
	}
	for i, l := range d.state(b).levels(b.stages[stage]) {
		if meets(l, e.Level) {
			return stage, i, nil
		}
	}
	return 0, 0, f.refuse(ln, CodeUnknownLevel, "%s at %s has no level %s", b.src.Name, e.Step, e.Level)
}

// handMove is a trainer's decision: it may be made in any state.
func (f *Fold) handMove(d *dog, b *behaviour, e *curriculum.Event, stage, lvl int, ln line) {
	if e.By == "" {
		f.report(ln, CodeUnsigned, "the move names nobody who decided it")
	}
	st := d.state(b)
	f.moveTo(d, st, moved{from: st.place(), part: -1, at: e.At, hand: &hand{e.By, e.Note}}, stage, lvl)
	if s := d.cur; s != nil && s.open {
		s.work(st).moved = true
	}
}
