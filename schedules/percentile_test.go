package schedules

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Every order of m+n different values: how many of the last n beat the threshold of the first m.
func TestAStandingThresholdAgreesWithEveryOrder(t *testing.T) {
	for _, c := range []struct {
		m, n     int
		num, den int64
	}{{4, 3, 3, 5}, {4, 3, 4, 5}, {3, 4, 1, 2}, {5, 2, 7, 10}, {2, 5, 2, 3}, {4, 2, 9, 10}} {
		p, err := NewPercentile(c.m, big.NewRat(c.num, c.den))
		require.NoError(t, err)
		var all, none, sum, square int64
		permute(c.m+c.n, func(order []float64) {
			bar := p.Session(order[:c.m], false, Within{})
			paid := int64(0)
			for _, v := range order[c.m:] {
				if bar.Pays(v) {
					paid++
				}
			}
			all++
			sum += paid
			square += paid * paid
			if paid == 0 {
				none++
			}
		})
		require.Equal(t, big.NewRat(none, all).RatString(), p.ChanceOfNone(c.n).RatString(), "m=%d n=%d", c.m, c.n)
		mean, variance := p.Rewards(c.n)
		require.Equal(t, big.NewRat(sum, all).RatString(), mean.RatString())
		v := big.NewRat(square, all)
		require.Equal(t, v.Sub(v, new(big.Rat).Mul(mean, mean)).RatString(), variance.RatString())
	}
}

func TestABarStaysWithinItsBounds(t *testing.T) {
	p, err := NewPercentile(4, big.NewRat(3, 5)) // the second worst of four
	require.NoError(t, err)
	f := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		name    string
		recent  []float64
		smaller bool
		in      Within
		bar     Bar
		paid    []float64
		unpaid  []float64
	}{
		{"without bounds", []float64{30, 40, 50, 60}, false, Within{}, Bar{Value: 40}, []float64{41}, []float64{40, 39}},
		{"above the easiest", []float64{30, 40, 50, 60}, false, Within{Easiest: f(30)}, Bar{Value: 40}, []float64{41}, []float64{40}},
		{"held at the easiest", []float64{10, 20, 30, 60}, false, Within{Easiest: f(30)}, Bar{Value: 30, Reaching: true}, []float64{30}, []float64{29}},
		{"held at the hardest", []float64{80, 100, 110, 120}, false, Within{Hardest: f(90)}, Bar{Value: 90, Reaching: true}, []float64{90, 120}, []float64{89}},
		{"nothing known", nil, false, Within{}, Bar{Every: true}, []float64{0, 500}, nil},
		{"nothing known but the step passed", nil, false, Within{Easiest: f(30), Hardest: f(90)}, Bar{Value: 30, Reaching: true}, []float64{30}, []float64{29}},
		{"smaller is better", []float64{3, 2.5, 2, 1}, true, Within{}, Bar{Value: 2.5, Smaller: true}, []float64{2.4}, []float64{2.5, 3}},
		{"smaller, held at the easiest", []float64{5, 4, 2, 1}, true, Within{Easiest: f(3)}, Bar{Value: 3, Reaching: true, Smaller: true}, []float64{3}, []float64{3.1}},
		{"smaller, held at the hardest", []float64{1, .9, .8, .7}, true, Within{Hardest: f(1.5)}, Bar{Value: 1.5, Reaching: true, Smaller: true}, []float64{1.5}, []float64{1.6}},
		{"the hardest holds where the two cross", []float64{1, 2, 3, 4}, false, Within{Easiest: f(50), Hardest: f(40)}, Bar{Value: 40, Reaching: true}, []float64{40}, []float64{39}},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := p.Session(c.recent, c.smaller, c.in)
			require.Equal(t, c.bar, b)
			for _, v := range c.paid {
				require.True(t, b.Pays(v), "%v", v)
			}
			for _, v := range c.unpaid {
				require.False(t, b.Pays(v), "%v", v)
			}
		})
	}
}

// A session's bar is the rule of each response, held still; turned round, smaller is better is larger is better.
func TestASessionsBarIsTheRuleHeldStill(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, err := NewPercentile(rapid.IntRange(1, 25).Draw(t, "m"), big.NewRat(rapid.Int64Range(1, 19).Draw(t, "w"), 20))
		require.NoError(t, err)
		values := rapid.SliceOfN(rapid.Float64Range(-50, 50), 0, 30).Draw(t, "values")
		v := rapid.Float64Range(-50, 50).Draw(t, "v")
		b := p.Session(values, false, Within{})
		require.Equal(t, p.Pays(v, values, false), b.Pays(v))
		turned := make([]float64, len(values))
		for i, x := range values {
			turned[i] = -x
		}
		require.Equal(t, b.Pays(v), p.Session(turned, true, Within{}).Pays(-v))
		require.GreaterOrEqual(t, p.PaidShare().Cmp(p.Share), 0, "never less than the wanted share")
	})
}
