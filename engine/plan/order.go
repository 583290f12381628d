package plan

import (
	"slices"
	"sort"

	"example.com/rung/curriculum"
)

// block is a run of trials of one candidate: trials from the from-th on, n of them.
type block struct{ cand, from, n int }

// order puts a choice into a sequence that the rules allow. Where no sequence does (one behaviour alone, and only so
// many in a row) trials are taken out until one does, one at a time from what runs on most; the choice is changed
// accordingly.
func (b *builder) order(s *choice) []block {
	for {
		sizes := make([][]int, len(b.cands))
		total := 0
		for i := range b.cands {
			sizes[i] = b.split(s, i)
			total += len(sizes[i])
		}
		if seq := b.sequence(s, sizes, total); seq != nil {
			return b.number(seq, sizes)
		}
		// the behaviour with most blocks is what cannot be kept apart
		most := 0
		for i := range sizes {
			if len(sizes[i]) > len(sizes[most]) {
				most = i
			}
		}
		if len(sizes[most]) == 1 {
			s.opens, s.closes = -1, -1 // cannot be: a sequence of single blocks always exists without places
			continue
		}
		s.n[most]--
		b.recount(s)
		b.trimmed = true
	}
}

// split is the sizes of the blocks of a candidate, as even as can be, the larger first.
func (b *builder) split(s *choice, i int) []int {
	n := s.n[i]
	if n == 0 {
		return nil
	}
	k := 1
	if r := b.limits.inARow; r > 0 {
		k = (n + r - 1) / r
	}
	paired := false
	for _, j := range b.cands[i].partners {
		paired = paired || s.n[j] > 0
	}
	both := i == s.opens && i == s.closes && s.behaviours > 1
	if n >= 2 && both || n >= 4 && paired {
		k = max(k, 2)
	}
	out := make([]int, k)
	for j := range out {
		out[j] = n / k
		if j < n%k {
			out[j]++
		}
	}
	return out
}

// orderNodes bounds the search for a sequence; the first try nearly always succeeds.
const orderNodes = 20_000

// sequence is an order of the blocks with no two of one behaviour running, the opening first and the closing last; nil
// where there is none. It is searched in the order of liking.
func (b *builder) sequence(s *choice, sizes [][]int, total int) []int {
	left := make([]int, len(sizes))
	for i := range sizes {
		left[i] = len(sizes[i])
	}
	seq, nodes := make([]int, 0, total), 0
	var walk func() bool
	walk = func() bool {
		if len(seq) == total {
			return true
		}
		if nodes++; nodes > orderNodes {
			return false
		}
		for _, i := range b.liking(s, sizes, left, seq, total) {
			seq, left[i] = append(seq, i), left[i]-1
			if walk() {
				return true
			}
			seq, left[i] = seq[:len(seq)-1], left[i]+1
		}
		return false
	}
	if !walk() {
		return nil
	}
	return seq
}

// liking is the candidates that may come next, the best first.
func (b *builder) liking(s *choice, sizes [][]int, left, seq []int, total int) []int {
	last := -1
	if len(seq) > 0 {
		last = seq[len(seq)-1]
	}
	final := len(seq) == total-1
	var out []int
	for i := range left {
		switch {
		case left[i] == 0, i == last:
		case len(seq) == 0 && s.opens >= 0 && i != s.opens:
		case final && s.closes >= 0 && i != s.closes:
		case !final && i == s.closes && left[i] == 1: // kept for the end
		default:
			out = append(out, i)
		}
	}
	// the most blocks that any one has left must be spread over what remains
	rank := make(map[int]int, len(out))
	for _, i := range out {
		rank[i] = b.rank(s, i, last, len(sizes[i])-left[i], 2*left[i] > total-len(seq))
	}
	sort.SliceStable(out, func(x, y int) bool {
		if rank[out[x]] != rank[out[y]] {
			return rank[out[x]] < rank[out[y]]
		}
		return b.cands[out[x]].points > b.cands[out[y]].points
	})
	return out
}

// rank is how late a candidate should come, given the one before it.
func (b *builder) rank(s *choice, i, last, done int, pressing bool) int {
	c := b.cands[i]
	r := 100 * done
	switch {
	case c.role == roleNew:
	case c.is(curriculum.Care):
		r += 10
	case c.role == roleWork, c.role == roleLapsed:
		r += 20
	default:
		r += 30
	}
	if c.is(curriculum.Lively) {
		r += 15
	}
	if pressing {
		r -= 1000
	}
	if last < 0 {
		return r
	}
	before := b.cands[last]
	if c.is(curriculum.Care) && before.is(curriculum.Lively) {
		r += 60
	}
	for _, j := range c.partners {
		if j == last {
			r -= 150
		}
	}
	for _, e := range c.sheet.Equipment {
		for _, f := range before.sheet.Equipment {
			if e == f {
				r -= 5
			}
		}
	}
	return r
}

// number gives each block its trials.
func (b *builder) number(seq []int, sizes [][]int) []block {
	next, from := make([]int, len(sizes)), make([]int, len(sizes))
	out := make([]block, len(seq))
	for k, i := range seq {
		n := sizes[i][next[i]]
		out[k] = block{i, from[i], n}
		next[i]++
		from[i] += n
	}
	return out
}

// claim gives a free first or last place to what stands there anyway and may have it, as where one behaviour is the
// whole session.
func (b *builder) claim(s *choice, blocks []block) {
	if len(blocks) == 0 {
		return
	}
	may := func(slot curriculum.Slot, cand int) bool {
		return cand >= 0 && slices.Contains(b.slotted(slot.Behaviour, slot.Known), cand)
	}
	if first := blocks[0].cand; s.opens < 0 && may(b.s.OpensWith, first) {
		s.opens = first
	}
	if last := blocks[len(blocks)-1].cand; s.closes < 0 && may(b.s.ClosesWith, last) {
		s.closes = last
	}
}
