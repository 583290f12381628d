package plan

import "sort"

// fine is how many bits of a price of each resource stand behind the point: the units of misses are very small.
var fine = [resources]int{ofMisses: 20}

// mostPrice is where the search for a price ends: no item is worth it any more, and a price times what a session uses
// still is a whole number of 64 bits.
var mostPrice = [resources]int{ofTime: 1 << 36, ofTrials: 1 << 40, ofNew: 1 << 40, ofImpact: 1 << 40, ofPieces: 1 << 40, ofMisses: 1 << 24}

// priced is so much of a resource at its price, rounded down, so that what is left over of a limit is rounded up.
func (s *search) priced(r, amount int) int { return (s.prices[r] * amount) >> fine[r] }

// appraise works out the worth of every way at the present prices, and the best of each place.
func (s *search) appraise() {
	for i := range s.branches {
		b := &s.branches[i]
		b.best = [places]*way{}
		for k := range b.ways {
			w := &b.ways[k]
			w.worth = 0
			if w.trials > 0 {
				w.worth = (w.value() + sum(w.halves)) * price
				for r, u := range w.use {
					w.worth -= s.priced(r, u)
				}
			}
			if x := b.best[w.place]; x == nil || w.worth > x.worth {
				b.best[w.place] = w
			}
		}
	}
}

// relaxed is the bound at the present prices, and what its solution uses.
func (s *search) relaxed() (bound int, use amounts) {
	s.appraise()
	s.rest = nil
	var free []*way
	for i := range s.branches {
		if w := s.branches[i].best[nowhere]; w.worth > 0 {
			free = append(free, w)
		}
	}
	sort.SliceStable(free, func(i, j int) bool { return free[i].worth > free[j].worth })
	room := min(len(s.branches), s.m.limits[ofBehaviours])
	var placed, instead [places]*way // who fills each place best, and what it would be otherwise
	for p := opening; p < places; p++ {
		gain := never
		for i := range s.branches {
			b := &s.branches[i]
			if w := b.best[p]; w != nil && w.worth-b.best[nowhere].worth > gain {
				gain, placed[p], instead[p] = w.worth-b.best[nowhere].worth, w, b.best[nowhere]
			}
		}
	}
	add := func(w *way, sign int) {
		bound += sign * w.worth
		for r, u := range w.use {
			use[r] += sign * u
		}
	}
	extra := 0
	fill := func(p place) {
		if placed[p] == nil {
			return
		}
		add(placed[p], 1)
		if instead[p].trials == 0 {
			extra++
		} else {
			add(instead[p], -1)
		}
	}
	two := func(p place) int {
		if placed[p] == nil {
			return 0
		}
		return placed[p].worth - instead[p].worth
	}
	if two(bothPlaces) > two(opening)+two(closing) {
		fill(bothPlaces)
	} else {
		fill(opening)
		fill(closing)
	}
	for i := range free {
		if i < room-extra {
			add(free[i], 1)
		}
	}
	for r, p := range s.prices {
		if p > 0 {
			bound -= s.priced(r, -s.m.limits[r])
		}
	}
	return bound, use
}

// setPrices finds prices that make the bound low: first each resource by itself, then all together.
func (s *search) setPrices() {
	var priced []int
	for r, limit := range s.m.limits {
		if resource(r) != ofBehaviours && limit < unlimited {
			priced = append(priced, r)
		}
	}
	for range 2 {
		for _, r := range priced {
			s.priceAlone(r)
		}
	}
	s.priceTogether(priced)
}

// priceAlone finds the lowest price of a resource at which the relaxed solution keeps its limit: there the bound is
// lowest, whatever the other prices are.
func (s *search) priceAlone(r int) {
	keeps := func(p int) bool {
		s.prices[r] = p
		_, use := s.relaxed()
		return use[r] <= s.m.limits[r]
	}
	if keeps(0) {
		return
	}
	high := 1
	for !keeps(high) && high < mostPrice[r] {
		high *= 4
	}
	for low := high / 4; high-low > max(1, high/64); {
		if mid := (low + high) / 2; keeps(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	s.prices[r] = high
}

// priceSteps is how many steps the prices are found in; more hardly lower the bound.
const priceSteps = 80

// priceTogether lowers the bound further, by steps against the excess of every resource that grow smaller and smaller
// (the subgradient method). Resources are measured in their limits.
func (s *search) priceTogether(priced []int) {
	bound, use := s.relaxed()
	best, lowest := s.prices, bound
	step := min(bound%(placeValue*price), 1<<40) / 8
	for range priceSteps {
		for _, r := range priced {
			limit := s.m.limits[r]
			size := max(1, limit, abs(use[r]))
			s.prices[r] = min(mostPrice[r], max(0, s.prices[r]+(step/4096<<fine[r])*((use[r]-limit)*4096/size)/size))
		}
		if s.prices == (amounts{}) {
			break // nothing is scarce
		}
		if bound, use = s.relaxed(); bound < lowest {
			best, lowest = s.prices, bound
		}
		step = step * 15 / 16
	}
	s.prices = best
}
