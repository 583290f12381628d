package schedules

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// orders calls visit with every order of the list, equal gaps told apart, so that each is as likely as any other.
func orders(list []int, visit func([]int)) {
	a := append([]int(nil), list...)
	var walk func(int)
	walk = func(k int) {
		if k == len(a) {
			visit(a)
			return
		}
		for i := k; i < len(a); i++ {
			a[k], a[i] = a[i], a[k]
			walk(k + 1)
			a[k], a[i] = a[i], a[k]
		}
	}
	walk(0)
}

// All that is said of a list, against every shuffle of it: rewards among the first n, none among the first n, the
// longest run unpaid, the mean and the variance of a gap.
func TestExactPropertiesAgreeWithEveryShuffle(t *testing.T) {
	for _, c := range []struct {
		num, den int64
		unpaid   int // a cap, or -1
	}{{1, 1, -1}, {3, 2, -1}, {2, 1, -1}, {3, 1, -1}, {4, 1, -1}, {4, 1, 4}, {5, 2, 3}, {5, 2, 2}} {
		t.Run(fmt.Sprintf("mean %d/%d cap %d", c.num, c.den, c.unpaid), func(t *testing.T) {
			r := ratio(t, Variable, c.num, c.den)
			if c.unpaid >= 0 {
				var err error
				r, _, err = r.Capped(c.unpaid)
				require.NoError(t, err)
			}
			whole := 0
			for _, g := range r.list {
				whole += g
			}
			most := min(whole+5, 25)
			rewards := make([]map[int]int64, most+1)
			none := make([]int64, most+1)
			for n := range rewards {
				rewards[n] = map[int]int64{}
			}
			all, longest := int64(0), 0
			var sum, square int64
			orders(r.list, func(list []int) {
				all++
				sum += int64(list[0])
				square += int64(list[0]) * int64(list[0])
				// any order may follow the list; the first five successes after it are looked at with the same one
				paid, at := make([]bool, most+1), 0
				for i := 0; at <= most; i++ {
					if at += list[i%len(list)]; at <= most {
						paid[at] = true
					}
				}
				run, count := 0, 0
				for n := 1; n <= most; n++ {
					run++
					if paid[n] {
						count++
						run = 0
					}
					longest = max(longest, run)
					if n <= whole {
						rewards[n][count]++
					}
					if count == 0 {
						none[n]++
					}
				}
			})
			for n := 1; n <= min(most, whole); n++ {
				got := r.Rewards(n)
				total := new(big.Rat)
				for k, p := range got {
					require.Equal(t, big.NewRat(rewards[n][k], all).RatString(), p.RatString(), "%d rewards in %d", k, n)
					total.Add(total, p)
				}
				require.Equal(t, "1", total.RatString())
				require.Equal(t, big.NewRat(none[n], all).RatString(), r.ChanceOfNone(n).RatString())
			}
			mean := big.NewRat(sum, all)
			require.Equal(t, mean.RatString(), r.Mean().RatString())
			v := big.NewRat(square, all)
			require.Equal(t, v.Sub(v, new(big.Rat).Mul(mean, mean)).RatString(), r.Variance().RatString())
			bound, _ := r.LongestUnpaid()
			require.Equal(t, longest, bound)
		})
	}
}

// A window of n anywhere in a long run, counted over every place of every list.
func TestNoneAnywhereAgreesWithCounting(t *testing.T) {
	for _, c := range []struct {
		kind     RatioKind
		num, den int64
	}{{Variable, 3, 1}, {Variable, 5, 2}, {Fixed, 4, 1}, {Fixed, 5, 2}, {Every, 1, 1}} {
		r := ratio(t, c.kind, c.num, c.den)
		g := r.Gaps(5)
		var paid []bool
		for range 40 * max(len(r.list), int(r.den)) { // whole lists
			for range g.Next() - 1 {
				paid = append(paid, false)
			}
			paid = append(paid, true)
		}
		for n := range 8 {
			none := 0
			for i := range paid {
				hit := false
				for j := range n {
					hit = hit || paid[(i+j)%len(paid)]
				}
				if !hit {
					none++
				}
			}
			require.Equal(t, big.NewRat(int64(none), int64(len(paid))).RatString(), r.ChanceOfNoneAnywhere(n).RatString(), "%v of mean %d/%d, %d in a row", c.kind, c.num, c.den, n)
		}
	}
	r := ratio(t, Random, 5, 1)
	require.Equal(t, r.ChanceOfNone(7).RatString(), r.ChanceOfNoneAnywhere(7).RatString())
}

func TestRewardsOfARandomRatioAreBinomial(t *testing.T) {
	r := ratio(t, Random, 5, 2)
	for _, n := range []int{0, 1, 10, 40} {
		want := distuv.Binomial{N: float64(n), P: .4}
		for k, p := range r.Rewards(n) {
			got, _ := p.Float64()
			require.InDelta(t, want.Prob(float64(k)), got, 1e-12, "%d of %d", k, n)
		}
	}
}

// A cap that no run reaches leaves the binomial; a cap that all runs reach makes it a fixed ratio.
func TestRewardsOfACappedRandomRatio(t *testing.T) {
	r := &Ratio{kind: Random, num: 2, den: 1, cap: 31, chance: chanceParts / 2}
	plain := ratio(t, Random, 2, 1)
	for n := range 31 {
		require.Equal(t, plain.Rewards(n), r.Rewards(n), "n=%d", n)
	}
	c, _, err := ratio(t, Random, 3, 1).Capped(4)
	require.NoError(t, err)
	// by walking over all paths of the successes
	p, _ := c.Hazard(1).Float64()
	for n := range 12 {
		want := make([]float64, n+1)
		var walk func(left, run, paid int, chance float64)
		walk = func(left, run, paid int, chance float64) {
			if left == 0 {
				want[paid] += chance
				return
			}
			if run == 4 {
				walk(left-1, 0, paid+1, chance)
				return
			}
			walk(left-1, 0, paid+1, chance*p)
			walk(left-1, run+1, paid, chance*(1-p))
		}
		walk(n, 0, 0, 1)
		for k, x := range c.Rewards(n) {
			got, _ := x.Float64()
			require.InDelta(t, want[k], got, 1e-12, "%d of %d", k, n)
		}
	}
}

// In whole lists the mean is exact, whatever the kind; far ahead and below nought nothing is said.
func TestRewardsInWholeLists(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		den := rapid.Int64Range(1, 3).Draw(t, "den")
		r := ratio(t, rapid.SampledFrom([]RatioKind{Every, Fixed, Variable}).Draw(t, "kind"), rapid.Int64Range(den, 4*den).Draw(t, "num"), den)
		whole := int(r.num)
		if r.kind == Variable {
			whole = 0
			for _, g := range r.list {
				whole += g
			}
		}
		lists := rapid.IntRange(0, 3).Draw(t, "lists")
		if lists*whole > maxRewards {
			return
		}
		mean, variance := Moments(r.Rewards(lists * whole))
		require.Zero(t, variance.Sign())
		require.Zero(t, mean.Cmp(new(big.Rat).Quo(big.NewRat(int64(lists*whole), 1), r.Mean())))
	})
	r := ratio(t, Variable, 2, 1)
	require.Nil(t, r.Rewards(-1))
	require.Nil(t, r.Rewards(maxRewards+1))
}
