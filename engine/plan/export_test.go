package plan

import (
	"slices"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/schedules"
)

// Solved is what the solver makes of a day, and what trying everything makes of it.
type Solved struct {
	Candidates    int
	Slots, Value  int
	AtMost        int
	Exact         bool
	Nodes         int
	BestSlots     int
	BestValue     int
	RowCost       int
	RowExact      bool
	BestRowCost   int // of the same blocks, by trying every row; -1 where there are too many
	Opens, Closes int
	Whole         bool
	Needed        bool // work must be in, for the session to be whole
}

// weighed is the builder of a day, with its gates passed and its candidates weighed.
func weighed(p *engine.Program, v *engine.DogView, r Request) *builder {
	c := p.Curriculum()
	s, err := r.check(c)
	if err != nil {
		return nil
	}
	b := &builder{c: c, v: v, r: r, s: s, plan: &Plan{Dog: v.Dog.Name}}
	b.setLimits()
	b.stock()
	b.gate()
	return b
}

// Solve solves a day within a budget of nodes.
func Solve(p *engine.Program, v *engine.DogView, r Request, budget int) (s Solved, ok bool) {
	b := weighed(p, v, r)
	if b == nil || b.foods.none != "" {
		return s, false
	}
	var got *solution
	if budget == nodeBudget {
		_, got = b.solveDay(false)
	} else {
		got = b.newModel(false).solve(budget)
	}
	return Solved{Candidates: len(b.cands), Slots: got.slots, Value: got.value, AtMost: got.atMost, Exact: got.exact, Nodes: got.nodes, Opens: got.opens, Closes: got.closes}, true
}

// SolveAndTryAll also tries every number of trials of every candidate and every order of the blocks; ok is false where
// that would take too long. What may be in is judged by the sums that the plan prints, not by the model.
func SolveAndTryAll(p *engine.Program, v *engine.DogView, r Request) (s Solved, ok bool) {
	b := weighed(p, v, r)
	if b == nil || b.foods.none != "" {
		return s, false
	}
	sizes := 1
	for _, x := range b.cands {
		if sizes *= x.most + 1; sizes > 30_000 {
			return s, false
		}
	}
	s, _ = Solve(p, v, r, nodeBudget)
	b.tryEverything(&s)
	chosen := b.choose()
	r2 := b.newLineUp(chosen)
	var seq []int
	seq, s.RowCost, s.RowExact = r2.cheapest(mostBegun)
	s.BestRowCost = -1
	if len(seq) <= 8 {
		s.BestRowCost = r2.tryAllRows()
	}
	return s, true
}

// tryEverything fills in the best there is, and whether a session without a gap is among all.
func (b *builder) tryEverything(s *Solved) {
	s.BestSlots, s.BestValue = -1, -1
	for _, o := range append(b.slotted(b.s.OpensWith), -1) {
		for _, cl := range append(b.slotted(b.s.ClosesWith), -1) {
			t := b.empty()
			t.opens, t.closes = o, cl
			slots := 0
			if o >= 0 {
				slots++
			}
			if cl >= 0 {
				slots++
			}
			b.tryAll(t, 0, func() {
				if !b.s.Rest.IsZero() {
					if !b.settleRests(t) || b.within(t) != "" {
						return
					}
				}
				s.Whole = s.Whole || b.wholeChoice(t) && (!s.Needed || b.work(func(i int) bool { return t.n[i] > 0 }))
				if v := b.worth(t); slots > s.BestSlots || slots == s.BestSlots && v > s.BestValue {
					s.BestSlots, s.BestValue = slots, v
				}
			})
		}
	}
}

// wholeChoice reports whether something is in and each place that somebody could have is filled.
func (b *builder) wholeChoice(t *choice) bool {
	o, c := b.slotted(b.s.OpensWith), b.slotted(b.s.ClosesWith)
	if len(b.cands) == 1 && sum(t.blocks) == 1 && len(o) < 2 && len(c) < 2 { // it has both places, if it may
		return true
	}
	return sum(t.n) > 0 && (t.opens >= 0 || len(o) == 0) && (t.closes >= 0 || len(c) == 0)
}

// Wholeness tries everything on a day eased from was; ok is false where that would take too long.
func Wholeness(p *engine.Program, v *engine.DogView, was, r Request, s *curriculum.Session) (whole, ok bool) {
	before := weighed(p, v, was)
	work := before.work(always)
	b := &builder{c: p.Curriculum(), v: v, r: r, s: s, plan: &Plan{Dog: v.Dog.Name}}
	b.setLimits()
	b.stock()
	b.gate()
	if b.foods.none != "" {
		return false, true
	}
	sizes := 1
	for _, x := range b.cands {
		if sizes *= x.most + 1; sizes > 3000 {
			return false, false
		}
	}
	for _, k := range [][2]curriculum.Slot{{before.s.OpensWith, s.OpensWith}, {before.s.ClosesWith, s.ClosesWith}} {
		if !k[1].IsZero() && len(before.slotted(k[0])) > 0 && len(b.slotted(k[1])) == 0 {
			return false, true // who could have the place is gone
		}
	}
	out := Solved{Needed: work || b.work(always)}
	b.tryEverything(&out)
	return out.Whole, true
}

// worth adds up the points of a choice anew.
func (b *builder) worth(t *choice) (v int) {
	for i, c := range b.cands {
		if t.n[i] > 0 {
			v += int(c.gain(t.n[i])*microPoints+0.5) - i
			if c.favoured {
				v += 100 * microPoints
			}
		}
		for _, j := range c.partners {
			if t.n[i] > 0 && t.n[j] > 0 {
				v += pointsPair * microPoints
			}
		}
	}
	return v
}

func (b *builder) tryAll(t *choice, i int, found func()) {
	if i == len(b.cands) {
		t.rests = 0
		b.recount(t)
		if b.within(t) == "" && b.pairsKept(t) && b.hasRow(t.blocks, -1, t.opens, t.closes) {
			found()
		}
		return
	}
	c := b.cands[i]
	opens, closes := i == t.opens, i == t.closes
	for n := 0; n <= c.most; n++ {
		switch {
		case n == 0 && (opens || closes), n > 0 && n < c.least && !(n >= 2 && b.together(i)), n > 0 && c.placeOnly() && !opens && !closes, opens && closes && (n < 2 || n < min(4, c.most)):
			continue
		}
		t.n[i] = n
		if n > 0 && b.barred(t, i) >= 0 {
			continue
		}
		least := 0
		if n > 0 {
			least = 1
			if r := b.limits.inARow; r > 0 {
				least = (n + r - 1) / r
			}
			least = b.shorten(i, n, least)
			if opens && closes {
				least = max(least, 2)
			}
		}
		t.blocks[i] = least
		b.tryAll(t, i+1, found)
		if n >= 4 && least == 1 && len(c.partners) > 0 {
			t.blocks[i] = 2
			b.tryAll(t, i+1, found)
		}
	}
	t.n[i], t.blocks[i] = 0, 0
}

func (b *builder) pairsKept(t *choice) bool {
	for i, c := range b.cands {
		for _, j := range c.partners {
			d := c.v.Trials7Days - b.cands[j].v.Trials7Days
			after := d + t.n[i] - t.n[j]
			if t.n[i] > 0 && t.n[j] > 0 && t.n[i] < c.least && !slices.Contains(c.apart, j) {
				return false // so few only where the other is out
			}
			if _, never := apart(c.v, b.cands[j].v); never {
				if t.n[i] > 0 && d > 0 {
					return false
				}
				continue
			}
			if after > 2 && after > d && after > -d || t.n[i] >= 4 && t.n[j] > 0 && t.blocks[i] < 2 {
				return false
			}
		}
	}
	return true
}

// together reports whether a candidate is one of a pair that may share a session, and not finished.
func (b *builder) together(i int) bool {
	if b.cands[i].v.State == curriculum.Kept {
		return false
	}
	for _, j := range b.cands[i].partners {
		if _, never := apart(b.cands[i].v, b.cands[j].v); !never {
			return true
		}
	}
	return false
}

// hasRow tries every row.
func (b *builder) hasRow(left []int, last, opens, closes int) bool {
	rest := 0
	for _, k := range left {
		rest += k
	}
	if rest == 0 {
		return last < 0 || closes < 0 || last == closes
	}
	for i := range left {
		if left[i] == 0 || i == last || last < 0 && opens >= 0 && i != opens || last >= 0 && b.upsets(last, i) {
			continue
		}
		left[i]--
		ok := b.hasRow(left, i, opens, closes)
		left[i]++
		if ok {
			return true
		}
	}
	return false
}

// upsets reports whether the candidate at first may not come straight before the other: lively work before care.
func (b *builder) upsets(first, then int) bool {
	return b.cands[first].is(curriculum.Lively) && b.cands[then].is(curriculum.Care)
}

// tryAllRows is the least cost of any row, each reckoned from its beginning.
func (r *lineUp) tryAllRows() int {
	best := -1
	left := append([]int(nil), r.blocks...)
	var seq []int
	var walk func()
	walk = func() {
		if len(seq) == sum(r.blocks) {
			if c, ok := r.costOf(seq); ok && (best < 0 || c < best) {
				best = c
			}
			return
		}
		for i := range left {
			if left[i] == 0 || len(seq) > 0 && seq[len(seq)-1] == i {
				continue
			}
			left[i]--
			seq = append(seq, i)
			walk()
			seq = seq[:len(seq)-1]
			left[i]++
		}
	}
	walk()
	return best
}

func (r *lineUp) costOf(seq []int) (cost int, ok bool) {
	seen := map[int]bool{}
	running := 0
	for at, i := range seq {
		last := len(r.blocks)
		if at > 0 {
			last = seq[at-1]
			if r.b.upsets(last, i) {
				return 0, false
			}
		}
		if at == 0 && r.opens >= 0 && i != r.opens || at == len(seq)-1 && r.closes >= 0 && i != r.closes {
			return 0, false
		}
		cost += r.before[i][last]
		if !seen[i] {
			cost += at * r.early[i]
		}
		seen[i] = true
		if at == 0 {
			cost += r.first[i]
		}
		if at == len(seq)-1 {
			cost += r.last[i]
		}
		if !r.lively[i] {
			running = 0
		} else if running++; running > 2 {
			cost += costThirdLively
		}
	}
	return cost, true
}

// NodeBudget is the budget of every plan.
const NodeBudget = nodeBudget

// CountOnce holds one session of a day against its limits.
func CountOnce(p *engine.Program, v *engine.DogView, r Request) func() {
	b := weighed(p, v, r)
	s := b.empty()
	for i, c := range b.cands {
		s.n[i] = min(i%3, c.most)
		s.blocks[i] = min(s.n[i], 1)
	}
	return func() {
		b.recount(s)
		_ = b.within(s)
	}
}

// SetUpOf is the set-up of a class whose dogs, turns and stations are all filled in: by dog and turn, the station or -1.
func SetUpOf(c Class) ([][]int, error) {
	s, err := c.setUp(setUpBudget)
	if err != nil {
		return nil, err
	}
	return s.at, nil
}

// SetUpWithin is how good the set-up is that so many tries find, and what is said of it.
func SetUpWithin(c Class, budget int) (at [][]int, how SetUp, notes []string, err error) {
	s, err := c.setUp(budget)
	if err != nil {
		return nil, SetUp{}, nil, err
	}
	return s.at, s.SetUp, s.notes(), nil
}

// Foreseen is the dog and the request as they will be at a moment, once the sessions before it are held as planned.
func Foreseen(p *engine.Program, f *engine.Fold, r Request, before []*Plan, at time.Time) (*engine.DogView, Request, error) {
	if schedules.DaysBetween(r.At, at) > 0 {
		r.ExtrasFed = 0
	}
	r.At = at
	for _, s := range before {
		if schedules.DaysBetween(s.At, at) == 0 {
			r.ExtrasFed += s.Extras
		}
	}
	v, err := foreseen(before).view(p, f, r)
	return v, r, err
}
