package odds

// part is a set of states each of which can be reached from each other one: a strongly connected component.
type part struct {
	states []int32 // in ascending order
	trap   bool    // nothing leads out
}

// divide finds the parts of the chain, by Tarjan's algorithm (SIAM J. Comput. 1:146-160, 1972) without recursion, and
// puts them into the order of travel.
func (c *Chain) divide() {
	const unseen = -1
	number, low := make([]int32, c.states), make([]int32, c.states)
	c.where = make([]int32, c.states)
	for i := range number {
		number[i], c.where[i] = unseen, unseen
	}
	type call struct{ state, arc int32 }
	var calls []call
	var open []int32
	var found [][]int32
	next := int32(0)
	enter := func(s int32) {
		number[s], low[s] = next, next
		next++
		open = append(open, s)
		calls = append(calls, call{s, c.first[s]})
	}
	for root := range int32(c.states) {
		if number[root] != unseen {
			continue
		}
		enter(root)
		for len(calls) > 0 {
			at := &calls[len(calls)-1]
			s := at.state
			if at.arc < c.first[s+1] {
				to := c.to[at.arc]
				at.arc++
				switch {
				case to < 0:
				case number[to] == unseen:
					enter(to)
				case c.where[to] == unseen:
					low[s] = min(low[s], number[to])
				}
				continue
			}
			calls = calls[:len(calls)-1]
			if len(calls) > 0 {
				up := calls[len(calls)-1].state
				low[up] = min(low[up], low[s])
			}
			if low[s] == number[s] {
				from := len(open) - 1
				for open[from] != s {
					from--
				}
				for _, m := range open[from:] {
					c.where[m] = int32(len(found))
				}
				found = append(found, append([]int32(nil), open[from:]...))
				open = open[:from]
			}
		}
	}
	// found lists a part after all that it leads to: the order of travel is the other way round
	c.parts = make([]part, len(found))
	for i, f := range found {
		c.parts[len(found)-1-i].states = ascending(f)
	}
	for i := range c.where {
		c.where[i] = int32(len(found)) - 1 - c.where[i]
	}
	for i := range c.parts {
		c.parts[i].trap = c.isTrap(int32(i))
	}
}

func (c *Chain) isTrap(p int32) bool {
	for _, s := range c.parts[p].states {
		for a := c.first[s]; a < c.first[s+1]; a++ {
			if c.to[a] < 0 || c.where[c.to[a]] != p {
				return false
			}
		}
	}
	return true
}
