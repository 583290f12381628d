package schedules

import (
	"errors"
	"math/big"
)

// ErrThin is returned for a thinning that does not begin at one success a reward or more, or does not go on to more.
var ErrThin = errors.New("a thinning goes from one success a reward, or more, to more and more")

// Leaps tells which steps of a thinning, given as its means of successes a reward, pay less than half as often as the
// step before: index i is the step from means[i] to means[i+1]. At most halving, and going back to the last ratio that
// held when success falls, is common practice, no source. Before the first step every success is taken to be paid only
// if the first mean says so.
func Leaps(means []*big.Rat) ([]int, error) {
	var out []int
	for i, m := range means {
		switch {
		case m == nil || m.Cmp(big.NewRat(1, 1)) < 0, i > 0 && m.Cmp(means[i-1]) <= 0:
			return nil, ErrThin
		case i > 0 && new(big.Rat).Quo(m, means[i-1]).Cmp(big.NewRat(2, 1)) > 0:
			out = append(out, i-1)
		}
	}
	return out, nil
}

// Thinning is the means from one success a reward to goal, each at most factor times the one before and in steps of a
// quarter: with 3/2 and a goal of 3 it is 1, 3/2, 9/4, 3. The factor is from 5/4 to 2. Times thin by the same numbers: the
// first time, multiplied by each.
func Thinning(goal, factor *big.Rat) ([]*big.Rat, error) {
	one := big.NewRat(1, 1)
	if goal == nil || factor == nil || goal.Cmp(one) < 0 || goal.Cmp(big.NewRat(maxList, 1)) > 0 || factor.Cmp(big.NewRat(5, 4)) < 0 || factor.Cmp(big.NewRat(2, 1)) > 0 {
		return nil, ErrThin
	}
	out := []*big.Rat{one}
	for at := one; at.Cmp(goal) < 0; out = append(out, at) {
		quarters := floor(new(big.Rat).Mul(new(big.Rat).Mul(at, factor), big.NewRat(4, 1)))
		if at = big.NewRat(int64(quarters), 4); at.Cmp(goal) > 0 {
			at = new(big.Rat).Set(goal)
		}
	}
	return out, nil
}
