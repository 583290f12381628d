package plan

import "math"

// Rests: where the session rules lay down a break, no stretch of work is longer than they say, changeovers included,
// unless a single trial is; and the breaks count among the minutes. How many breaks there are decides how long the work
// may be, so the day is solved for none, for one, for two, and the best of these is taken.

// restLength is the length of a rest and of the longest stretch of work, in tenths of a second; ok is false where no rest
// is laid down.
func (b *builder) restLength() (rest, every int, ok bool) {
	if b.s.Rest.IsZero() {
		return 0, 0, false
	}
	return int(math.Ceil(b.s.Rest.For.Float()*10 - 1e-6)), int(math.Floor(b.s.Rest.Every.Float()*10 + 1e-6)), true
}

// restsBefore says before which blocks a rest comes: as late as can be. ok is false where a block of several trials is
// itself too long.
func (b *builder) restsBefore(s *choice, blocks []block) (before []bool, n int, ok bool) {
	before = make([]bool, len(blocks))
	_, every, asked := b.restLength()
	if !asked {
		return before, 0, true
	}
	stretch, ok := 0, true
	for at, k := range blocks {
		cost := b.cost(b.cands[k.cand], s.food[k.cand])
		t := cost.time[k.from+k.n] - cost.time[k.from]
		ok = ok && (t <= every || k.n == 1)
		if at == 0 {
			stretch = t
		} else if stretch += Changeover + t; stretch > every {
			before[at], stretch = true, t
			n++
		}
	}
	return before, n, ok
}

// shorten splits n trials of a candidate into more runs, as long as one of them would be a longer stretch than the rests
// allow.
func (b *builder) shorten(i, n, runs int) int {
	_, every, asked := b.restLength()
	if !asked {
		return runs
	}
	time := b.cost(b.cands[i], b.foods.usual).time
	tooLong := func(runs int) bool {
		from := 0
		for at := range runs {
			to := from + partOf(n, runs, at)
			if time[to]-time[from] > every {
				return true
			}
			from = to
		}
		return false
	}
	for runs < n && tooLong(runs) {
		runs++
	}
	return runs
}

// solveDay is the best solution of the day, and its model.
//
// With so many rests there is so much time for work; of the choices that keep it the best is found, and taken if its
// blocks fall so that the rests are enough. Where a better one may be left out in this way, every choice is asked for its
// own rests, best first, until the best that has the time for them is found.
func (b *builder) solveDay(few bool) (*model, *solution) {
	if _, _, asked := b.restLength(); !asked {
		m := b.newModel(few)
		return m, m.solve(nodeBudget)
	}
	m, best, most := b.solveByRests(few)
	if most <= best.total() {
		return m, best
	}
	m = b.restedModel(few)
	got := m.solveBetween(restBudget, best.total(), most)
	if !none(got.option) {
		best = got
	}
	best.exact, best.atMost = got.exact, best.value
	if !got.exact {
		best.atMost = best.within(min(most, got.bound))
	}
	return m, best
}

// solveByRests is the best solution whose blocks fall right for none, one, two rests, its model, and what no solution is
// worth more than.
func (b *builder) solveByRests(few bool) (of *model, best *solution, most int) {
	before := 0
	for r := 0; ; r++ {
		work := b.workBetween(r)
		if work <= 0 || best != nil && work <= before { // as much fits with a rest less
			break
		}
		before = max(before, work)
		if r > mostRests {
			_, got := b.solveWithin(b.longestWork(), few)
			most = max(most, got.bound)
			break
		}
		m, got := b.solveWithin(work, few)
		most = max(most, got.bound)
		if _, n, _ := b.restsBefore(b.chosen(got), b.inOrder(b.chosen(got))); n <= r && (best == nil || got.total() > best.total()) {
			best, of = got, m
		}
	}
	if best == nil {
		_, every, _ := b.restLength()
		of, best = b.solveWithin(min(every, b.limits.time), few) // that needs no rest
	}
	return of, best, most
}

// restBudget bounds the search that asks every choice for its rests: it goes slower than the others.
const restBudget = nodeBudget / 4

// mostRests bounds the rests that are tried one by one.
const mostRests = 30

// workBetween is the most work that goes with so many rests, changeovers included; nought or less where there is no room
// for any.
func (b *builder) workBetween(rests int) int {
	rest, longest, _ := b.restLength()
	for _, c := range b.cands {
		time := b.cost(c, b.foods.usual).time
		for n := range len(time) - 1 {
			longest = max(longest, time[n+1]-time[n]) // a single trial may be longer
		}
	}
	return min(b.limits.time-rests*rest, (rests+1)*longest+rests*Changeover)
}

// longestWork is the most work that any number of rests leaves room for.
func (b *builder) longestWork() (most int) {
	for r := 0; ; r++ {
		work := b.workBetween(r)
		if work <= most {
			return most
		}
		most = work
	}
}

// solveWithin is the best solution with so much time for work.
func (b *builder) solveWithin(work int, few bool) (*model, *solution) {
	m := b.newModel(few)
	m.limits[ofTime] = work + Changeover
	return m, m.solve(nodeBudget)
}

// restedModel is the day's model, with the question to every choice whether there is time for its rests.
func (b *builder) restedModel(few bool) *model {
	m := b.newModel(few)
	if _, _, asked := b.restLength(); asked {
		m.limits[ofTime] = b.longestWork() + Changeover
		m.accepts = func(got *solution) bool {
			s := b.chosen(got)
			return b.settleRests(s) && b.within(s) == ""
		}
	}
	return m
}

// chosen is a solution as a choice, its rests not counted yet.
func (b *builder) chosen(got *solution) *choice {
	s := b.empty()
	for i, o := range got.option {
		s.n[i], s.blocks[i] = o.trials, o.blocks
	}
	s.opens, s.closes = got.opens, got.closes
	b.recount(s)
	return s
}

// settleRests counts the rests that a choice really needs; false where its blocks are too long for any.
func (b *builder) settleRests(s *choice) bool {
	if _, _, asked := b.restLength(); !asked {
		return true
	}
	_, n, ok := b.restsBefore(s, b.inOrder(s))
	s.rests = n
	b.recount(s)
	return ok
}
