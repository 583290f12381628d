package engine

import (
	"slices"
	"time"

	"example.com/rung/curriculum"
)

// lock is a sign that was seen and is not cleared.
type lock struct {
	sign       string
	at         time.Time
	by, note   string
	behaviours []int // none: everything
}

func (l *lock) covers(b int) bool { return len(l.behaviours) == 0 || slices.Contains(l.behaviours, b) }

// Note takes one event: a sign, a clear, a move by hand or a note. The error is a *LineError, as Record's.
func (f *Fold) Note(e *curriculum.Event) error {
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

// sign does what the curriculum says of a welfare sign. One that does not say which behaviour it was seen in locks
// everything, since a lock too many costs a question and one too few an animal's welfare.
func (f *Fold) sign(d *dog, e *curriculum.Event, b *behaviour, ln line) {
	s := f.p.signs[e.Sign]
	if s == nil {
		f.report(ln, CodeUndeclaredSign, "the curriculum declares no sign %q%s; it locks nothing", e.Sign, near(e.Sign, f.p.signNames()))
		return
	}
	l := lock{sign: e.Sign, at: e.At, by: e.By, note: e.Note}
	switch s.Locks {
	case curriculum.LockBehaviour:
		if b != nil {
			l.behaviours = []int{b.index}
		}
	case curriculum.LockNamed:
		for _, name := range s.Only {
			if bi, ok := f.p.names[name]; ok {
				l.behaviours = append(l.behaviours, bi)
			}
		}
	case curriculum.EndBehaviour:
		f.end(d, b)
		return
	case curriculum.EndSession:
		f.end(d, nil)
		return
	}
	d.locks = append(d.locks, l)
}

// end ends a behaviour for the open session, or the whole session where none is named.
func (f *Fold) end(d *dog, b *behaviour) {
	switch {
	case d.cur == nil || !d.cur.open:
	case b == nil:
		d.cur.ended = true
	default:
		d.cur.work(d.state(b)).stopped = true
	}
}

// clear lifts the locks of a sign, or those on one behaviour.
func (f *Fold) clear(d *dog, e *curriculum.Event, b *behaviour, ln line) {
	before := len(d.locks)
	d.locks = slices.DeleteFunc(d.locks, func(l lock) bool {
		return l.sign == e.Sign && (b == nil || slices.Equal(l.behaviours, []int{b.index}))
	})
	switch {
	case len(d.locks) < before:
	case slices.ContainsFunc(d.locks, func(l lock) bool { return l.sign == e.Sign && l.covers(b.index) }):
		f.report(ln, CodeNothingToClear, "the sign %q locks more than %s, so a clear for %[2]s alone lifts nothing: leave the behaviour out to lift it all", e.Sign, b.src.Name)
	default:
		f.report(ln, CodeNothingToClear, "%s has no lock by the sign %q to clear", d.name, e.Sign)
	}
}

// whileLocked reports a trial of a behaviour that a sign locks, once a session.
func (f *Fold) whileLocked(d *dog, st *state, s *session, ln line) {
	for i := range d.locks {
		if l := &d.locks[i]; l.covers(st.b.index) {
			if w := s.work(st); !w.locked {
				w.locked = true
				f.report(ln, CodeTrainedLocked, "%s was trained though the sign %q locks it and nobody cleared it", st.b.src.Name, l.sign)
			}
			return
		}
	}
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
