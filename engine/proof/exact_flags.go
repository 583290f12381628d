package proof

import (
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// beside looks at a flag, or at what a stop counts from the level's entry, beside the moves, which may end every stay
// before it holds.
func (j *judge) beside(i int, when curriculum.Criterion) error {
	stay, at := j.part(func(k int, r *curriculum.Rule) bool { return k == i || moves(r) })
	k := slices.Index(at, i)
	stay.Rules[k].Word, stay.Rules[k].When = curriculum.Flag, when
	if sooner(when) {
		// it is enough that a stay can be as long as one likes
		only, _ := j.part(func(_ int, r *curriculum.Rule) bool { return moves(r) })
		ms, err := j.x.of(j.rung, only, j.limit)
		if err != nil || !ms.complete || slices.ContainsFunc(ms.all, endless) {
			return err
		}
	}
	ms, err := j.x.of(j.rung, stay, j.limit)
	if err != nil {
		return err
	}
	switch s := ms.seen(len(at)); {
	case s.holds[k] && j.rule(i).Word == curriculum.Flag:
		j.fromTheStart(i, k, ms)
	case s.holds[k]:
	case ms.complete:
		return j.never(i, ms, at)
	}
	return nil
}

// sooner reports whether a criterion holds sooner or later, however the dog does, once there is evidence enough.
func sooner(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.Named:
		return sooner(c.Is)
	case curriculum.Or:
		return slices.ContainsFunc(c.Any, sooner)
	case curriculum.And:
		return !slices.ContainsFunc(c.All, func(p curriculum.Criterion) bool { return !sooner(p) })
	case curriculum.After:
		return c.Unit == curriculum.AfterTrials
	case curriculum.Done:
		return true
	}
	return false
}

// endless reports whether a stay can go on for any number of evidence trials: one of them lies on a circle. It looks for
// the states that lead back to where they come from (Tarjan, SIAM Journal on Computing 1 (1972) 146, without recursion).
func endless(m *automaton.Machine) bool {
	letters := len(m.Letters())
	n := m.Len()
	index, low, of := make([]int, n), make([]int, n), make([]int, n) // from 1; of: the circle it belongs to
	var open []int                                                   // states of circles that are not closed yet
	type frame struct{ state, letter int }
	count, circles := 0, 0
	for start := range n {
		if index[start] > 0 {
			continue
		}
		path := []frame{{start, 0}}
		for len(path) > 0 {
			f := &path[len(path)-1]
			s := f.state
			if f.letter == 0 && index[s] == 0 {
				count++
				index[s], low[s] = count, count
				open = append(open, s)
			}
			if f.letter < letters {
				to := int(m.Next(automaton.State(s), f.letter).To)
				f.letter++
				switch {
				case to < 0:
				case index[to] == 0:
					path = append(path, frame{to, 0})
				case of[to] == 0:
					low[s] = min(low[s], index[to])
				}
				continue
			}
			if low[s] == index[s] {
				circles++
				for {
					last := open[len(open)-1]
					open = open[:len(open)-1]
					of[last] = circles
					if last == s {
						break
					}
				}
			}
			path = path[:len(path)-1]
			if len(path) > 0 {
				up := path[len(path)-1].state
				low[up] = min(low[up], low[s])
			}
		}
	}
	for at, st := range m.Steps() {
		if l := &m.Letters()[at.Letter]; st.To >= 0 && of[at.State] == of[st.To] && l.IsTrial() && l.Cases[0].Kind.Evidence() {
			return true
		}
	}
	return false
}

// stop looks at a stop by itself: it sees the whole session, whatever moves come between. Only what it counts from the
// level's entry may be ended by moves.
func (j *judge) stop(i int) error {
	ms, err := j.x.of(j.rung, j.alone(i), j.limit)
	if err != nil {
		return err
	}
	switch s := ms.seen(1); {
	case s.holds[0]:
		j.fromTheStart(i, 0, ms)
	case ms.complete:
		return j.never(i, ms, []int{i})
	}
	entered := slices.DeleteFunc(joined(j.rule(i).When), func(c curriculum.Criterion) bool {
		_, counts := c.(curriculum.After)
		return !counts
	})
	switch len(entered) {
	case 0:
		return nil
	case 1:
		return j.beside(i, entered[0])
	}
	return j.beside(i, curriculum.And{All: entered})
}

// skip looks at a skip by itself: it counts trials at its own step only, whatever comes of those between.
func (j *judge) skip(i int) error {
	stay := j.alone(i)
	ms, err := j.x.of(j.rung, stay, 0)
	if err != nil {
		return err
	}
	switch s := ms.seen(1); {
	case s.holds[0]:
		j.fromTheStart(i, 0, ms)
		return j.onAMiss(i, 0, stay, ms)
	case ms.complete:
		return j.never(i, ms, []int{i})
	}
	return nil
}
