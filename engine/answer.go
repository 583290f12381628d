package engine

import (
	"slices"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// Standing is where every dog stands at now. Sessions that are over by then are closed for the answer, not in the fold.
func (f *Fold) Standing(now time.Time) *Standing {
	s := f.empty(now)
	for _, d := range f.sorted() {
		s.Dogs = append(s.Dogs, f.dogStanding(f.asOf(d, now), now))
	}
	return s
}

// empty is a standing without dogs.
func (f *Fold) empty(now time.Time) *Standing {
	if f.none() {
		return &Standing{At: now, Dogs: []DogStanding{}, Reports: []Report{}}
	}
	s := &Standing{Curriculum: f.p.c.Name, Fingerprint: f.p.fingerprint, At: now, Dogs: []DogStanding{}, Reports: f.said()}
	if f.p.origin != f.p.fingerprint {
		s.Origin = f.p.origin
	}
	return s
}

// sorted is every known dog, by name.
func (f *Fold) sorted() []*dog {
	var out []*dog
	if f.none() {
		return nil
	}
	for _, d := range f.dogs {
		if d.known {
			out = append(out, d)
		}
	}
	slices.SortFunc(out, func(a, b *dog) int { return strings.Compare(a.name, b.name) })
	return out
}

func (f *Fold) dogStanding(d *dog, now time.Time) DogStanding {
	out := DogStanding{Dog: d.name, Behaviours: make([]BehaviourStanding, len(f.p.behaviours)), Locked: f.locked(d), Strange: slices.Clone(d.strange)}
	for i, b := range f.p.behaviours {
		out.Behaviours[i] = f.behaviourStanding(d, b, now)
	}
	return out
}

func (f *Fold) behaviourStanding(d *dog, b *behaviour, now time.Time) BehaviourStanding {
	st := d.states[b.index]
	out := BehaviourStanding{Behaviour: b.src.Name, State: f.stateOf(d, b, st, now), Moves: []Move{}, Noted: []Noted{}}
	if out.State == curriculum.Waiting || out.State == curriculum.Paused {
		out.Missing = f.missing(d, b, out.State == curriculum.Paused, now)
	}
	out.reviewing(st)
	at := place{b.stages[0].levels[0]}
	if st != nil {
		at = st.place()
		out.Trials, out.Sessions = int(st.trials), int(st.sessions)
		out.Failed, out.FailedBefore = st.pieces(), st.failedBefore
		out.Moves = st.moves.out()
		for i := range st.noted {
			out.Noted = append(out.Noted, st.noted[i].out())
		}
	}
	out.Step, out.Level = at.level.stage.step.Name, at.level.values.Texts()
	return out
}

func (f *Fold) locked(d *dog) []Lock {
	out := []Lock{}
	for _, l := range d.locks {
		o := Lock{Sign: l.sign, Written: l.written, At: l.at, By: l.by, Note: l.note}
		for _, b := range l.behaviours {
			o.Behaviours = append(o.Behaviours, f.p.behaviours[b].src.Name)
		}
		out = append(out, o)
	}
	return out
}
