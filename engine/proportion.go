package engine

import (
	"math"
	"math/big"

	"example.com/rung/curriculum"
)

// bounds is, for each number m of trials, the fewest successes whose exact one-sided lower confidence bound reaches a
// share; m+1 where none does.
//
// Clopper and Pearson, Biometrika 26 (1934) 404: the bound is the share at which so many successes or more have the
// chance 1 - confidence. It reaches the share asked for exactly when, at that share, so many or more are at most that
// likely: whole numbers decide.
func bounds(share, confidence curriculum.Share, n int) []int {
	t := &tails{share: share.Rat(), alpha: new(big.Rat).Sub(big.NewRat(1, 1), confidence.Rat())}
	t.p, _ = t.share.Float64()
	t.level, _ = t.alpha.Float64()
	out := make([]int, n+1)
	out[0] = 1
	for m := 1; m <= n; m++ {
		// one trial more takes as many successes as before, or one more
		out[m] = out[m-1]
		if !t.unlikely(m, out[m]) {
			out[m]++
		}
	}
	return out
}

// tails compares how likely so many successes or more are, at a share, with a level.
type tails struct {
	share, alpha *big.Rat
	p, level     float64
}

// unlikely reports whether s successes or more of m are at most as likely as the level. Where rounding leaves a doubt,
// whole numbers decide.
func (t *tails) unlikely(m, s int) bool {
	if s > m || t.share.Cmp(big.NewRat(1, 1)) >= 0 {
		return s > m // at a share of one all of them are sure
	}
	if tail := upperTail(m, s, t.p); math.Abs(tail-t.level) > 1e-8*t.level {
		return tail < t.level
	}
	return t.exactly(m, s)
}

// exactly is unlikely in whole numbers: the sum from the top of C(m,i) a^i (b-a)^(m-i), against alpha b^m, a/b being the
// share.
func (t *tails) exactly(m, s int) bool {
	a, b := t.share.Num(), t.share.Denom()
	rest := new(big.Int).Sub(b, a)
	power := func(x *big.Int, n int) *big.Int { return new(big.Int).Exp(x, big.NewInt(int64(n)), nil) }
	limit := power(b, m)
	limit.Mul(limit, t.alpha.Num())
	sum, term := new(big.Int), new(big.Int)
	for i := m; i >= s; i-- {
		term.Binomial(int64(m), int64(i))
		term.Mul(term, power(a, i))
		term.Mul(term, power(rest, m-i))
		sum.Add(sum, term)
	}
	return sum.Mul(sum, t.alpha.Denom()).Cmp(limit) <= 0
}

// upperTail is the chance of s successes or more of m at a share of p, to about ten digits.
func upperTail(m, s int, p float64) float64 {
	lg := func(n int) float64 { v, _ := math.Lgamma(float64(n) + 1); return v }
	at := func(i int) float64 {
		return math.Exp(lg(m) - lg(i) - lg(m-i) + float64(i)*math.Log(p) + float64(m-i)*math.Log1p(-p))
	}
	odds := p / (1 - p)
	sum := 0.0
	if float64(s) > float64(m)*p {
		for i, term := s, at(s); i <= m && term > sum*1e-17; i++ {
			sum += term
			term *= float64(m-i) / float64(i+1) * odds
		}
		return sum
	}
	for i, term := s-1, 0.0; i >= 0; i-- {
		if i == s-1 {
			term = at(i)
		}
		if sum += term; term <= sum*1e-17 {
			break
		}
		term *= float64(i) / (float64(m-i+1) * odds)
	}
	return 1 - sum
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
		cs.fault(CodeBroken, text, "%q asks for a share, a confidence or a number that is none", text).fix("write for instance: at least 80% with 95% confidence of last 30")
		return node{op: opOr}
	case c.N > maxWindow:
		cs.fault(CodeTooLong, text, "%q looks at %d trials, the limit is %d", text, c.N, maxWindow).fix("take a shorter window")
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
		cs.fault(CodeBroken, text, "%q needs a low share under a high one and errors that add up to less than 100%%", text).fix("write for instance: sequential 60% against 90% wrongly up 5% wrongly down 10%")
		return node{op: opOr}
	case cs.word != curriculum.Advance && cs.word != curriculum.Ease || cs.negated:
		cs.fault(CodeBroken, text, "%q can only stand in advance and ease, and not under `not`", text).fix("write it in an advance or ease rule, without not")
		return node{op: opOr}
	}
	shape := trackShape{fills: evidence &^ (1 << helped), counts: 1 << success}
	if cs.word == curriculum.Ease {
		shape.counts = 1<<wrong | 1<<silent
	}
	return node{op: opSequential, n: keptReasons, source: c, wald: newWald(c, cs.word == curriculum.Advance), track: cs.track(shape, 0, keptReasons)}
}
