package schedules

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
)

// ErrCap is in the chain of the error for a cap that the mean does not allow.
var ErrCap = errors.New("a mean of so many successes cannot be held with so few unpaid in a row")

// chanceParts is the fineness of the chance of a capped random ratio: a power of two, so that a draw costs one number.
const chanceParts = 1 << chanceBits

const chanceBits = 60

// GivenUp is what a cap on the longest unpaid run has changed. The mean is the same.
type GivenUp struct {
	Shortest, Longest [2]int // successes from one reward to the next, without the cap and with it; Longest 0 has no bound
	Variance          [2]*big.Rat
}

// Nothing reports whether the cap changed nothing.
func (g GivenUp) Nothing() bool {
	return g.Variance[0].Cmp(g.Variance[1]) == 0 && g.Longest[0] == g.Longest[1]
}

// String says it in a sentence.
func (g GivenUp) String() string {
	if g.Nothing() {
		return "the cap changes nothing"
	}
	was := fmt.Sprintf("%d to %d", g.Shortest[0], g.Longest[0])
	if g.Longest[0] == 0 {
		was = fmt.Sprintf("%d and more", g.Shortest[0])
	}
	now := fmt.Sprintf("%d to %d", g.Shortest[1], g.Longest[1])
	if g.Shortest[1] == g.Longest[1] {
		now = fmt.Sprintf("exactly %d", g.Longest[1])
	}
	return fmt.Sprintf("rewards come %s successes apart in place of %s, so they are easier to foresee: variance %s in place of %s",
		now, was, decimal(g.Variance[1]), decimal(g.Variance[0]))
}

func decimal(r *big.Rat) string {
	if r.IsInt() {
		return r.RatString()
	}
	return r.FloatString(2)
}

// Capped is the ratio with at most `unpaid` successes in a row without a reward, and the same mean. What the cap costs
// is returned beside it: regularity. ErrCap is returned where no list has both.
//
// A variable ratio keeps its list evenly spread around the mean and makes it narrower at both ends: a mean of 4 with at
// most 4 unpaid is 3 4 5 in place of 1 to 7. A random ratio pays with a slightly smaller chance, and for certain once
// the cap is reached; the chance is set so that the mean is the one asked for. The others are regular already.
func (r *Ratio) Capped(unpaid int) (*Ratio, GivenUp, error) {
	r = r.made()
	g := GivenUp{Shortest: [2]int{r.shortest(), r.shortest()}, Variance: [2]*big.Rat{r.Variance(), r.Variance()}}
	longest, bounded := r.LongestUnpaid()
	if bounded {
		g.Longest = [2]int{longest + 1, longest + 1}
		if longest <= unpaid {
			return r, g, nil
		}
	}
	most := int64(unpaid) + 1
	if unpaid < 0 || unpaid >= maxList || big.NewRat(most, 1).Cmp(r.Mean()) < 0 || r.kind == Fixed {
		return nil, GivenUp{}, fmt.Errorf("%w: mean %s, at most %d unpaid", ErrCap, r.Mean().RatString(), unpaid)
	}
	c := &Ratio{kind: r.kind, num: r.num, den: r.den}
	switch whole := r.num / r.den; {
	case r.kind == Random && big.NewRat(most, 1).Cmp(r.Mean()) == 0:
		return nil, GivenUp{}, fmt.Errorf("%w at random: mean %s, at most %d unpaid", ErrCap, r.Mean().RatString(), unpaid)
	case r.kind == Random:
		c.cap = int(most)
		c.chance = cappedChance(float64(r.num)/float64(r.den), int(most))
	default:
		// lists of the whole part reach down to 1, those above it as far as the cap lets them
		c.list = mixed(r.num, r.den, min(whole-1, most-whole), max(0, min(whole, most-whole-1)))
		if c.list == nil {
			return nil, GivenUp{}, fmt.Errorf("%w (%s)", ErrUneven, r.Mean().RatString())
		}
	}
	longest, _ = c.LongestUnpaid()
	g.Shortest[1], g.Longest[1], g.Variance[1] = c.shortest(), longest+1, c.Variance()
	return c, g, nil
}

// shortest is the least successes from one reward to the next.
func (r *Ratio) shortest() int {
	switch r.kind {
	case Variable:
		return r.list[0]
	case Fixed:
		return int(r.num / r.den)
	}
	return 1
}

// cappedChance is the chance, in parts of chanceParts, of the geometric gaps cut off at most that have that mean:
// (1-(1-p)^most)/p = mean, found by halving.
func cappedChance(mean float64, most int) int64 {
	low, high := int64(1), int64(chanceParts)
	for low < high {
		mid := low + (high-low)/2
		p := float64(mid) / chanceParts
		if -math.Expm1(float64(most)*math.Log1p(-p))/p > mean {
			low = mid + 1 // rewards are too far apart
		} else {
			high = mid
		}
	}
	return low
}

// chanceAt is the chance that a success of a random ratio pays, the cap apart.
func (r *Ratio) chanceAt() *big.Rat {
	if r.cap > 0 {
		return big.NewRat(r.chance, chanceParts)
	}
	return big.NewRat(r.den, r.num)
}

// pays draws whether a success of a random ratio pays.
func (r *Ratio) pays(rng *rand.Rand) bool {
	if r.cap > 0 {
		return rng.Int64N(chanceParts) < r.chance
	}
	return rng.Int64N(r.num) < r.den
}

// cappedMoments is the exact mean and variance of geometric gaps cut off at the cap, by the sums of the chances that a
// gap is longer than k, all over one denominator.
func (r *Ratio) cappedMoments() (mean, variance *big.Rat) {
	sum, odd := new(big.Int), new(big.Int)
	over, miss := big.NewInt(1), big.NewInt(chanceParts-r.chance) // over is (1-p)^k in parts of chanceParts^k
	term := new(big.Int)
	for k := range r.cap {
		sum.Lsh(sum, chanceBits).Add(sum, over)
		odd.Lsh(odd, chanceBits).Add(odd, term.Mul(over, big.NewInt(int64(2*k+1))))
		over.Mul(over, miss)
	}
	parts := new(big.Int).Lsh(big.NewInt(1), uint(chanceBits*(r.cap-1)))
	mean = new(big.Rat).SetFrac(sum, parts)
	variance = new(big.Rat).SetFrac(odd, parts)
	return mean, variance.Sub(variance, new(big.Rat).Mul(mean, mean))
}
