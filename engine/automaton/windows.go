package automaton

import (
	"fmt"
	"slices"
)

// sees is what a part looks at in a trial: does it fill, does it count.
type sees struct {
	key    string // its meaning
	fills  func(*Case) bool
	counts func(*Case) bool
}

// input is "" for a trial that does not fill, else 0 or 1 for not counting or counting, and behind it whether it is
// evidence where that matters.
func (s *sees) input(c *Case) string {
	if !s.fills(c) {
		return ""
	}
	return bit(s.counts(c))
}

// window is at least k that count among the newest n that fill. Its state is the ages of those that can still be among
// k: the i-th newest of age a can, as long as a + (k-i) < n, because k-i more must come before it is needed. That gives
// C(n+1, k) states, the fewest there can be.
type window struct {
	sees
	k, n int
}

func (w *window) id() string           { return fmt.Sprintf("window %d %d %s", w.k, w.n, w.key) }
func (w *window) start(Entry) string   { return "" }
func (w *window) close(at string) bool { return w.full(at) }

func (w *window) full(at string) bool {
	n := 0
	for r := (reading{at}); r.more(); n++ {
		r.num()
	}
	return n >= w.k
}

func (w *window) trial(at, in string) (string, bool) {
	if in == "" {
		return at, w.full(at)
	}
	to, n := newer(nil, at, in == "1", w.k, w.n)
	return string(to), n >= w.k
}

func (w *window) edge(at string, _ edge) string { return at }

// newer adds a list of ages, newest first, one trial later: of those that count the newest k that are of use, and how
// many these are.
func newer(to state, at string, counts bool, k, n int) (state, int) {
	to = slices.Grow(to, len(at)+2)
	i := 0 // those before it; where one is of no use, none behind it is
	if counts && k-1 < n {
		to, i = to.num(0), 1
	}
	for r := (reading{at}); r.more() && i < k; i++ {
		age := r.num() + 1
		if age+(k-i-1) >= n {
			break
		}
		to = to.num(age)
	}
	return to, i
}

// atMost is: n have filled, and at least k of the newest n do not count (the sees is turned round).
type atMost struct {
	sees
	k, n int
}

func (w *atMost) id() string {
	return fmt.Sprintf("at most %d %d %s", w.k, w.n, w.key)
}
func (w *atMost) start(Entry) string { return string(state{}.num(0)) }

func (w *atMost) close(at string) bool {
	r := reading{at}
	filled, n := r.num(), 0
	for ; r.more(); n++ {
		r.num()
	}
	return filled >= w.n && n >= w.k
}

func (w *atMost) trial(at, in string) (string, bool) {
	if in == "" {
		return at, w.close(at)
	}
	r := reading{at}
	filled := min(r.num()+1, w.n)
	to, n := newer(state{}.num(filled), r.s, in == "1", w.k, w.n)
	return string(to), filled >= w.n && n >= w.k
}

func (w *atMost) edge(at string, _ edge) string { return at }

// block is at least k of each n, and of the n before where twice is asked for. It holds at the trial that ends a block.
type block struct {
	sees
	k, n    int
	twice   bool
	closing bool // asked when sessions end: then it holds if their last evidence ended a block
}

func (b *block) id() string {
	return fmt.Sprintf("block %d %d %v %v %s", b.k, b.n, b.twice, b.closing, b.key)
}

func (b *block) input(c *Case) string { return b.sees.input(c) + "|" + bit(c.Kind.Evidence()) }

// the state is: how far into the block, how many counted (-1 for too few to reach k), the block before was good, the
// last evidence ended a good one
func (b *block) start(Entry) string   { return string(state{}.num(0).num(0).yes(false).yes(false)) }
func (b *block) close(at string) bool { return at[len(at)-1] != 0 }

func (b *block) trial(at, in string) (string, bool) {
	r := reading{at}
	p, c, before, ended := r.num(), r.num(), r.yes(), r.yes()
	evidence := in[len(in)-1] == '1'
	if in[0] == '|' { // it does not fill
		ended = ended && !evidence
		return string(state{}.num(p).num(c).yes(before).yes(ended)), false
	}
	p++
	if in[0] == '1' && c >= 0 && c < b.k {
		c++
	}
	if c >= 0 && c+b.n-p < b.k {
		c = -1
	}
	holds := false
	if p == b.n {
		good := c >= b.k
		holds = good && (before || !b.twice)
		p, c, before = 0, 0, good && b.twice
	}
	return string(state{}.num(p).num(c).yes(before).yes(holds && evidence && b.closing)), holds
}

func (b *block) edge(at string, e edge) string {
	if e != sessionEnd {
		return at
	}
	return at[:len(at)-1] + "\x00"
}

// counter counts up to n.
type counter struct {
	sees
	n      int
	atStep bool // began when the step was entered
}

func (c *counter) id() string {
	return fmt.Sprintf("count %d %v %s", c.n, c.atStep, c.key)
}

func (c *counter) start(e Entry) string {
	if c.atStep {
		return string(state{}.num(min(e.StepTrials, c.n)))
	}
	return string(state{}.num(0))
}

func (c *counter) input(k *Case) string { return bit(c.fills(k) && c.counts(k)) }

func (c *counter) close(at string) bool { r := reading{at}; return r.num() >= c.n }

func (c *counter) trial(at, in string) (string, bool) {
	if in == "1" {
		r := reading{at}
		at = string(state{}.num(min(r.num()+1, c.n)))
	}
	return at, c.close(at)
}

func (c *counter) edge(at string, _ edge) string { return at }

// condition is a condition in braces, asked of the present trial.
type condition struct {
	key     string
	asks    func(*Case) bool
	closing bool
}

func (c *condition) id() string         { return fmt.Sprintf("condition %v %s", c.closing, c.key) }
func (c *condition) start(Entry) string { return "0" }

func (c *condition) input(k *Case) string { return bit(c.asks(k)) + bit(k.Kind.Evidence()) }

func (c *condition) close(at string) bool { return at == "1" }

func (c *condition) trial(at, in string) (string, bool) {
	if c.closing && in[1] == '1' {
		at = in[:1]
	}
	return at, in[0] == '1'
}

func (c *condition) edge(at string, e edge) string {
	if e == sessionEnd {
		return "0"
	}
	return at
}
