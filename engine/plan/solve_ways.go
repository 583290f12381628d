package plan

import "slices"

// place is what an item is beside being in.
type place int

const (
	nowhere place = iota
	opening
	closing
	bothPlaces
	places
)

// way is an option of an item together with a place.
type way struct {
	option
	place  place
	halves []int // of the item's pairs: half the value where the other can be in beside this, else nought
	worth  int   // at the prices, in their scale, with all halves
}

// branch is one item of a search, with the ways it may be, best first.
type branch struct {
	item int
	ways []way
	best [places]*way // the best of each place; nil where there is none
}

// branch lists the ways of every item.
func (s *search) branch() {
	openers, closers := s.m.places(s.m.opens), s.m.places(s.m.closes)
	for i := range s.m.items {
		it := &s.m.items[i]
		b := branch{item: i, ways: []way{{option: it.options[0]}}}
		add := func(options []option, p place) {
			for _, o := range options {
				b.ways = append(b.ways, way{option: o, place: p})
			}
		}
		if !it.placeOnly {
			add(it.options[1:], nowhere)
		}
		opens, closes := slices.Contains(openers, i), slices.Contains(closers, i)
		if opens {
			add(it.options[1:], opening)
		}
		if closes {
			add(it.options[1:], closing)
		}
		if opens && closes {
			add(it.both, bothPlaces)
		}
		s.branches = append(s.branches, b)
	}
	for s.thin() {
	}
	s.hope()
}

// pairWays calls f with each pair of ways of the items of a pair.
func (s *search) pairWays(p modelPair, f func(x, y *way)) {
	a, b := &s.branches[p.a], &s.branches[p.b]
	for i := range a.ways {
		for j := range b.ways {
			if s.m.keeps(p, &a.ways[i].option, &b.ways[j].option) {
				f(&a.ways[i], &b.ways[j])
			}
		}
	}
}

// thin takes out the ways that can be beside no way of a partner, and reports whether there were any. Branches are still
// in the order of items.
func (s *search) thin() (any bool) {
	for _, p := range s.m.pairs {
		can := map[*way]bool{}
		s.pairWays(p, func(x, y *way) { can[x], can[y] = true, true })
		for _, i := range []int{p.a, p.b} {
			b := &s.branches[i]
			var ways []way
			for k := range b.ways {
				if can[&b.ways[k]] {
					ways = append(ways, b.ways[k])
				}
			}
			any = any || len(ways) < len(b.ways)
			b.ways = ways
		}
	}
	return any
}

// hope shares the value of each pair between the ways of its items that can be in together.
func (s *search) hope() {
	for i := range s.branches {
		for k := range s.branches[i].ways {
			s.branches[i].ways[k].halves = make([]int, len(s.m.items[i].partners))
		}
	}
	for k, p := range s.m.pairs {
		x, y := slices.Index(s.m.items[p.a].partners, k), slices.Index(s.m.items[p.b].partners, k)
		s.pairWays(p, func(a, b *way) {
			if a.trials > 0 && b.trials > 0 {
				a.halves[x], b.halves[y] = p.value/2, p.value/2
			}
		})
	}
}

// places is who is tried in a place: all that may, less those that two others can stand in for. Where a last question is
// put to a solution nobody stands in for anybody.
func (m *model) places(may []int) []int {
	if m.accepts != nil {
		return may
	}
	var out []int
	for x, i := range may {
		better := 0
		for y, j := range may {
			if i != j && m.standsIn(j, i) && (y < x || !m.standsIn(i, j)) {
				better++
			}
		}
		if better < 2 {
			out = append(out, i)
		}
	}
	return out
}

// standsIn reports whether j can take the place of i in every solution and none is worse for it: both come in only for a
// place, and j brings as much for no more.
func (m *model) standsIn(j, i int) bool {
	x, y := &m.items[j], &m.items[i]
	plain := func(it *modelItem) bool { return it.placeOnly && len(it.apart) == 0 && len(it.partners) == 0 }
	asGood := func(a, b []option) bool {
		for k := range b {
			if k >= len(a) || a[k].trials != b[k].trials || a[k].blocks != b[k].blocks || a[k].value < b[k].value {
				return false
			}
			for r := range a[k].use {
				if a[k].use[r] > b[k].use[r] {
					return false
				}
			}
		}
		return true
	}
	return plain(x) && plain(y) && asGood(x.options, y.options) && asGood(x.both, y.both)
}

// value is what a way adds, without pairs.
func (w *way) value() int {
	switch w.place {
	case opening, closing:
		return w.option.value + placeValue
	case bothPlaces:
		return w.option.value + 2*placeValue
	}
	return w.option.value
}
