package automaton

import (
	"iter"
	"slices"
)

// Steps are all transitions that were explored but the impossible ones, in the order of the states.
func (m *Machine) Steps() iter.Seq2[At, Step] {
	return func(yield func(At, Step) bool) {
		for s := range m.from {
			for li := range m.letters {
				st := m.Next(State(s), li)
				if st.To != Impossible && !yield(At{State(s), li}, st) {
					return
				}
			}
		}
	}
}

// At is a transition: a state and a letter, an index of Letters.
type At struct {
	State  State
	Letter int
}

// Shortest is a history from the start with the fewest trials (then the fewest edges) whose last step meets the
// condition, as indices of Letters; false where no history does, as far as was explored.
func (m *Machine) Shortest(meets func(At, Step) bool) ([]int, bool) {
	var best At
	trials, edges := int32(-1), int32(0)
	for at, st := range m.Steps() {
		t, e := m.trials[at.State], m.edges[at.State]
		if m.letters[at.Letter].IsTrial() {
			t++
		} else {
			e++
		}
		if (trials < 0 || t < trials || t == trials && e < edges) && meets(at, st) {
			best, trials, edges = at, t, e
		}
	}
	if trials < 0 {
		return nil, false
	}
	return append(m.Path(best.State), best.Letter), true
}

// Path is a history with the fewest trials that leads to a state.
func (m *Machine) Path(s State) []int {
	var out []int
	for ; s > 0; s = m.from[s] {
		out = append(out, int(m.via[s]))
	}
	slices.Reverse(out)
	return out
}

// Run is the step of each letter of a history. It ends with the first that leads to no state.
func (m *Machine) Run(history []int) []Step {
	s := m.Start()
	var out []Step
	for _, li := range history {
		st := m.Next(s, li)
		out = append(out, st)
		if st.To < 0 {
			break
		}
		s = st.To
	}
	return out
}
