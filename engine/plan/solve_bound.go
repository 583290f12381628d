package plan

import (
	"math"
	"slices"
	"sort"
)

// rest is what the branches from one on can still bring at most, and use at least.
type rest struct {
	top    []int       // top[k]: the k best of them, whatever their place
	filled [places]int // the best that is in for a place only
	moved  [places]int // the best gain where one that is in anyway takes a place
	low    amounts
	live   []int // the items decided before that these depend on
}

// prepare puts the ways and the branches into the order of the search and adds up what is left behind each branch.
func (s *search) prepare() {
	s.appraise()
	for i := range s.branches {
		b := &s.branches[i]
		sort.SliceStable(b.ways, func(x, y int) bool { return b.ways[x].worth > b.ways[y].worth })
	}
	s.appraise()
	s.arrange()
	n := len(s.branches)
	s.rest = make([]rest, n+1)
	s.rest[n].top = make([]int, n+1)
	for p := range places {
		s.rest[n].filled[p], s.rest[n].moved[p] = never, never
	}
	var best []int
	for d := n - 1; d >= 0; d-- {
		b, r := &s.branches[d], &s.rest[d]
		*r = s.rest[d+1]
		plain := b.best[nowhere].worth
		at, _ := slices.BinarySearchFunc(best, plain, func(x, y int) int { return y - x })
		best = slices.Insert(best, at, plain)
		r.top = make([]int, n+1)
		for k := 1; k <= n; k++ {
			r.top[k] = r.top[k-1]
			if k <= len(best) {
				r.top[k] += best[k-1]
			}
		}
		for p := opening; p < places; p++ {
			if w := b.best[p]; w == nil {
			} else if b.best[nowhere].trials == 0 {
				r.filled[p] = max(r.filled[p], w.worth)
			} else {
				r.moved[p] = max(r.moved[p], w.worth-plain)
			}
		}
		for q := range r.low {
			least := math.MaxInt
			for k := range b.ways {
				least = min(least, b.ways[k].use[q])
			}
			r.low[q] += least
		}
		r.live = s.liveAt(d)
	}
}

// bound is the highest value that can still be reached when the first d branches are decided.
func (s *search) bound(d int) int {
	r := &s.rest[d]
	room := min(len(s.branches), s.m.limits[ofBehaviours]-s.used[ofBehaviours])
	if room < 0 {
		return -1
	}
	// with what the places may bring: each by one that comes in for it, or by one that is in anyway
	best := r.top[room]
	try := func(extra, gain int) {
		if extra <= room && gain > never/2 {
			best = max(best, r.top[room-extra]+gain)
		}
	}
	if !s.taken[opening] {
		try(1, r.filled[opening])
		try(0, r.moved[opening])
	}
	if !s.taken[closing] {
		try(1, r.filled[closing])
		try(0, r.moved[closing])
	}
	if !s.taken[opening] && !s.taken[closing] {
		try(2, r.filled[opening]+r.filled[closing])
		try(1, r.filled[opening]+r.moved[closing])
		try(1, r.moved[opening]+r.filled[closing])
		try(0, r.moved[opening]+r.moved[closing])
		try(1, r.filled[bothPlaces])
		try(0, r.moved[bothPlaces])
	}
	v := best + s.sum*price
	for q, p := range s.prices {
		if p > 0 {
			v -= s.priced(q, s.used[q]-s.m.limits[q])
		}
	}
	if v < 0 {
		return -1
	}
	return v / price
}
