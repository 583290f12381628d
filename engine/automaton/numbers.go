package automaton

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strconv"

	"example.com/rung/curriculum"
)

// confidence is an exact lower bound for the successes among the newest n, helped ones left out. What decides is how
// many misses so many trials may have, so the state is how many there were (up to n), the ages of the newest misses that
// can matter and those of the helped ones.
type confidence struct {
	of     curriculum.Confidence
	misses []int // most of m trials that still reach the share; -1 for none
	most   int
	helped int // so many helped ones leave too few trials to reach it
}

func newConfidence(c curriculum.Confidence) *confidence {
	p := &confidence{of: c}
	for m := range c.N + 1 {
		a := -1
		for a < m && reaches(c.Share, c.Confidence, m, m-a-1) {
			a++
		}
		p.misses = append(p.misses, a)
		p.most = max(p.most, a)
		if a >= 0 {
			p.helped = max(p.helped, c.N-m+1)
		}
	}
	return p
}

// reaches reports whether good successes of m are enough (Clopper and Pearson, Biometrika 26 (1934) 404): at the share
// itself so many or more have a chance of at most one less the confidence.
func reaches(share, sure curriculum.Share, m, good int) bool {
	if m == 0 || good < 0 {
		return false
	}
	p := share.Rat()
	q := new(big.Rat).Sub(big.NewRat(1, 1), p)
	tail := new(big.Rat)
	for s := good; s <= m; s++ {
		term := new(big.Rat).SetInt(new(big.Int).Binomial(int64(m), int64(s)))
		for range s {
			term.Mul(term, p)
		}
		for range m - s {
			term.Mul(term, q)
		}
		tail.Add(tail, term)
	}
	return tail.Cmp(new(big.Rat).Sub(big.NewRat(1, 1), sure.Rat())) <= 0
}

func (p *confidence) id() string {
	return fmt.Sprintf("confidence %v %v %d", p.of.Share, p.of.Confidence, p.of.N)
}
func (p *confidence) start(Entry) string { return string(state{}.num(0).text("").text("")) }

func (p *confidence) input(c *Case) string {
	switch {
	case !c.Kind.Evidence():
		return ""
	case c.Kind == Success:
		return "s"
	case c.Kind == Helped:
		return "h"
	}
	return "m"
}

func count(ages string) int {
	n := 0
	for r := (reading{ages}); r.more(); n++ {
		r.num()
	}
	return n
}

func (p *confidence) close(at string) bool {
	r := reading{at}
	filled, misses, helped := r.num(), count(r.text()), count(r.text())
	return misses <= p.misses[filled-helped]
}

func (p *confidence) trial(at, in string) (string, bool) {
	if in == "" {
		return at, p.close(at)
	}
	r := reading{at}
	filled, misses, helped := r.num(), r.text(), r.text()
	// one miss, or one helped, too many is as good as all
	misses = older(misses, in == "m", p.of.N, p.most+1)
	helped = older(helped, in == "h", p.of.N, p.helped)
	to := string(state{}.num(min(filled+1, p.of.N)).text(misses).text(helped))
	return to, p.close(to)
}

func (p *confidence) edge(at string, _ edge) string { return at }

// older is a list of ages one trial later: those under n, the newest of them.
func older(ages string, fresh bool, n, most int) string {
	var to state
	i := 0
	put := func(age int) {
		if i < most && age < n {
			to = to.num(age)
			i++
		}
	}
	if fresh {
		put(0)
	}
	for r := (reading{ages}); r.more(); {
		put(r.num() + 1)
	}
	return string(to)
}

// sequential is Wald's test of all evidence since entry (Annals of Mathematical Statistics 16 (1945) 117). Its state is
// how many succeeded and failed, less what cancels out.
type sequential struct {
	of        curriculum.Sequential
	up        bool
	won, lost *big.Rat // factors of the likelihood ratio
	bound     *big.Rat
	s, f      int // so many successes and misses cancel out; 0 where none do
}

func newSequential(c curriculum.Sequential, up bool) *sequential {
	one := big.NewRat(1, 1)
	less := func(x *big.Rat) *big.Rat { return new(big.Rat).Sub(one, x) }
	q := &sequential{of: c, up: up}
	q.won = new(big.Rat).Quo(c.High.Rat(), c.Low.Rat())
	q.lost = new(big.Rat).Quo(less(c.High.Rat()), less(c.Low.Rat()))
	first, second := c.WronglyUp.Rat(), c.WronglyDown.Rat()
	if q.bound = new(big.Rat).Quo(second, less(first)); up {
		q.bound = new(big.Rat).Quo(less(second), first)
	}
	for s := 1; s <= 24 && q.s == 0; s++ {
		for f := 1; f <= 24; f++ {
			if q.ratio(s, f).Cmp(one) == 0 {
				q.s, q.f = s, f
				break
			}
		}
	}
	return q
}

func (q *sequential) ratio(s, f int) *big.Rat {
	pow := func(r *big.Rat, n int) *big.Rat {
		e := big.NewInt(int64(n))
		return new(big.Rat).SetFrac(new(big.Int).Exp(r.Num(), e, nil), new(big.Int).Exp(r.Denom(), e, nil))
	}
	return new(big.Rat).Mul(pow(q.won, s), pow(q.lost, f))
}

func log(r *big.Rat) float64 {
	v, _ := r.Float64()
	return math.Log(v)
}

func (q *sequential) id() string         { return fmt.Sprintf("sequential %v %v", q.of, q.up) }
func (q *sequential) start(Entry) string { return string(state{}.num(0).num(0)) }

func (q *sequential) input(c *Case) string {
	if !c.Kind.Evidence() || c.Kind == Helped {
		return ""
	}
	return bit(c.Kind == Success)
}

func (q *sequential) close(at string) bool {
	r := reading{at}
	s, f := r.num(), r.num()
	// fractions of thousands of digits are compared only where logarithms leave a doubt
	w, l, b := float64(s)*log(q.won), float64(f)*log(q.lost), log(q.bound)
	if by := w + l - b; math.Abs(by) > 1e-9*(1+math.Abs(w)+math.Abs(l)+math.Abs(b)) {
		return by > 0 == q.up
	}
	c := q.ratio(s, f).Cmp(q.bound)
	return q.up && c >= 0 || !q.up && c <= 0
}

func (q *sequential) trial(at, in string) (string, bool) {
	if in != "" {
		r := reading{at}
		s, f := r.num(), r.num()
		if in == "1" {
			s++
		} else {
			f++
		}
		if q.s > 0 && s >= q.s && f >= q.f {
			s, f = s-q.s, f-q.f
		}
		at = string(state{}.num(s).num(f))
	}
	return at, q.close(at)
}

func (q *sequential) edge(at string, _ edge) string { return at }

// statistic is a mean, or an equality, of the newest n successes: their values, newest first.
type statistic struct {
	of    curriculum.Statistic
	want  *big.Rat
	small bool // the best is the smallest
}

func (s *statistic) id() string { return fmt.Sprintf("statistic %v %v", s.of, s.small) }

func (s *statistic) start(Entry) string { return "" }

func (s *statistic) input(c *Case) string {
	if c.Kind != Success {
		return ""
	}
	v, ok := c.Measure(s.of.Measure)
	if !ok {
		return "?"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func (s *statistic) values(at string) (vs []*big.Rat, ok bool) {
	for r := (reading{at}); r.more(); {
		t := r.text()
		if t == "?" {
			return nil, false
		}
		v, _ := new(big.Rat).SetString(t)
		vs = append(vs, v)
	}
	return vs, len(vs) == s.of.N
}

func (s *statistic) close(at string) bool {
	vs, ok := s.values(at)
	if !ok {
		return false
	}
	return compares(s.of.Op, statisticOf(s.of.Stat, s.small, vs).Cmp(s.want))
}

func (s *statistic) trial(at, in string) (string, bool) {
	if in != "" {
		to := state{}.text(in)
		r := reading{at}
		for i := 1; i < s.of.N && r.more(); i++ {
			to = to.text(r.text())
		}
		at = string(to)
	}
	return at, s.close(at)
}

func (s *statistic) edge(at string, _ edge) string { return at }

// compares reports whether a comparison with that sign meets the operator.
func compares(op string, sign int) bool {
	switch op {
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

// statisticOf is the statistic of values.
func statisticOf(what curriculum.Stat, small bool, vs []*big.Rat) *big.Rat {
	slices.SortFunc(vs, (*big.Rat).Cmp)
	n := len(vs)
	sum, by := new(big.Rat), int64(2)
	switch {
	case what == curriculum.Mean:
		by = int64(n)
		for _, v := range vs {
			sum.Add(sum, v)
		}
	case what == curriculum.Median:
		sum.Add(vs[(n-1)/2], vs[n/2])
	case (what == curriculum.Best) == small:
		return vs[0]
	default:
		return vs[n-1]
	}
	return sum.Quo(sum, big.NewRat(by, 1))
}
