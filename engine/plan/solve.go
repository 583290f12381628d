package plan

import (
	"encoding/binary"
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

// nodeBudget bounds the search; everyday days need a small part of it. Beyond, the best solution found is given with the
// bound.
const nodeBudget = 200_000

const (
	price      = 1 << 8            // turns values into the scale of prices, fine enough for the price of a tenth of a second
	placeValue = 1_000_000_000_000 // of a place filled: more than all values together
	never      = math.MinInt / 16
)

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
	value   int
	nodes   int
	budget  int
	stopped bool
}

// rest is what the branches from one on can still bring at most, and use at least.
type rest struct {
	top    []int       // top[k]: the k best of them, whatever their place
	filled [places]int // the best that is in for a place only
	moved  [places]int // the best gain where one that is in anyway takes a place
	low    amounts
	live   []int // the items decided before that these depend on
}

// solve is the best solution of a model; exact where the search came to its end.
func (m *model) solve(budget int) *solution {
	s := &search{m: m, picked: make([]*way, len(m.items)), seen: map[string][]visit{}, budget: budget, value: -1}
	s.branch()
	s.setPrices()
	s.prepare()
	bound := s.bound(0)
	s.walk(0)
	out := &solution{option: make([]option, len(m.items)), opens: -1, closes: -1, nodes: s.nodes, exact: !s.stopped}
	for i, w := range s.best {
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
	out.value = max(0, s.value-out.slots*placeValue)
	out.atMost = out.value
	if s.stopped {
		// a bound with more places filled says nothing of as many
		out.atMost = max(out.value, bound-min(out.slots, bound/placeValue)*placeValue)
	}
	return out
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

// places is who is tried in a place: all that may, less those that two others can stand in for.
func (m *model) places(may []int) []int {
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

// fine is how many bits of a price of each resource stand behind the point: the units of misses are very small.
var fine = [resources]int{ofMisses: 20}

// mostPrice is where the search for a price ends: no item is worth it any more, and a price times what a session uses
// still is a whole number of 64 bits.
var mostPrice = [resources]int{ofTime: 1 << 36, ofTrials: 1 << 40, ofNew: 1 << 40, ofPieces: 1 << 40, ofMisses: 1 << 24}

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

// liveAt is the items before branch d that one from d on depends on.
func (s *search) liveAt(d int) (live []int) {
	later := make([]bool, len(s.m.items))
	for _, b := range s.branches[d:] {
		later[b.item] = true
	}
	for _, b := range s.branches[:d] {
		it := &s.m.items[b.item]
		depends := slices.ContainsFunc(it.apart, func(j int) bool { return later[j] })
		for _, k := range it.partners {
			depends = depends || later[s.m.pairs[k].a] || later[s.m.pairs[k].b]
		}
		if depends {
			live = append(live, b.item)
		}
	}
	return live
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
	if s.dominated(d) {
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
		if s.stopped {
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

// visit is a beginning that has been gone through.
type visit struct{ time, misses, value int }

// dominated reports whether a beginning as good has been gone through: one that decides as many branches, leaves the
// same in everything but time, misses and value, and is as good in those. Otherwise it takes note of this one.
func (s *search) dominated(d int) bool {
	k := append(s.key[:0], byte(d), byte(d>>8))
	add := func(n int) { k = binary.AppendUvarint(k, uint64(n)) }
	for r, u := range s.used {
		if q := resource(r); q != ofTime && q != ofMisses && s.m.limits[r] < unlimited {
			add(u)
		}
	}
	// what the row of blocks depends on: how many there are, those in the places, the most of any other item
	most := 0
	for _, b := range s.branches[:d] {
		if w := s.picked[b.item]; w.place == nowhere {
			most = max(most, w.blocks)
		}
	}
	add(s.runs)
	add(most)
	for p := opening; p < places; p++ {
		add(s.blocks[p])
	}
	for _, i := range s.rest[d].live {
		w := s.picked[i]
		if len(s.m.items[i].partners) > 0 {
			add(w.trials)
			add(w.blocks)
		} else {
			add(min(w.trials, 1))
		}
	}
	s.key = k
	now := visit{s.used[ofTime], s.used[ofMisses], s.sum}
	if s.m.limits[ofMisses] >= unlimited {
		now.misses = 0
	}
	list := s.seen[string(k)]
	keep := list[:0]
	for _, o := range list {
		if o.time <= now.time && o.misses <= now.misses && o.value >= now.value {
			return true
		}
		if o.time < now.time || o.misses < now.misses || o.value > now.value {
			keep = append(keep, o)
		}
	}
	s.seen[string(k)] = append(keep, now)
	return false
}

// take keeps a whole solution if it is better and its blocks can be put into a row.
func (s *search) take() {
	if s.sum <= s.value {
		return
	}
	blocks := make([]int, len(s.picked))
	opens, closes := -1, -1
	for i, w := range s.picked {
		blocks[i] = w.blocks
		if w.place == opening || w.place == bothPlaces {
			opens = i
		}
		if w.place == closing || w.place == bothPlaces {
			closes = i
		}
	}
	if !inARow(blocks, opens, closes) {
		return
	}
	s.value = s.sum
	s.best = make([]way, len(s.picked))
	for i, w := range s.picked {
		s.best[i] = *w
	}
}
