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

// solveDay is the best solution of the day, its model, and how many rests it has.
func (b *builder) solveDay(few bool) (*model, *solution, int) {
	rest, every, asked := b.restLength()
	if !asked {
		m := b.newModel(few)
		return m, m.solve(b.nodes()), 0
	}
	longest := every
	for _, c := range b.cands {
		time := b.cost(c, b.foods.usual).time
		for n := range len(time) - 1 {
			longest = max(longest, time[n+1]-time[n])
		}
	}
	var best *solution
	var of *model
	rests, missed, before := 0, -1, 0
	for r := 0; r <= mostRests; r++ {
		work := min(b.limits.time-r*rest, (r+1)*longest+r*Changeover)
		if best != nil && work <= before { // as much fits with a rest less
			break
		}
		before = max(before, work)
		m, got := b.solveWithin(work, few)
		s := b.chosen(got, r)
		if _, n, _ := b.restsBefore(s, b.inOrder(s)); n > r {
			missed = max(missed, got.slots*placeValue+got.atMost) // the blocks do not fall so that r are enough
			continue
		}
		if best == nil || got.slots > best.slots || got.slots == best.slots && got.value > best.value {
			best, of, rests = got, m, r
		}
	}
	if best == nil {
		of, best = b.solveWithin(min(every, b.limits.time), few)
	}
	if missed > best.slots*placeValue+best.value {
		best.exact, best.atMost = false, max(best.atMost, min(missed, (best.slots+1)*placeValue-1)-best.slots*placeValue)
	}
	return of, best, rests
}

// mostRests bounds the rests that are tried.
const mostRests = 30

// solveWithin is the best solution with so much time for work.
func (b *builder) solveWithin(work int, few bool) (*model, *solution) {
	m := b.newModel(few)
	m.limits[ofTime] = work + Changeover
	return m, m.solve(b.nodes())
}

// chosen is a solution as a choice.
func (b *builder) chosen(got *solution, rests int) *choice {
	s := b.empty()
	for i, o := range got.option {
		s.n[i], s.blocks[i] = o.trials, o.blocks
	}
	s.opens, s.closes, s.rests = got.opens, got.closes, rests
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
