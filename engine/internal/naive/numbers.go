package naive

import (
	"math/big"
	"sort"
	"strconv"

	"example.com/rung/curriculum"
)

func lastOf(lines []*line, n int) []*line { return lines[max(0, len(lines)-n):] }

// confidence: the exact one-sided lower bound reaches the share where so many successes or more would come by chance
// at the share itself no more often than the confidence leaves over (Clopper and Pearson, Biometrika 26, 1934).
func (k look) confidence(c curriculum.Confidence) bool {
	lines := only(lastOf(only(k.lines, isEvidence), c.N), func(l *line) bool { return l.what != helped })
	m := len(lines)
	x := len(only(lines, func(l *line) bool { return l.what == succeeded }))
	if m == 0 {
		return false
	}
	p := c.Share.Rat()
	q := new(big.Rat).Sub(big.NewRat(1, 1), p)
	tail := new(big.Rat)
	for i := x; i <= m; i++ {
		term := new(big.Rat).SetInt(new(big.Int).Binomial(int64(m), int64(i)))
		term.Mul(term, power(p, i)).Mul(term, power(q, m-i))
		tail.Add(tail, term)
	}
	over := new(big.Rat).Sub(big.NewRat(1, 1), c.Confidence.Rat())
	return tail.Cmp(over) <= 0
}

func power(r *big.Rat, n int) *big.Rat {
	e := big.NewInt(int64(n))
	return new(big.Rat).SetFrac(new(big.Int).Exp(r.Num(), e, nil), new(big.Int).Exp(r.Denom(), e, nil))
}

// sequential: Wald's test (Sequential Analysis, 1947) over all evidence since entry, helped left out. An advance takes
// the upper bound, an ease the lower.
func (k look) sequential(c curriculum.Sequential) bool {
	one := big.NewRat(1, 1)
	ratio := big.NewRat(1, 1)
	for _, l := range only(k.lines, isEvidence) {
		switch l.what {
		case succeeded:
			ratio.Mul(ratio, new(big.Rat).Quo(c.High.Rat(), c.Low.Rat()))
		case didWrong, wasSilent:
			ratio.Mul(ratio, new(big.Rat).Quo(new(big.Rat).Sub(one, c.High.Rat()), new(big.Rat).Sub(one, c.Low.Rat())))
		}
	}
	first, second := c.WronglyUp.Rat(), c.WronglyDown.Rat()
	if k.word == curriculum.Ease {
		return ratio.Cmp(new(big.Rat).Quo(second, new(big.Rat).Sub(one, first))) <= 0
	}
	return ratio.Cmp(new(big.Rat).Quo(new(big.Rat).Sub(one, second), first)) >= 0
}

// statistic looks at the last n successes; all must be there with the measure.
func (k look) statistic(c curriculum.Statistic) bool {
	lines := lastOf(only(k.lines, func(l *line) bool { return l.what == succeeded }), c.N)
	if len(lines) < c.N {
		return false
	}
	var values []*big.Rat
	for _, l := range lines {
		v, ok := l.t.Measure(c.Measure)
		if !ok {
			return false
		}
		values = append(values, decimal(v))
	}
	sort.Slice(values, func(i, j int) bool { return values[i].Cmp(values[j]) < 0 })
	small := c.Measure == "latency"
	for _, m := range k.r.c.Measures {
		small = small || m.Name == c.Measure && m.SmallerIsBetter
	}
	lowest, highest := values[0], values[len(values)-1]
	got := new(big.Rat)
	switch c.Stat {
	case curriculum.Mean:
		for _, v := range values {
			got.Add(got, v)
		}
		got.Quo(got, big.NewRat(int64(len(values)), 1))
	case curriculum.Median:
		got.Add(values[(len(values)-1)/2], values[len(values)/2])
		got.Quo(got, big.NewRat(2, 1))
	case curriculum.Best:
		got = highest
		if small {
			got = lowest
		}
	case curriculum.Worst:
		got = lowest
		if small {
			got = highest
		}
	}
	cmp := got.Cmp(new(big.Rat).Quo(c.Value.Base(), curriculum.Q(1, k.r.unitOf(c.Measure)).Base()))
	switch c.Op {
	case "<=":
		return cmp <= 0
	case "<":
		return cmp < 0
	case ">=":
		return cmp >= 0
	case ">":
		return cmp > 0
	}
	return cmp == 0
}

// decimal is the number a log wrote: the shortest decimal that gives the float.
func decimal(v float64) *big.Rat {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(v, 'f', -1, 64))
	if !ok {
		panic("naive: a measure that is no number")
	}
	return r
}
