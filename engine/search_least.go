package engine

// least is a number of further trials without which the criterion cannot hold.
func (s *searcher) least(n *node, st *state) int {
	switch n.op {
	case opWindow:
		d := 0
		for d < n.k && d+n.track.newest(st, n.n-d, 0) < n.k {
			d++
		}
		if t, _ := n.track.filled(st); n.whole {
			d = max(d, n.n-t)
		}
		return d
	case opBlock:
		t, _ := n.track.filled(st)
		return n.n - t%n.n
	case opCounted:
		return n.k - n.track.counted(st)
	case opAfterTrials:
		return n.k - int(st.trials)
	case opAfterStep:
		return n.k - int(st.stepTrials)
	case opStatistic:
		if d := n.n - n.track.counted(st); d > 0 {
			return d
		}
		return int(1 - b2u(n.statistical(st)))
	case opShare:
		return s.leastShare(n, st)
	case opRepeated:
		return s.leastRepeated(n, st)
	case opInside:
		in := n.div.here(s.f, st)
		return s.least(&n.div.is, &in)
	case opAnd:
		most := 0
		for i := range n.kids {
			most = max(most, s.least(&n.kids[i], st))
		}
		return most
	case opOr:
		few := longestRun
		for i := range n.kids {
			few = min(few, s.least(&n.kids[i], st))
		}
		return few
	}
	return 0
}
