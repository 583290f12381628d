package engine

import (
	"strconv"
	"strings"
)

// key tells states apart that differ to some rule.
func (s *searcher) key(st *state) string {
	var b strings.Builder
	for _, n := range s.nodes {
		s.nodeKey(&b, n, st)
	}
	if d := s.stage.decide; d > 0 {
		b.WriteString(strconv.Itoa(int(st.trials)%d) + " ")
	}
	if at := s.d.cur; at != nil && st.sess == at.number && at.worked[st.work].tried {
		b.WriteByte('t')
	}
	for _, w := range st.slots[:(s.b.stopRules+63)/64] {
		b.WriteString(strconv.FormatUint(w, 36) + " ")
	}
	for _, w := range st.slots[s.stage.flags : s.stage.flags+s.stage.flagWords] {
		b.WriteString(strconv.FormatUint(w, 36) + " ")
	}
	return b.String()
}

// nodeKey tells states apart that differ to one criterion.
func (s *searcher) nodeKey(b *strings.Builder, n *node, st *state) {
	put := func(n int) { b.WriteString(strconv.Itoa(n)); b.WriteByte(' ') }
	switch n.op {
	case opShare:
		s.shareKey(b, n, st)
	case opRepeated, opInside:
		s.groupsKey(b, n, st)
	case opWindow, opBlock:
		t, _ := n.track.filled(st)
		long := n.n
		switch {
		case n.twice:
			put(min(t, 2*n.n))
			put(t % n.n)
			long *= 2
		case n.op == opBlock:
			put(t % n.n)
		case n.whole:
			put(min(t, n.n))
		}
		for i := 0; i < long; i += 64 {
			w := st.slots[n.track.at+1+i/64]
			if rest := long - i; rest < 64 {
				w &= 1<<rest - 1
			}
			b.WriteString(strconv.FormatUint(w, 36))
			b.WriteByte(' ')
		}
	case opCounted:
		put(min(n.track.counted(st), n.k))
	case opAfterTrials:
		put(min(int(st.trials), n.k))
	case opAfterStep:
		put(min(int(st.stepTrials), n.k))
	case opAfterSessions:
		put(min(int(st.closed), n.k))
		put(int(st.sessions - st.closed))
	case opAfterDays:
		put(min(s.f.day-st.enteredDay, n.k))
	case opConfidence:
		t, _ := n.track.filled(st)
		put(min(t, n.n))
		for i := range min(t, n.n) {
			put(n.track.newest(st, 1, i)*2 + n.other.newest(st, 1, i))
		}
	case opStatistic:
		for i := range min(n.track.counted(st), n.n) {
			b.WriteString(strconv.FormatFloat(n.track.measureAt(st, i), 'g', -1, 64) + " ")
		}
	case opSequential:
		t, _ := n.track.filled(st)
		put(t)
		put(n.track.counted(st))
	case opEased:
		put(st.eased())
	}
	for i := range n.kids {
		s.nodeKey(b, &n.kids[i], st)
	}
}
