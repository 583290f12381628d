package automaton

import (
	"encoding/binary"

	"example.com/rung/curriculum"
)

// cell is a part with its states numbered and its transitions remembered.
type cell struct {
	part   part
	states []string
	ids    map[string]int32
	inputs []string // by letter
	trials int
	after  [][]int32 // by state and letter, +1; negative where it holds
	passed [2][]int32
	closed []int8
}

func (c *cell) number(s string) int32 {
	id, ok := c.ids[s]
	if !ok {
		id = int32(len(c.states))
		c.ids[s] = id
		c.states = append(c.states, s)
		c.after = append(c.after, nil)
		c.passed[0], c.passed[1], c.closed = append(c.passed[0], -1), append(c.passed[1], -1), append(c.closed, -1)
	}
	return id
}

func (c *cell) trial(id int32, letter int) (to int32, holds bool) {
	if c.after[id] == nil {
		c.after[id] = make([]int32, c.trials)
	}
	if known := c.after[id][letter]; known != 0 {
		return max(known, -known) - 1, known < 0
	}
	s, holds := c.part.trial(c.states[id], c.inputs[letter])
	to = c.number(s)
	c.after[id][letter] = to + 1
	if holds {
		c.after[id][letter] = -to - 1
	}
	return to, holds
}

func (c *cell) edge(id int32, e edge) int32 {
	if to := c.passed[e][id]; to >= 0 {
		return to
	}
	to := c.number(c.part.edge(c.states[id], e))
	c.passed[e][id] = to
	return to
}

func (c *cell) close(id int32) bool {
	if c.closed[id] < 0 {
		c.closed[id] = 0
		if c.part.close(c.states[id]) {
			c.closed[id] = 1
		}
	}
	return c.closed[id] == 1
}

// explore numbers all states that can be reached, those of shorter histories first.
func (m *Machine) explore(e Entry, budget int) {
	m.width = len(m.cells) + 2
	m.said = make([]bool, len(m.cells))
	start := make([]int32, m.width)
	for i, c := range m.cells {
		start[i] = c.number(c.part.start(e))
	}
	start[len(m.cells)] = int32(min(e.Eased, m.easedMax))
	m.number(start, -1, -1)
	now, later := []State{0}, []State(nil)
	to := make([]int32, m.width)
	m.complete = true
	for len(now) > 0 {
		for i := 0; i < len(now); i++ {
			s := now[i]
			for li := range m.letters {
				where, look := m.step(s, li, to)
				if where >= 0 {
					key := m.key(to)
					known, ok := m.index[string(key)]
					switch {
					case ok:
						where = known
					case len(m.from) >= budget:
						where, m.complete = Unexplored, false
					default:
						where = m.number(to, s, li)
						if m.letters[li].IsTrial() {
							later = append(later, where)
						} else {
							now = append(now, where)
						}
					}
				}
				m.next[int(s)*len(m.letters)+li] = int32(where)
				m.seen[int(s)*len(m.letters)+li] = m.lookID(look)
			}
		}
		now, later = later, now[:0]
	}
	m.index, m.known, m.said, m.bytes = nil, nil, nil, nil
}

func (m *Machine) lookID(l Look) uint32 {
	id, ok := m.known[l]
	if !ok {
		id = uint32(len(m.looks))
		m.known[l] = id
		m.looks = append(m.looks, l)
	}
	return id
}

// key is a text for a tuple; it is overwritten by the next.
func (m *Machine) key(tuple []int32) []byte {
	m.bytes = m.bytes[:0]
	for _, v := range tuple {
		m.bytes = binary.AppendUvarint(m.bytes, uint64(v))
	}
	return m.bytes
}

// number gives a state its place in all tables.
func (m *Machine) number(tuple []int32, from State, letter int) State {
	s := State(len(m.from))
	m.index[string(m.key(tuple))] = s
	m.table = append(m.table, tuple...)
	m.from, m.via = append(m.from, from), append(m.via, int32(letter))
	trials, edges := int32(0), int32(0)
	if from >= 0 {
		trials, edges = m.trials[from], m.edges[from]
		if m.letters[letter].IsTrial() {
			trials++
		} else {
			edges++
		}
	}
	m.trials, m.edges = append(m.trials, trials), append(m.edges, edges)
	for range m.letters {
		m.next, m.seen = append(m.next, int32(Unexplored)), append(m.seen, 0)
	}
	return s
}

// step works a transition out. The state it leads to stands in the tuple where 0 is returned.
func (m *Machine) step(s State, li int, to []int32) (State, Look) {
	at := m.table[int(s)*m.width : (int(s)+1)*m.width]
	n := len(m.cells)
	copy(to, at)
	look := Look{Takes: -1}
	l := &m.letters[li]
	switch {
	case l.IsTrial():
		said := m.said
		for i, c := range m.cells {
			to[i], said[i] = c.trial(at[i], li)
		}
		if m.limit >= 0 && !said[m.limit] {
			return Impossible, look
		}
		m.look(&look, false, func(i int) bool { return said[i] }, int(at[n]))
	case l.Edge != Midnight && m.worked >= 0 && m.cells[m.worked].close(at[m.worked]):
		m.look(&look, true, func(i int) bool { return m.cells[i].close(at[i]) }, int(at[n]))
	}
	if look.Takes >= 0 && !m.goesOn {
		return Ended, look
	}
	if look.SplitDue {
		to[n] = 0
	}
	if m.goesOn {
		to[n+1] = int32(m.lookID(look)) + 1
	}
	if l.Edge == SessionEnd || l.Edge == NextDay {
		for i, c := range m.cells {
			to[i] = c.edge(to[i], sessionEnd)
		}
	}
	if l.Edge == NextDay || l.Edge == Midnight {
		for i, c := range m.cells {
			to[i] = c.edge(to[i], dateChange)
		}
	}
	return 0, look
}

// look looks at the rules of one moment: ease, then split, then advance; the first of them that holds makes the move,
// of several of one word the first written. A split without room makes none.
func (m *Machine) look(look *Look, closing bool, said func(int) bool, eased int) {
	deciding := closing || m.every < 0 || said(m.every)
	first := func(word curriculum.RuleWord, eased int) int {
		found := -1
		for i := range m.rules {
			r := &m.rules[i]
			if r.Word != word || r.Closes != closing || !deciding && moves(word) {
				continue
			}
			look.Looked |= 1 << i
			if m.when[i].holds(said, eased) {
				look.Holds |= 1 << i
				if found < 0 {
					found = i
				}
			}
		}
		return found
	}
	take := func(i int) {
		if look.Takes < 0 && i >= 0 {
			look.Takes = int8(i)
		}
	}
	ease := first(curriculum.Ease, eased)
	take(ease)
	if ease >= 0 {
		eased++
	}
	first(curriculum.StopToday, eased)
	first(curriculum.Flag, eased)
	if split := first(curriculum.Split, eased); split >= 0 {
		look.SplitDue = true
		if into := len(m.rules[split].Source.Into) > 0; into && !m.entry.Pieced || !into && m.stay.Room {
			take(split)
		}
	}
	take(first(curriculum.Advance, eased))
	take(first(curriculum.Lapse, 0))
}
