package schedules

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
)

// RatioKind is how the successes between two rewards are chosen.
type RatioKind uint8

const (
	Every    RatioKind = iota // every success pays
	Fixed                     // every nth success pays
	Variable                  // a balanced list of gaps, drawn without replacement
	Random                    // every success pays with the same chance
)

// Ratio is a reward schedule counted over successes, with a mean of Num/Den successes a reward. NewRatio makes one.
//
// "Variable" is a list with a given mean and "random" a constant chance per response, as told apart by Bancroft and
// Bourret (2008), Journal of Applied Behavior Analysis 41:227-235.
type Ratio struct {
	kind     RatioKind
	num, den int64 // mean, in lowest terms, at least 1
	list     []int // gaps of a variable ratio, in ascending order
}

// maxList bounds the list of a variable ratio: no session comes near it, and a mean such as 2.0001 would need a list
// of hundreds of thousands.
const maxList = 10_000

// Errors of NewRatio.
var (
	ErrMean    = errors.New("the mean of a ratio is one success or more")
	ErrUneven  = errors.New("no balanced list of a sensible length has this mean: round it to a half or a quarter")
	ErrUnknown = errors.New("no such kind of ratio")
)

// NewRatio is a ratio schedule with a mean of num/den successes a reward; the mean of Every is 1 whatever is passed.
//
// A whole mean n gives the variable list 1, 2, ... 2n-1. A mean between two whole numbers a and a+1 mixes whole lists
// of a and of a+1 in the one proportion that makes the mean exact: 1.5 is three lists of 1 and one of 2, that is the
// gaps 1 1 1 1 2 3. A fixed ratio with a fraction pays at the successes ceil(mean), ceil(2 mean), ...: 1.5 pays the
// 2nd, 3rd, 5th, 6th.
func NewRatio(kind RatioKind, num, den int64) (*Ratio, error) {
	switch {
	case kind > Random:
		return nil, ErrUnknown
	case kind == Every:
		return &Ratio{kind: Every, num: 1, den: 1}, nil
	case den <= 0 || num < den || num > math.MaxInt32*den/2:
		return nil, ErrMean
	}
	g := gcd(num, den)
	r := &Ratio{kind: kind, num: num / g, den: den / g}
	if kind == Variable {
		if r.list = balanced(r.num, r.den); r.list == nil {
			return nil, fmt.Errorf("%w (%d/%d)", ErrUneven, num, den)
		}
	}
	return r, nil
}

// balanced is the list of gaps described at NewRatio, ascending; nil where it would be too long.
func balanced(num, den int64) []int {
	a, p := num/den, num%den
	if a > maxList || den > maxList {
		return nil
	}
	// whole lists of a and of a+1, so that a share p/den of all gaps comes from lists of a+1
	lower, upper := (den-p)*(2*a+1), p*(2*a-1)
	g := gcd(lower, upper)
	lower, upper = lower/g, upper/g
	if lower*(2*a-1)+upper*(2*a+1) > maxList {
		return nil
	}
	var list []int
	for gap := int64(1); gap <= 2*a+1; gap++ {
		n := upper
		if gap <= 2*a-1 {
			n += lower
		}
		for range n {
			list = append(list, int(gap))
		}
	}
	return list
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return max(a, 1)
}

// Kind is the kind of ratio.
func (r *Ratio) Kind() RatioKind { return r.kind }

// Mean is the exact mean of successes a reward.
func (r *Ratio) Mean() *big.Rat { return big.NewRat(r.num, r.den) }

// List is the list of gaps that a variable ratio draws from, ascending; nil for other kinds.
func (r *Ratio) List() []int { return append([]int(nil), r.list...) }

// Variance is the exact variance of the successes between two rewards: n(n-1)/3 for a variable ratio of a whole mean
// n, n(n-1) for a random one. For a fixed ratio with a fraction it is that of its two gaps.
func (r *Ratio) Variance() *big.Rat {
	m := r.Mean()
	switch r.kind {
	case Random:
		return new(big.Rat).Mul(m, new(big.Rat).Sub(m, big.NewRat(1, 1)))
	case Variable:
		sum := new(big.Int)
		for _, g := range r.list {
			sum.Add(sum, big.NewInt(int64(g)*int64(g)))
		}
		v := new(big.Rat).SetFrac(sum, big.NewInt(int64(len(r.list))))
		return v.Sub(v, new(big.Rat).Mul(m, m))
	case Fixed:
		f := big.NewRat(r.num%r.den, r.den)
		return new(big.Rat).Mul(f, new(big.Rat).Sub(big.NewRat(1, 1), f))
	}
	return new(big.Rat)
}

// LongestUnpaid is the longest run of successes without a reward; bounded is false for a random ratio, which has none.
func (r *Ratio) LongestUnpaid() (n int, bounded bool) {
	switch r.kind {
	case Random:
		return 0, r.num == r.den
	case Variable:
		return r.list[len(r.list)-1] - 1, true
	}
	return int((r.num+r.den-1)/r.den) - 1, true
}

// ChanceOfNone is the exact chance that the first n successes after a reward hold none.
func (r *Ratio) ChanceOfNone(n int) *big.Rat {
	if n <= 0 {
		return big.NewRat(1, 1)
	}
	switch r.kind {
	case Random:
		miss := new(big.Rat).Sub(big.NewRat(1, 1), big.NewRat(r.den, r.num))
		p := big.NewRat(1, 1)
		for range n {
			p.Mul(p, miss)
		}
		return p
	case Variable:
		over := 0
		for _, g := range r.list {
			if g > n {
				over++
			}
		}
		return big.NewRat(int64(over), int64(len(r.list)))
	}
	if int64(n)*r.den < r.num {
		return big.NewRat(1, 1)
	}
	return new(big.Rat)
}

// Hazard is the exact chance that success k after a reward pays, given that none before it did; zero where no gap is
// that long. A variable ratio of whole mean n has 1/(2n-k), a random one 1/n throughout.
func (r *Ratio) Hazard(k int) *big.Rat {
	before := r.ChanceOfNone(k - 1)
	if k < 1 || before.Sign() == 0 {
		return new(big.Rat)
	}
	q := new(big.Rat).Quo(r.ChanceOfNone(k), before)
	return q.Sub(big.NewRat(1, 1), q)
}

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

// Gaps yields the successes from one reward to the next, for as long as asked. A variable list is shuffled anew each
// time it is used up, so that every whole list holds the mean exactly.
type Gaps struct {
	of   *Ratio
	rng  *rand.Rand
	left []int
	paid int64 // rewards given, for a fixed ratio
}

// Gaps starts a run of gaps from a seed.
func (r *Ratio) Gaps(seed uint64) *Gaps { return &Gaps{of: r, rng: source(seed, streamGaps)} }

// Next is the number of successes up to and with the next paid one, at least 1.
func (g *Gaps) Next() int {
	r := g.of
	switch r.kind {
	case Fixed:
		before := (g.paid*r.num + r.den - 1) / r.den
		g.paid++
		return int((g.paid*r.num+r.den-1)/r.den - before)
	case Random:
		n := 1
		for g.rng.Int64N(r.num) >= r.den {
			n++
		}
		return n
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
