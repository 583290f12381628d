package engine

import (
	"math"
	"math/big"

	"example.com/rung/curriculum"
)

// maxConfidence is the longest window of a confidence criterion: its table is worked out exactly when it is compiled.
const maxConfidence = 500

// bounds is, for each number m of trials, the fewest successes whose exact one-sided lower confidence bound reaches a
// share; m+1 where none does.
//
// Clopper and Pearson, Biometrika 26 (1934) 404: the bound is the share at which so many successes or more have the
// chance 1 - confidence. It reaches the share asked for exactly when, at that share, so many or more are at most that
// likely: whole numbers decide.
func bounds(share, confidence curriculum.Share, n int) []int {
	out := make([]int, n+1)
	p := share.Rat()
	a, b := p.Num(), p.Denom()
	rest := new(big.Int).Sub(b, a)
	alpha := new(big.Rat).Sub(big.NewRat(1, 1), confidence.Rat())
	for m := range out {
		// the sum from the top of C(m,i) a^i rest^(m-i), against alpha b^m
		limit := new(big.Int).Exp(b, big.NewInt(int64(m)), nil)
		limit.Mul(limit, alpha.Num())
		sum, term := new(big.Int), new(big.Int)
		out[m] = m + 1
		for s := m; s >= 0; s-- {
			term.Binomial(int64(m), int64(s))
			term.Mul(term, new(big.Int).Exp(a, big.NewInt(int64(s)), nil))
			term.Mul(term, new(big.Int).Exp(rest, big.NewInt(int64(m-s)), nil))
			sum.Add(sum, term)
			if new(big.Int).Mul(sum, alpha.Denom()).Cmp(limit) > 0 {
				break
			}
			out[m] = s
		}
	}
	return out
}

// confident reports whether the newest n trials, helped ones left out, reach the bound.
func (n *node) confident(st *state) bool {
	t, _ := n.track.filled(st)
	m := min(t, n.n) - newestOf(n.other, st, min(t, n.n))
	return m > 0 && n.track.newest(st, n.n, 0) >= n.table[m]
}

// wald is a sequential test of one share against another.
//
// Wald, Annals of Mathematical Statistics 16 (1945) 117: the likelihood ratio of what was seen is compared with
// (1-second)/first from below and second/(1-first) from above, first being the chance of passing at the low share.
type wald struct {
	up       bool     // the upper bound is asked for
	won      *big.Rat // factor of the ratio for a success
	lost     *big.Rat // and for a miss
	bound    *big.Rat
	logWon   float64
	logLost  float64
	logBound float64
}

func newWald(c curriculum.Sequential, up bool) *wald {
	one := big.NewRat(1, 1)
	low, high, first, second := c.Low.Rat(), c.High.Rat(), c.WronglyUp.Rat(), c.WronglyDown.Rat()
	sub := func(x *big.Rat) *big.Rat { return new(big.Rat).Sub(one, x) }
	w := &wald{up: up, won: new(big.Rat).Quo(high, low), lost: new(big.Rat).Quo(sub(high), sub(low)), bound: new(big.Rat).Quo(second, sub(first))}
	if up {
		w.bound = new(big.Rat).Quo(sub(second), first)
	}
	log := func(r *big.Rat) float64 {
		f, _ := r.Float64()
		return math.Log(f)
	}
	w.logWon, w.logLost, w.logBound = log(w.won), log(w.lost), log(w.bound)
	return w
}

// reached reports whether so many successes and misses reach the bound. Where logarithms leave a doubt, fractions decide.
func (w *wald) reached(won, lost int) bool {
	by := float64(won)*w.logWon + float64(lost)*w.logLost - w.logBound
	doubt := 1e-9 * (1 + float64(won)*math.Abs(w.logWon) + float64(lost)*math.Abs(w.logLost) + math.Abs(w.logBound))
	if math.Abs(by) > doubt {
		return by > 0 == w.up
	}
	ratio := new(big.Rat).Mul(power(w.won, won), power(w.lost, lost))
	if c := ratio.Cmp(w.bound); c != 0 {
		return c > 0 == w.up
	}
	return true
}

func power(r *big.Rat, n int) *big.Rat {
	e := big.NewInt(int64(n))
	return new(big.Rat).SetFrac(new(big.Int).Exp(r.Num(), e, nil), new(big.Int).Exp(r.Denom(), e, nil))
}

// sequential reports whether all evidence since the track began, helped trials left out, reaches the bound.
func (n *node) sequential(st *state) bool {
	t, _ := n.track.filled(st)
	c := n.track.counted(st)
	if n.wald.up {
		return n.wald.reached(c, t-c)
	}
	return n.wald.reached(t-c, c)
}

func (cs *criteria) confidence(c curriculum.Confidence) node {
	text := curriculum.CriterionText(c)
	one := big.NewRat(1, 1)
	switch {
	case c.N < 1 || c.Share.Rat().Sign() <= 0 || c.Share.Rat().Cmp(one) > 0 || c.Confidence.Rat().Sign() <= 0 || c.Confidence.Rat().Cmp(one) >= 0:
		cs.fault(CodeBroken, text, "%q asks for a share, a confidence or a number that is none", text)
		return node{op: opOr}
	case c.N > maxConfidence:
		cs.fault(CodeTooLong, text, "%q looks at %d trials, the limit is %d", text, c.N, maxConfidence)
		return node{op: opOr}
	}
	return node{op: opConfidence, n: c.N, source: c, table: bounds(c.Share, c.Confidence, c.N),
		track: cs.track(counting(curriculum.Successes, curriculum.Qualifiers{}), c.N, c.N),
		other: cs.track(counting(curriculum.HelpedOnes, curriculum.Qualifiers{}), c.N, 0)}
}

// keptReasons is how many trials a sequential test, which looks at all, names as its reason.
const keptReasons = 64

func (cs *criteria) sequential(c curriculum.Sequential) node {
	text := curriculum.CriterionText(c)
	inside := func(s curriculum.Share) bool { return s.Rat().Sign() > 0 && s.Rat().Cmp(big.NewRat(1, 1)) < 0 }
	first, second := c.WronglyUp.Rat(), c.WronglyDown.Rat()
	switch {
	case !inside(c.Low) || !inside(c.High) || !inside(c.WronglyUp) || !inside(c.WronglyDown) || c.Low.Rat().Cmp(c.High.Rat()) >= 0 ||
		new(big.Rat).Add(first, second).Cmp(big.NewRat(1, 1)) >= 0:
		cs.fault(CodeBroken, text, "%q needs a low share under a high one and errors that add up to less than 100%%", text)
		return node{op: opOr}
	case cs.word != curriculum.Advance && cs.word != curriculum.Ease || cs.negated:
		cs.fault(CodeBroken, text, "%q can only stand in advance and ease, and not under `not`", text)
		return node{op: opOr}
	}
	shape := trackShape{fills: evidence &^ (1 << helped), counts: 1 << success}
	if cs.word == curriculum.Ease {
		shape.counts = 1<<wrong | 1<<silent
	}
	return node{op: opSequential, n: keptReasons, source: c, wald: newWald(c, cs.word == curriculum.Advance), track: cs.track(shape, 0, keptReasons)}
}
