package engine

import (
	"fmt"
	"strconv"
	"strings"

	"example.com/rung/curriculum"
)

// tracks are all that the rules of the level look at, those inside groups too.
func (s *searcher) tracks() []*track {
	var out []*track
	s.eachDivision(func(v *division) { out = append(out, v.tracks...) })
	return append(append(out, s.b.stopTracks...), s.stage.tracks...)
}

func (s *searcher) eachDivision(do func(*division)) {
	var walk func([]*division)
	walk = func(list []*division) {
		for _, v := range list {
			do(v)
			walk(v.inner)
		}
	}
	walk(s.b.stopDivisions)
	walk(s.stage.divisions)
}

// divided writes what a trial is to the groups of the level: which it belongs to, and what it is there.
func (s *searcher) divided(b *strings.Builder, t *curriculum.Trial, k kind) (some bool) {
	s.eachDivision(func(v *division) {
		key, ok := v.keyOf(s.f, t)
		if !ok {
			b.WriteString(" none")
			return
		}
		b.WriteString(" " + key.name)
		g := v.fresh(key)
		st := g.state(s.b)
		for _, tr := range v.tracks {
			filled, counted := tr.take(s.f, &st, t, k)
			fmt.Fprint(b, filled, counted)
			if filled && tr.measure != "" {
				fmt.Fprint(b, tr.measureAt(&st, 0))
			}
			some = some || filled
		}
	})
	return some
}

// groupsKey tells the groups of a criterion apart where they differ to it.
func (s *searcher) groupsKey(b *strings.Builder, n *node, st *state) {
	switch n.op {
	case opInside:
		in := n.div.here(s.f, st)
		s.nodeKey(b, &n.div.is, &in)
	case opRepeated:
		groups := st.groups[n.div.index]
		present := -1
		for i := range groups {
			g := &groups[i]
			over := n.div.over == curriculum.Sessions || n.div.over == curriculum.Days
			if i == len(groups)-1 {
				present = i
			}
			if over && i != present && !n.inARow {
				// no later trial comes to a session or day that is over
				if g.came {
					b.WriteString("came ")
				}
				continue
			}
			rank := 0
			for j := range groups {
				if groups[j].last > g.last {
					rank++
				}
			}
			b.WriteString(g.key.name)
			b.WriteByte(' ')
			if n.inARow {
				b.WriteString(strconv.Itoa(rank))
			}
			if g.came {
				b.WriteByte('c')
				continue
			}
			in := g.state(s.b)
			s.nodeKey(b, &n.div.is, &in)
		}
		if present >= 0 && groups[present].key.n == int(s.f.session) {
			b.WriteByte('p')
		}
	}
}

// leastRepeated is a number of further trials without which a criterion cannot have come true in enough groups: a trial
// belongs to one of them.
func (s *searcher) leastRepeated(n *node, st *state) int {
	groups := st.groups[n.div.index]
	missing := n.k
	var open []int
	for i := range groups {
		if groups[i].came {
			missing--
			continue
		}
		in := groups[i].state(s.b)
		open = append(open, max(1, s.least(&n.div.is, &in)))
	}
	if missing <= 0 {
		return 0
	}
	g := n.div.fresh(groupKey{})
	in := g.state(s.b)
	fresh := max(1, s.least(&n.div.is, &in))
	sum := 0
	for range missing {
		best, at := fresh, -1
		for i, d := range open {
			if d < best {
				best, at = d, i
			}
		}
		if at >= 0 {
			open[at] = longestRun
		}
		sum += best
	}
	return sum
}

// greedy is a run in which each trial is one that leaves the fewest still needed, or nil where none leaves fewer.
func (s *searcher) greedy(r *rule) []int {
	snap := s.from
	st := s.put(&snap)
	left := s.least(&r.when, st)
	var run []int
	for range longestRun {
		best, bestLeft := -1, left
		var next snapshot
		for li := range s.letters {
			st := s.put(&snap)
			switch s.play(st, &s.letters[li], r) {
			case fired:
				return append(run, li)
			case nothing:
				if l := s.least(&r.when, st); l < bestLeft {
					best, bestLeft, next = li, l, s.get(st)
				}
			}
		}
		if best < 0 {
			return nil
		}
		run, left, snap = append(run, best), bestLeft, next
	}
	return nil
}

var overWords = [...]string{curriculum.Sessions: "session", curriculum.Places: "place", curriculum.Handlers: "handler", curriculum.Days: "day"}
