package schedules

import (
	"errors"
	"fmt"
	"math"
	"math/big"
)

// RatioKind is how the successes between two rewards are chosen.
type RatioKind uint8

const (
	Every    RatioKind = iota // every success pays
	Fixed                     // every nth success pays
	Variable                  // a balanced list of gaps, drawn without replacement
	Random                    // every success pays with the same chance
)

// Ratio is a reward schedule counted over successes, with a mean of Num/Den successes a reward. NewRatio makes one; the
// zero Ratio pays every success.
//
// "Variable" is a list with a given mean and "random" a constant chance per response, as told apart by Bancroft and
// Bourret (2008), Journal of Applied Behavior Analysis 41:227-235.
type Ratio struct {
	kind     RatioKind
	num, den int64 // mean, in lowest terms, at least 1
	list     []int // gaps of a variable ratio, in ascending order
	cap      int   // longest gap of a random ratio that is capped, else 0
	chance   int64 // then: the chance that a success pays, in parts of chanceParts
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
	a := num / den
	if a > maxList {
		return nil
	}
	return mixed(num, den, a-1, a)
}

// mixed is the list of gaps of mean num/den that mixes whole lists of a, evenly spread from a-under to a+under, and of
// a+1, from a+1-over to a+1+over, a being the whole part of the mean; nil where it would be too long.
func mixed(num, den, under, over int64) []int {
	a, p := num/den, num%den
	if den > maxList {
		return nil
	}
	// so that a share p/den of all gaps comes from lists of a+1
	lower, upper := (den-p)*(2*over+1), p*(2*under+1)
	g := gcd(lower, upper)
	lower, upper = lower/g, upper/g
	if lower*(2*under+1)+upper*(2*over+1) > maxList {
		return nil
	}
	var list []int
	for gap := min(a-under, a+1-over); gap <= max(a+under, a+1+over); gap++ {
		n := int64(0)
		if gap >= a-under && gap <= a+under {
			n += lower
		}
		if gap >= a+1-over && gap <= a+1+over {
			n += upper
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

var every = &Ratio{kind: Every, num: 1, den: 1}

// made is the ratio, or the one that a zero Ratio stands for.
func (r *Ratio) made() *Ratio {
	if r == nil || r.den == 0 {
		return every
	}
	return r
}

// Kind is the kind of ratio.
func (r *Ratio) Kind() RatioKind { return r.made().kind }

// Mean is the exact mean of successes a reward. Of a random ratio with a cap it is within a millionth of a millionth of
// the mean asked for.
func (r *Ratio) Mean() *big.Rat {
	r = r.made()
	if r.cap > 0 {
		mean, _ := r.cappedMoments()
		return mean
	}
	return big.NewRat(r.num, r.den)
}

// List is the list of gaps that a variable ratio draws from, ascending; nil for other kinds.
func (r *Ratio) List() []int { return append([]int(nil), r.made().list...) }

// Variance is the exact variance of the successes between two rewards: n(n-1)/3 for a variable ratio of a whole mean
// n, n(n-1) for a random one. For a fixed ratio with a fraction it is that of its two gaps.
func (r *Ratio) Variance() *big.Rat {
	r = r.made()
	m := r.Mean()
	switch r.kind {
	case Random:
		if r.cap > 0 {
			_, v := r.cappedMoments()
			return v
		}
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

// LongestUnpaid is the longest run of successes without a reward; bounded is false for a random ratio without a cap,
// which has none.
func (r *Ratio) LongestUnpaid() (n int, bounded bool) {
	r = r.made()
	switch r.kind {
	case Random:
		if r.cap > 0 {
			return r.cap - 1, true
		}
		return 0, r.num == r.den
	case Variable:
		return r.list[len(r.list)-1] - 1, true
	}
	return int((r.num+r.den-1)/r.den) - 1, true
}

// ChanceOfNone is the exact chance that the first n successes after a reward hold none. Of a fixed ratio with a fraction
// it is the share of its rewards after which that is so; a run that begins has the longer gap first.
func (r *Ratio) ChanceOfNone(n int) *big.Rat {
	r = r.made()
	if n <= 0 {
		return big.NewRat(1, 1)
	}
	switch r.kind {
	case Random:
		if r.cap > 0 && n >= r.cap {
			return new(big.Rat)
		}
		return power(new(big.Rat).Sub(big.NewRat(1, 1), r.chanceAt()), n)
	case Variable:
		over := 0
		for _, g := range r.list {
			if g > n {
				over++
			}
		}
		return big.NewRat(int64(over), int64(len(r.list)))
	}
	switch low := r.num / r.den; {
	case int64(n) < low:
		return big.NewRat(1, 1)
	case int64(n) == low:
		return big.NewRat(r.num%r.den, r.den)
	}
	return new(big.Rat)
}

// power is p multiplied n times.
func power(p *big.Rat, n int) *big.Rat {
	e := big.NewInt(int64(n))
	return new(big.Rat).SetFrac(new(big.Int).Exp(p.Num(), e, nil), new(big.Int).Exp(p.Denom(), e, nil))
}

// ChanceOfNoneAnywhere is the exact chance that n successes in a row hold no reward, wherever in a long run one begins
// to count: the share of places from which the next reward is more than n successes away.
func (r *Ratio) ChanceOfNoneAnywhere(n int) *big.Rat {
	r = r.made()
	if n <= 0 {
		return big.NewRat(1, 1)
	}
	longest, bounded := r.LongestUnpaid()
	if !bounded {
		return r.ChanceOfNone(n) // no success remembers the one before
	}
	sum := new(big.Rat)
	for k := n; k <= longest; k++ {
		sum.Add(sum, r.ChanceOfNone(k))
	}
	return sum.Quo(sum, r.Mean())
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
