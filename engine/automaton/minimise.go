package automaton

import "encoding/binary"

// Minimise says which states no history can tell apart: equal numbers, counted from 0 in the order of the states, and
// how many different ones there are. States that were not explored count as one of their own.
//
// It is Moore's refinement: states begin in one class, and are parted by what is seen on their next steps and by the
// classes those lead to until nothing changes.
func (m *Machine) Minimise() (class []int, n int) {
	class = make([]int, len(m.from))
	n = 1
	if m.goesOn {
		n = m.renumber(class, func(s int) []byte {
			var holds uint64
			if last := m.table[(s+1)*m.width-1]; last > 0 {
				holds = m.looks[last-1].Holds
			}
			return binary.AppendUvarint(nil, holds)
		})
	}
	for {
		next := make([]int, len(class))
		k := m.renumber(next, func(s int) []byte {
			key := binary.AppendVarint(nil, int64(class[s]))
			for li := range m.letters {
				i := s*len(m.letters) + li
				to := int64(m.next[i])
				if to >= 0 {
					to = int64(class[to])
				}
				key = binary.AppendVarint(binary.AppendVarint(key, to), int64(m.seen[i]))
			}
			return key
		})
		class = next
		if k == n {
			return class, n
		}
		n = k
	}
}

// renumber gives states of equal keys equal numbers, and says how many there are.
func (m *Machine) renumber(class []int, key func(s int) []byte) int {
	ids := map[string]int{}
	for s := range class {
		k := string(key(s))
		id, ok := ids[k]
		if !ok {
			id = len(ids)
			ids[k] = id
		}
		class[s] = id
	}
	return len(ids)
}
