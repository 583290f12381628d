package engine

import (
	"slices"
	"time"
)

// snapshot is what a further trial of the behaviour can change.
type snapshot struct {
	st  state
	cur session
	at  time.Time
	met []uint64
}

// put sets the searcher's fold to a snapshot, copying what trials change in place. Marks and trail are scratch.
func (s *searcher) put(from *snapshot) *state {
	st := from.st
	st.slots, st.groups = slices.Clone(from.st.slots), cloneGroups(from.st.groups)
	s.d.states[s.b.index] = &st
	cur := from.cur
	cur.worked = slices.Clone(cur.worked)
	s.d.cur = &cur
	if cur.number == 0 {
		s.d.cur = nil
	}
	s.f.session = 0
	if cur.open {
		s.f.session = cur.number
	}
	s.d.at, s.d.met = from.at, slices.Clone(from.met)
	s.d.ids = map[string]*session{}
	s.f.reports = nil
	return &st
}

func (s *searcher) get(st *state) snapshot {
	return snapshot{st: *st, cur: *s.d.cur, at: s.d.at, met: s.d.met}
}

// outcomeOf is what a trial did to the rule that is looked for.
type outcomeOf uint8

const (
	nothing outcomeOf = iota
	fired
	elsewhere // another rule moved the dog
)

// play takes one more trial.
func (s *searcher) play(st *state, l *letter, r *rule) outcomeOf {
	t := l.trial
	t.Dog, t.Behaviour = s.d.name, s.b.src.Name
	t.At = s.d.at.Add(20*time.Second + l.later)
	t.ID = "next"
	if s.d.cur != nil && s.d.cur.open && l.later == 0 {
		t.Session = s.d.cur.id
	}
	moves, notes := st.moves.n, len(st.noted)
	if err := s.f.Record(&t); err != nil {
		return elsewhere
	}
	for _, n := range st.noted[notes:] {
		if n.rule == r {
			return fired
		}
	}
	if st.moves.n > moves {
		if st.moves.last() == r {
			return fired
		}
		return elsewhere
	}
	if r.closing && s.least(&r.when, st) == 0 {
		return s.closes(r, moves, notes)
	}
	return nothing
}
