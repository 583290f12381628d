package plan

import (
	"math"
	"slices"
	"sort"

	"example.com/rung/curriculum"
)

// block is a run of trials of one candidate: trials from the from-th on, n of them.
type block struct{ cand, from, n int }

// The costs of a row of blocks. What is hard to bear costs most; of rows that cost the same the first in file order is
// taken.
const (
	costCareAfterLively = 1000 // care work straight after lively work
	costThirdLively     = 200  // lively work a third time running
	costPairApart       = 40   // a block of a pair that does not follow its partner
	costPutOut          = 10   // each piece of equipment that the block before did not need
	costCareUncalm      = 5    // care work that follows neither calm work nor care work
	costHardEnd         = 100  // times the chance that it fails, of what comes last, or first where a known opening is wanted and nobody has it
)

// early is the cost of each block that comes before the first of a candidate: new work while the dog is fresh, then
// care, then work; reviews and what is known can wait, lively work should.
func (c *candidate) early() int {
	cost := 4
	switch {
	case c.role == roleNew:
		cost = 6
	case c.is(curriculum.Care):
		cost = 5
	case c.role == roleReview:
		cost = 2
	case c.role == roleKnown:
		cost = 1
	}
	if c.is(curriculum.Lively) {
		cost = max(0, cost-3)
	}
	return cost
}

// lineUp is the blocks of a choice that are to be put in order.
type lineUp struct {
	b             *builder
	blocks        []int // of each candidate
	opens, closes int
	before        [][]int // before[i][j]: what it costs that j comes straight before i; j = len for the start
	early         []int
	first, last   []int // what it costs to come first, and last
	care, lively  []bool
	strict        bool // care never straight after lively work: the choice has seen to it that there is such a row
}

func (b *builder) newLineUp(s *choice) *lineUp {
	r := &lineUp{b: b, blocks: s.blocks, opens: s.opens, closes: s.closes, strict: true}
	for i, c := range b.cands {
		r.early = append(r.early, c.early())
		hard, first := int(math.Round(costHardEnd*(1-c.chance))), 0
		if s.opens < 0 && b.s.OpensWith.Known {
			first = hard
		}
		r.first, r.last = append(r.first, first), append(r.last, hard)
		r.care, r.lively = append(r.care, c.is(curriculum.Care)), append(r.lively, c.is(curriculum.Lively))
		costs := make([]int, len(b.cands)+1)
		for j := range costs {
			var last *candidate
			if j < len(b.cands) {
				last = b.cands[j]
			}
			costs[j] = b.follows(s, i, j, last)
		}
		r.before = append(r.before, costs)
	}
	return r
}

// follows is what it costs that candidate i comes straight after candidate j, or first where last is nil.
func (b *builder) follows(s *choice, i, j int, last *candidate) (cost int) {
	c := b.cands[i]
	switch {
	case !c.is(curriculum.Care):
	case last != nil && last.is(curriculum.Lively):
		cost += costCareAfterLively
	case last == nil || !last.is(curriculum.Calm) && !last.is(curriculum.Care):
		cost += costCareUncalm
	}
	for _, o := range c.partners {
		if s.n[o] > 0 && o != j {
			cost += costPairApart
		}
	}
	for _, e := range c.sheet.Equipment {
		if last == nil || !slices.Contains(last.sheet.Equipment, e) {
			cost += costPutOut
		}
	}
	return cost
}

// begun is a row begun: how many blocks of each candidate are left, which came last, and how many lively ones run.
type begun struct {
	cost int
	left []int
	last int // len(left) at the start
	run  int // lively blocks running, at most 2
	from *begun
}

// mostBegun bounds the rows that are kept at each place; an everyday day needs a few hundred.
const mostBegun = 20_000

// put is the row after one more block of i; nil where that is against the rules or leaves a rest that cannot be put
// into a row.
func (r *lineUp) put(s *begun, i, at, total int) *begun {
	final := at == total-1
	switch {
	case r.strict && s.last < len(r.care) && r.care[i] && r.lively[s.last]:
		return nil
	case s.left[i] == 0, i == s.last,
		at == 0 && r.opens >= 0 && i != r.opens,
		final && r.closes >= 0 && i != r.closes:
		return nil
	}
	left := slices.Clone(s.left)
	left[i]--
	if !final && !restInARow(left, i, r.closes) {
		return nil
	}
	t := &begun{cost: s.cost + r.before[i][s.last], left: left, last: i, from: s}
	if s.left[i] == r.blocks[i] {
		t.cost += at * r.early[i]
	}
	if at == 0 {
		t.cost += r.first[i]
	}
	if final {
		t.cost += r.last[i]
	}
	if r.lively[i] {
		if s.run == 2 {
			t.cost += costThirdLively
		}
		t.run = min(2, s.run+1)
	}
	return t
}

// restInARow reports whether what is left can follow a block of last.
func restInARow(left []int, last, closes int) bool {
	blocks := slices.Clone(left)
	blocks[last]++ // the one that stands already opens the rest
	return inARow(blocks, last, closes)
}

func sum(n []int) (t int) {
	for _, v := range n {
		t += v
	}
	return t
}

// cheapest is the row of least cost and that cost, by dynamic programming over what is left: of all beginnings that
// leave the same and end alike only the cheapest goes on. Exact unless more than most would have to be kept; then the
// dearest are let go, and a row is found all the same.
func (r *lineUp) cheapest(most int) (seq []int, cost int, exact bool) {
	total := sum(r.blocks)
	rows := []*begun{{left: r.blocks, last: len(r.blocks)}}
	exact = true
	for at := range total {
		best := map[string]int{} // place in next
		var next []*begun
		for _, s := range rows {
			for i := range r.blocks {
				t := r.put(s, i, at, total)
				if t == nil {
					continue
				}
				k := t.key()
				if x, ok := best[k]; !ok {
					best[k] = len(next)
					next = append(next, t)
				} else if t.cost < next[x].cost {
					next[x] = t
				}
			}
		}
		if len(next) > most {
			sort.SliceStable(next, func(x, y int) bool { return next[x].cost < next[y].cost })
			next, exact = next[:most], false
		}
		rows = next
	}
	var last *begun
	for _, s := range rows {
		if last == nil || s.cost < last.cost {
			last = s
		}
	}
	if last == nil && r.strict && total > 0 {
		r.strict = false // the beginnings that were let go had the rows; better one that costs than none
		seq, cost, _ = r.cheapest(most)
		return seq, cost, false
	}
	if last == nil {
		return nil, 0, true
	}
	cost = last.cost
	for s := last; s.from != nil; s = s.from {
		seq = append(seq, s.last)
	}
	slices.Reverse(seq)
	return seq, cost, exact
}

func (s *begun) key() string {
	k := make([]byte, 0, len(s.left)+3)
	for _, n := range s.left {
		k = append(k, byte(n))
	}
	return string(append(k, byte(s.last), byte(s.last>>8), byte(s.run)))
}

// order puts a choice into the best row the rules allow.
func (b *builder) order(s *choice) []block {
	row := b.rowOf(s)
	if b.plan.Choice != nil {
		b.plan.Choice.OrderExact = row.exact
	}
	return b.blocks(s, row.seq)
}

// inOrder is order without a word about it.
func (b *builder) inOrder(s *choice) []block { return b.blocks(s, b.rowOf(s).seq) }

// rowOfBlocks is the cheapest row of a choice.
type rowOfBlocks struct {
	seq   []int
	exact bool
}

// rowOf is the row of a choice. It depends on how many blocks each candidate has, and on the opening and the closing, not
// on the trials: of the many choices that are asked for their rests most share a few rows.
func (b *builder) rowOf(s *choice) rowOfBlocks {
	key := make([]byte, 0, len(s.blocks)+4)
	for _, k := range s.blocks {
		key = append(key, byte(k))
	}
	key = append(key, byte(s.opens), byte(s.opens>>8), byte(s.closes), byte(s.closes>>8))
	r, ok := b.rows[string(key)]
	if !ok {
		r.seq, _, r.exact = b.newLineUp(s).cheapest(mostBegun)
		if b.rows == nil {
			b.rows = map[string]rowOfBlocks{}
		}
		b.rows[string(key)] = r
	}
	return r
}

// blocks gives each block of a row its trials.
func (b *builder) blocks(s *choice, seq []int) []block {
	next, from := make([]int, len(b.cands)), make([]int, len(b.cands))
	out := make([]block, len(seq))
	for k, i := range seq {
		n := partOf(s.n[i], s.blocks[i], next[i])
		out[k] = block{i, from[i], n}
		next[i]++
		from[i] += n
	}
	return out
}

// partOf is the size of the at-th of so many blocks that n trials are split into as evenly as can be, the larger first.
func partOf(n, blocks, at int) int {
	k := n / blocks
	if at < n%blocks {
		k++
	}
	return k
}

// claim gives a free first or last place to what stands there anyway and may have it, as where one behaviour is the
// whole session.
func (b *builder) claim(s *choice, blocks []block) {
	if len(blocks) == 0 {
		return
	}
	if first := blocks[0].cand; s.opens < 0 && slices.Contains(b.slotted(b.s.OpensWith), first) {
		s.opens = first
	}
	if last := blocks[len(blocks)-1].cand; s.closes < 0 && slices.Contains(b.slotted(b.s.ClosesWith), last) {
		s.closes = last
	}
}
