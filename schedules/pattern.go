package schedules

import "math/rand/v2"

// Pattern tells of n successes which are paid, beginning after the first `after` of the whole run: with the same seed
// the pattern goes on where an earlier session left it.
func (r *Ratio) Pattern(after, n int, seed uint64) []bool {
	g := r.Gaps(seed)
	out := make([]bool, max(n, 0))
	// at the end of each gap stands a paid success, counted from one
	for at := g.Next(); at <= after+n; at += g.Next() {
		if at > after {
			out[at-after-1] = true
		}
	}
	return out
}

// Gaps yields the successes from one reward to the next, for as long as asked; Ratio.Gaps begins a run. A variable list
// is shuffled anew each time it is used up, so that every whole list holds the mean exactly.
type Gaps struct {
	of   *Ratio
	rng  *rand.Rand
	left []int
	paid int64 // rewards given, for a fixed ratio
}

// Gaps starts a run of gaps from a seed.
func (r *Ratio) Gaps(seed uint64) *Gaps { return &Gaps{of: r.made(), rng: source(seed, streamGaps)} }

// Next is the number of successes up to and with the next paid one, at least 1.
func (g *Gaps) Next() int {
	r := g.of.made()
	switch r.kind {
	case Fixed:
		before := (g.paid*r.num + r.den - 1) / r.den
		g.paid++
		return int((g.paid*r.num+r.den-1)/r.den - before)
	case Random:
		for n := 1; ; n++ {
			if n == r.cap || r.pays(g.rng) {
				return n
			}
		}
	case Variable:
		if len(g.left) == 0 {
			g.left = r.List()
			g.rng.Shuffle(len(g.left), func(i, j int) { g.left[i], g.left[j] = g.left[j], g.left[i] })
		}
		next := g.left[0]
		g.left = g.left[1:]
		return next
	}
	return 1
}
