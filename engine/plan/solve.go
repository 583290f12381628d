package plan

import (
	"math"
	"slices"
	"sort"
)

// The solver is a branch and bound over the items of a model, one item after another, each with all its options.
//
// Its bound prices the resources: with a price for each, an item is worth its value less the price of what it uses, and
// no solution can be worth more than all limits at their price and the best priced option of every item (the Lagrangian
// relaxation). Behaviours need no price: at most so many items count, the best of them. The prices are the ones that
// make the bound of the whole day low.
//
// Of two beginnings that decide the same items, leave the same room and mean the same for the items to come, only the
// one that is better in time and value goes on (dominance, as in dynamic programming).
//
// All in whole numbers: the same day takes the same path on every machine.
//
// solve_ways.go lists the ways of every item, solve_price.go finds the prices, solve_bound.go bounds what is still to
// come, solve_dominated.go tells which beginnings need not be gone through.

// nodeBudget bounds the search; everyday days need a small part of it. Beyond, the best solution found is given with the
// bound.
const nodeBudget = 200_000

const (
	price      = 1 << 8            // turns values into the scale of prices, fine enough for the price of a tenth of a second
	placeValue = 1_000_000_000_000 // of a place filled: more than all values together
	never      = math.MinInt / 16
)

// search is the branch and bound of one model.
type search struct {
	m        *model
	branches []branch
	prices   amounts
	rest     []rest // of the branches from each on

	picked []*way // by item
	used   amounts
	sum    int          // of values, halves of pairs and places
	blocks [places]int  // of the items in each place
	runs   int          // all blocks
	taken  [places]bool // opening, closing
	seen   map[string][]visit
	key    []byte

	best    []way
	value   int // of the best; to begin with what a solution must be worth more than
	enough  int // of a solution, to end the search
	nodes   int
	budget  int
	stopped bool // by its budget
	reached bool // enough
}

// solve is the best solution of a model; exact where the search came to its end.
func (m *model) solve(budget int) *solution { return m.solveBetween(budget, -1, math.MaxInt) }

// solveBetween is the best solution whose value, places included, is more than floor, or the first that has enough. A
// solution with nothing in it means that there is none; exact then says that this is proved.
func (m *model) solveBetween(budget, floor, enough int) *solution {
	s := &search{m: m, picked: make([]*way, len(m.items)), seen: map[string][]visit{}, budget: budget, value: floor, enough: enough}
	s.branch()
	s.setPrices()
	s.prepare()
	bound := s.bound(0)
	s.walk(0)
	out := &solution{option: make([]option, len(m.items)), opens: -1, closes: -1}
	if s.best != nil {
		out = solutionOf(s.best)
		out.value = s.value - out.slots*placeValue
	}
	out.nodes, out.exact = s.nodes, !s.stopped
	out.bound, out.atMost = s.value, out.value
	if s.stopped {
		out.bound = max(s.value, bound)
		out.atMost = out.within(out.bound)
	}
	return out
}

// within is what no solution with as many places filled is worth more than, by a bound on all of them: one with more
// places filled says nothing of as many.
func (got *solution) within(bound int) int {
	return max(got.value, bound-min(got.slots, bound/placeValue)*placeValue)
}

// solutionOf is a solution, its values still to be filled in, of the way of every item.
func solutionOf(ways []way) *solution {
	out := &solution{option: make([]option, len(ways)), opens: -1, closes: -1}
	for i := range ways {
		w := &ways[i]
		out.option[i] = w.option
		if w.place == opening || w.place == bothPlaces {
			out.opens = i
			out.slots++
		}
		if w.place == closing || w.place == bothPlaces {
			out.closes = i
			out.slots++
		}
	}
	return out
}

// total is what a solution is worth, its places included.
func (got *solution) total() int { return got.slots*placeValue + got.value }

// arrange puts the branches in order, the most promising first and partners next to each other.
func (s *search) arrange() {
	group := make([]int, len(s.branches)) // of each item: the least item it is tied to
	for i := range group {
		group[i] = i
	}
	for again := true; again; {
		again = false
		for _, p := range s.m.pairs {
			if g := min(group[p.a], group[p.b]); group[p.a] != g || group[p.b] != g {
				group[p.a], group[p.b], again = g, g, true
			}
		}
	}
	lead := make([]int, len(group))
	for i := range lead {
		lead[i] = math.MinInt
	}
	for _, b := range s.branches {
		lead[group[b.item]] = max(lead[group[b.item]], b.ways[0].worth)
	}
	sort.SliceStable(s.branches, func(i, j int) bool {
		x, y := &s.branches[i], &s.branches[j]
		gx, gy := group[x.item], group[y.item]
		switch {
		case lead[gx] != lead[gy]:
			return lead[gx] > lead[gy]
		case gx != gy:
			return gx < gy
		}
		return x.ways[0].worth > y.ways[0].worth
	})
}

func (s *search) walk(d int) {
	if s.nodes >= s.budget {
		s.stopped = true
		return
	}
	s.nodes++
	if d == len(s.branches) {
		s.take()
		return
	}
	if s.m.accepts == nil && s.dominated(d) {
		return
	}
	b := &s.branches[d]
	for k := range b.ways {
		w := &b.ways[k]
		if !s.may(b.item, w) {
			continue
		}
		before := s.sum
		s.put(b.item, w, 1)
		s.sum += w.value() + s.halvesOf(b.item, w)
		if s.fits(d+1) && s.bound(d+1) > s.value {
			s.walk(d + 1)
		}
		s.put(b.item, w, -1)
		s.sum = before
		if s.stopped || s.reached {
			return
		}
	}
}

// may reports whether an item may be so, as the items before it are decided.
func (s *search) may(item int, w *way) bool {
	it := &s.m.items[item]
	if (w.place == opening || w.place == bothPlaces) && s.taken[opening] || (w.place == closing || w.place == bothPlaces) && s.taken[closing] {
		return false
	}
	if w.trials > 0 {
		for _, j := range it.apart {
			if p := s.picked[j]; p != nil && p.trials > 0 {
				return false
			}
		}
	}
	for _, k := range it.partners {
		p := s.m.pairs[k]
		other := s.picked[p.a+p.b-item]
		switch {
		case other == nil:
		case p.a == item && !s.m.keeps(p, &w.option, &other.option), p.b == item && !s.m.keeps(p, &other.option, &w.option):
			return false
		}
	}
	return true
}

// put decides an item, or takes that back where sign is -1.
func (s *search) put(item int, w *way, sign int) {
	s.picked[item] = w
	if sign < 0 {
		s.picked[item] = nil
	}
	for r, u := range w.use {
		s.used[r] += sign * u
	}
	s.runs += sign * w.blocks
	if w.place == nowhere {
		return
	}
	s.blocks[w.place] += sign * w.blocks
	if w.place != closing {
		s.taken[opening] = sign > 0
	}
	if w.place != opening {
		s.taken[closing] = sign > 0
	}
}

// halvesOf is what deciding an item adds to the halves of pairs: its own half where the other is in or undecided; where
// it stays out, the other's half is taken back.
func (s *search) halvesOf(item int, w *way) (v int) {
	for at, k := range s.m.items[item].partners {
		p := s.m.pairs[k]
		other := s.picked[p.a+p.b-item]
		switch {
		case w.trials > 0 && (other == nil || other.trials > 0):
			v += w.halves[at]
		case w.trials == 0 && other != nil && other.trials > 0:
			v -= other.halves[slices.Index(s.m.items[p.a+p.b-item].partners, k)]
		}
	}
	return v
}

// fits reports whether the limits can still be kept with the least that the branches from d on use.
func (s *search) fits(d int) bool {
	for r := range s.used {
		if s.used[r]+s.rest[d].low[r] > s.m.limits[r] {
			return false
		}
	}
	return true
}

// acceptCost is how many nodes of the budget a model's last question takes.
const acceptCost = 20

// take keeps a whole solution if it is better, its blocks can be put into a row and the model accepts it.
func (s *search) take() {
	if s.sum <= s.value {
		return
	}
	ways, blocks := make([]way, len(s.picked)), make([]int, len(s.picked))
	for i, w := range s.picked {
		ways[i], blocks[i] = *w, w.blocks
	}
	got := solutionOf(ways)
	if !s.m.hasRow(blocks, got.opens, got.closes) {
		return
	}
	if s.m.accepts != nil {
		if s.nodes += acceptCost; !s.m.accepts(got) {
			return
		}
	}
	s.value, s.best = s.sum, ways
	s.reached = s.value >= s.enough
}
