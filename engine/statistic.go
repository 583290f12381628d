package engine

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strconv"

	"example.com/rung/curriculum"
)

// statistic is the median, mean, best or worst of a measure over the newest n successes, compared with a value. Its
// track keeps the measures themselves in a ring, NaN where none was recorded.
type statistic struct {
	stat    curriculum.Stat
	op      string
	small   bool     // the best is the smallest
	value   *big.Rat // in the measure's unit, exactly as written
	nearest float64
}

func (cs *criteria) statistic(c curriculum.Statistic) node {
	text := curriculum.CriterionText(c)
	unit, ok := cs.c.p.measures[c.Measure]
	one := curriculum.Q(1, unit)
	switch {
	case !ok:
		cs.fault(CodeBroken, text, "%q asks for a measure that is not declared", text).fix("declare it, such as: measure " + c.Measure + " in deg")
	case c.N < 1:
		cs.atLeastOne(c, c.N)
	case c.N > maxWindow:
		cs.fault(CodeTooLong, text, "%q looks at %d successes, the limit is %d", text, c.N, maxWindow).fix("take fewer successes")
	case c.Stat > curriculum.Worst || !slices.Contains([]string{"<=", "<", ">=", ">", "=="}, c.Op):
		cs.fault(CodeBroken, text, "%q is no statistic, or no comparison", text).fix("write for instance: median latency of last 5 successes <= 2 s")
	case one.Base().Sign() == 0:
		cs.fault(CodeBroken, text, "%q compares in a unit that is none", text).fix("compare in a unit of the measure, such as 2 s")
	default:
		s := &statistic{stat: c.Stat, op: c.Op, small: c.Measure == "latency", value: new(big.Rat).Quo(c.Value.Base(), one.Base())}
		s.nearest, _ = s.value.Float64()
		for _, m := range cs.c.c.Measures {
			s.small = s.small || m.Name == c.Measure && m.SmallerIsBetter
		}
		shape := trackShape{fills: 1 << success, counts: 1 << success, measure: c.Measure}
		return node{op: opStatistic, n: c.N, k: c.N, stat: s, source: c, track: cs.track(shape, 64*c.N, c.N)}
	}
	return node{op: opOr}
}

// keepMeasure puts the trial's measure into the ring of a track that counted so many successes before.
func (tr *track) keepMeasure(slots []uint64, before int, t *curriculum.Trial) {
	v, ok := t.Measure(tr.measure)
	if !ok || math.IsInf(v, 0) {
		v = math.NaN()
	}
	slots[1+before%tr.words] = math.Float64bits(v)
}

// measure is the i-th newest measure of the ring.
func (tr *track) measureAt(st *state, i int) float64 {
	return math.Float64frombits(st.slots[tr.at+1+(tr.counted(st)-1-i)%tr.words])
}

// newestMeasures is the newest n measures, newest first; false where fewer were taken or one is missing.
func (n *node) newestMeasures(st *state) ([]float64, bool) {
	if n.track.counted(st) < n.n {
		return nil, false
	}
	out := make([]float64, n.n)
	for i := range out {
		if out[i] = n.track.measureAt(st, i); math.IsNaN(out[i]) {
			return nil, false
		}
	}
	return out, true
}

// statistical reports whether the statistic meets its value. Where floats leave a doubt the decimals that were written
// decide: 1.1 s and 1.3 s have the mean 1.2 s.
func (n *node) statistical(st *state) bool {
	vs, ok := n.newestMeasures(st)
	if !ok {
		return false
	}
	s := n.stat
	sign := 0
	got, size := s.of(vs), math.Abs(s.nearest)
	for _, v := range vs {
		size = max(size, math.Abs(v))
	}
	if by := got - s.nearest; math.Abs(by) > 1e-9*size {
		sign = -1
		if by > 0 {
			sign = 1
		}
	} else {
		sign = s.exactly(vs).Cmp(s.value)
	}
	switch s.op {
	case "<=":
		return sign <= 0
	case "<":
		return sign < 0
	case ">=":
		return sign >= 0
	case ">":
		return sign > 0
	}
	return sign == 0
}

// of is the statistic of values in floats. It sorts them.
func (s *statistic) of(vs []float64) float64 {
	slices.Sort(vs)
	switch {
	case s.stat == curriculum.Mean:
		// each is divided before the sum, which then stays in range
		sum := 0.0
		for _, v := range vs {
			sum += v / float64(len(vs))
		}
		return sum
	case s.stat == curriculum.Median:
		return vs[(len(vs)-1)/2]/2 + vs[len(vs)/2]/2
	case (s.stat == curriculum.Best) == s.small:
		return vs[0]
	}
	return vs[len(vs)-1]
}

// exactly is the statistic of sorted values as fractions of their shortest decimals.
func (s *statistic) exactly(vs []float64) *big.Rat {
	sum := func(vs ...float64) *big.Rat {
		out := new(big.Rat)
		for _, v := range vs {
			out.Add(out, decimal(v))
		}
		return out.Quo(out, big.NewRat(int64(len(vs)), 1))
	}
	switch s.stat {
	case curriculum.Mean:
		return sum(vs...)
	case curriculum.Median:
		return sum(vs[(len(vs)-1)/2], vs[len(vs)/2])
	}
	return decimal(s.of(vs))
}

// decimal is the shortest decimal that stands for a float: what a log wrote.
func decimal(v float64) *big.Rat {
	r, _ := new(big.Rat).SetString(strconv.FormatFloat(v, 'f', -1, 64))
	return r
}

// measures are those of a ring, newest first, nil for one that was not recorded.
func (tr *track) measures(st *state) []*float64 {
	out := make([]*float64, min(tr.counted(st), tr.words))
	for i := range out {
		if v := tr.measureAt(st, i); !math.IsNaN(v) {
			out[i] = &v
		}
	}
	return out
}

// setMeasures puts saved measures back. The counter must be set.
func (tr *track) setMeasures(st *state, saved []*float64) {
	for i, v := range saved {
		f := math.NaN()
		if v != nil {
			f = *v
		}
		st.slots[tr.at+1+(tr.counted(st)-1-i)%tr.words] = math.Float64bits(f)
	}
}

// statisticWords is how far a statistic is.
func (n *node) statisticWords(st *state, c *CountWhy) string {
	vs, ok := n.newestMeasures(st)
	switch {
	case c.Among < n.n:
		return fmt.Sprintf("%s: %d of %d successes so far", c.Text, c.Among, n.n)
	case !ok:
		return fmt.Sprintf("%s: %s was not recorded of every one of them", c.Text, n.track.measure)
	}
	slices.Sort(vs)
	got, _ := n.stat.exactly(vs).Float64()
	text := fmt.Sprintf("%s: it is %s now", c.Text, strconv.FormatFloat(math.Round(got*1e4)/1e4, 'f', -1, 64)) // no reader wants a third to sixteen digits
	if c.Holds {
		text += ": holds"
	}
	return text
}
