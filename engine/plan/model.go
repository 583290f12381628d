package plan

import (
	"math"
	"slices"

	"example.com/rung/curriculum"
)

// A model is the choice of a session with nothing left in it of dogs and curricula:
//
//	take     one option of every item; its first is always "not at all"
//	so that  no resource is used beyond its limit,
//	         of two items that must stay apart at most one is in,
//	         two items that are a pair stay balanced and can take turns,
//	         the blocks can be put into a row with no two of one item side by side and no care straight after lively work,
//	         the opening comes first and the closing last.
//	Wanted   first, as many of the two places filled as can be; then the highest sum of values.
//
// newModel states a day as a model, solve finds the best solution of it, and the package's documentation says what an
// item is worth and what it uses.
type model struct {
	items  []modelItem
	limits amounts
	pairs  []modelPair
	opens  []int // who may open, best first; empty where nobody has to
	closes []int
	mixed  bool // there is both care and lively work among the items

	// accepts is a last question to a whole solution, beside the limits; nil where there is none. Where there is one no
	// beginning stands in for another.
	accepts func(*solution) bool
}

func (m *model) some(is func(*modelItem) bool) bool {
	for i := range m.items {
		if is(&m.items[i]) {
			return true
		}
	}
	return false
}

// resource is what options use up.
type resource int

const (
	ofTime       resource = iota // tenths of a second; a changeover goes with each block
	ofTrials                     // trials
	ofBehaviours                 // behaviours
	ofNew                        // new behaviours
	ofImpact                     // trials of what counts as impact
	ofPieces                     // pieces of food
	ofMisses                     // misses beyond the share that the session rules allow; easy items use less than nought
	resources
)

// amounts is so much of each resource.
type amounts [resources]int

// unlimited is more of a resource than any session uses.
const unlimited = math.MaxInt / 1024

// option is one way to have an item in a session.
type option struct {
	trials int
	blocks int // into how many runs the trials are split
	value  int // millionths of a point
	use    amounts
}

// modelItem is a candidate.
type modelItem struct {
	options   []option // the first is "not at all"
	both      []option // where it is the opening and the closing at once; in two runs at least
	placeOnly bool     // in only as the opening or the closing
	care      bool     // must not come straight after what is lively
	lively    bool
	least     int   // trials; fewer only while all it is a pair with stay out
	apart     []int // items it must not share a session with
	partners  []int // pairs it is one of, by their place in model.pairs
	week      int   // trials in the seven days up to the session
}

// modelPair is two items that belong together.
type modelPair struct {
	a, b    int
	value   int  // where both are in; an even number
	asunder bool // they may not be in one session: they take turns by sessions
}

// mostApart is how far the trials of a pair may come to differ over seven days: common practice, no source.
const mostApart = 2

// turnsFrom is the trials from which a pair takes turns instead of coming one behind the other.
const turnsFrom = 4

// keeps reports whether a pair keeps its rules: over seven days its trials come to differ by mostApart at most, or by no
// more than they did; and where both are in and one has many trials, that one comes up more than once. Of two that may
// not be in one session only the one that is not ahead may be in.
func (m *model) keeps(p modelPair, a, b *option) bool {
	before := m.items[p.a].week - m.items[p.b].week
	if p.asunder {
		return (a.trials == 0 || before <= 0) && (b.trials == 0 || before >= 0)
	}
	if a.trials > 0 && b.trials > 0 && (a.trials < m.items[p.a].least || b.trials < m.items[p.b].least) {
		return false
	}
	if abs(before+a.trials-b.trials) > max(mostApart, abs(before)) {
		return false
	}
	turns := func(o *option) bool { return o.trials < turnsFrom || o.blocks > 1 }
	return a.trials == 0 || b.trials == 0 || turns(a) && turns(b)
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}

// inARow reports whether blocks can be put into a row: no two of one item side by side, the opening first, the closing
// last; -1 where a place is free. The count of an item's blocks is all that matters: between two of its own something
// else must stand, and a place that another item has is none of its own.
func inARow(blocks []int, opens, closes int) bool {
	total := 0
	for _, k := range blocks {
		total += k
	}
	if total > 1 && opens >= 0 && opens == closes && blocks[opens] < 2 {
		return false
	}
	for i, k := range blocks {
		room := total - k + 1
		if opens >= 0 && opens != i {
			room--
		}
		if closes >= 0 && closes != i {
			room--
		}
		if k > 0 && k > room {
			return false
		}
	}
	return true
}

// hasRow reports whether blocks can be put into a row, care never straight after lively work. Rows are few here: a search
// over what is left and what came last, each looked at once.
func (m *model) hasRow(blocks []int, opens, closes int) bool {
	if !inARow(blocks, opens, closes) {
		return false
	}
	care, lively := false, false
	for i, k := range blocks {
		care, lively = care || k > 0 && m.items[i].care, lively || k > 0 && m.items[i].lively
	}
	if !care || !lively {
		return true
	}
	left, dead := slices.Clone(blocks), map[string]bool{}
	var walk func(last, rest int) bool
	walk = func(last, rest int) bool {
		if rest == 0 {
			return closes < 0 || last == closes
		}
		key := make([]byte, 0, len(left)+2)
		for _, k := range left {
			key = append(key, byte(k))
		}
		key = append(key, byte(last), byte(last>>8))
		if dead[string(key)] {
			return false
		}
		for i, k := range left {
			if k == 0 || i == last || last < 0 && opens >= 0 && i != opens || last >= 0 && m.items[i].care && m.items[last].lively {
				continue
			}
			left[i]--
			ok := walk(i, rest-1)
			left[i]++
			if ok {
				return true
			}
		}
		dead[string(key)] = true
		return false
	}
	return walk(-1, sum(blocks))
}

// solution is the trials of each item, and who opens and closes.
type solution struct {
	option []option
	opens  int // -1 where the place is free
	closes int
	slots  int // places filled
	value  int
	atMost int  // no solution with as many places filled has a higher value
	bound  int  // no solution at all is worth more, places included
	exact  bool // this is the best
	nodes  int  // of the search, for tests and benchmarks
}

// newModel states the day of a builder whose candidates are weighed. Where few is set an item may come in with a
// single trial.
func (b *builder) newModel(few bool) *model {
	m := &model{limits: b.modelLimits(), opens: b.slotted(b.s.OpensWith), closes: b.slotted(b.s.ClosesWith)}
	for i, c := range b.cands {
		least := c.least
		if few {
			least = min(least, 1)
		}
		it := modelItem{placeOnly: c.placeOnly() && !few, care: c.is(curriculum.Care), lively: c.is(curriculum.Lively), least: least, apart: c.apart, week: c.v.Trials7Days, options: []option{{}}}
		for n := min(least, c.leastAlone()); n <= c.most; n++ {
			k := b.shorten(i, n, b.runs(n))
			it.options = append(it.options, b.option(i, n, k))
			if n >= turnsFrom && k < 2 && len(c.partners) > 0 {
				it.options = append(it.options, b.option(i, n, 2))
			}
			if n >= min(leastBoth, c.most) && n >= 2 {
				it.both = append(it.both, b.option(i, n, max(2, k)))
			}
		}
		m.items = append(m.items, it)
	}
	m.mixed = m.some(func(it *modelItem) bool { return it.care }) && m.some(func(it *modelItem) bool { return it.lively })
	for i, c := range b.cands {
		for _, j := range c.partners {
			if i < j {
				p := len(m.pairs)
				m.pairs = append(m.pairs, modelPair{i, j, 2 * pointsPair * microPoints, slices.Contains(c.apart, j)})
				m.items[i].partners, m.items[j].partners = append(m.items[i].partners, p), append(m.items[j].partners, p)
			}
		}
	}
	return m
}

// leastAlone is the least trials of a candidate where what it is a pair with stays out: so few that the pair stays
// balanced, and each can come in by turns where both together are too much for a session.
func (c *candidate) leastAlone() int {
	if !c.finished && slices.ContainsFunc(c.partners, func(j int) bool { return !slices.Contains(c.apart, j) }) {
		return min(mostApart, c.least)
	}
	return c.least
}

// leastBoth is the trials of what opens and closes at once, where it may have so many: two each time.
const leastBoth = 4

// placeOnly reports whether a candidate is in for nothing but an opening or a closing.
func (c *candidate) placeOnly() bool { return c.role == roleKnown && !c.favoured }

// microPoints turns points into the whole numbers of a model.
const microPoints = 1_000_000

// option is n trials of candidate i in so many runs, paid with the usual food. Of two that are worth the same the one
// that comes first in the file is a millionth of a point better.
func (b *builder) option(i, n, blocks int) option {
	c := b.cands[i]
	k := b.cost(c, b.foods.usual)
	o := option{trials: n, blocks: blocks, value: int(math.Round(c.gain(n)*microPoints)) - i}
	if c.favoured {
		o.value += pointsAsked * microPoints
	}
	o.use[ofTime] = k.time[n] + blocks*Changeover
	o.use[ofTrials] = n
	o.use[ofBehaviours] = 1
	if c.role == roleNew {
		o.use[ofNew] = 1
	}
	if c.is(curriculum.Impact) {
		o.use[ofImpact] = n
	}
	o.use[ofPieces] = k.pieces[n]
	o.use[ofMisses] = n * c.surplus
	return o
}

// modelLimits is the session's limits as a model counts them. All food is the usual one here, so that what bounds energy
// bounds pieces.
func (b *builder) modelLimits() amounts {
	l, f := &b.limits, b.foods.usual
	var m amounts
	for r := range m {
		m[r] = unlimited
	}
	bound := func(r resource, most int) {
		if most >= 0 {
			m[r] = min(m[r], most)
		}
	}
	if l.time >= 0 {
		m[ofTime] = l.time + Changeover // nothing comes behind the last block
	}
	bound(ofTrials, l.trials)
	bound(ofBehaviours, l.behaviours)
	bound(ofNew, l.fresh)
	bound(ofImpact, l.impact)
	bound(ofPieces, l.pieces)
	if l.energy >= 0 && f.energy > 0 {
		bound(ofPieces, l.energy/f.energy)
	}
	if l.extras >= 0 && f.extra && f.energy > 0 {
		bound(ofPieces, l.extras/f.energy)
	}
	if !b.s.Success.IsZero() {
		m[ofMisses] = 0
	}
	return m
}

// runs is how many blocks n trials are split into, to have no more in a row than the session rules allow.
func (b *builder) runs(n int) int {
	if r := b.limits.inARow; r > 0 {
		return (n + r - 1) / r
	}
	return 1
}
