package schedules

import (
	"errors"
	"math/big"
	"sort"
)

// ErrShare is returned for a share that is not between nought and one, or a window below one.
var ErrShare = errors.New("a percentile schedule pays a share above 0% and below 100% of a window of one or more")

// Percentile pays a response that is better than a set share of the last m: with the wanted share w it must beat the
// k-th worst of the last m, k = (m+1)(1-w). Platt (1973), The Psychology of Learning and Motivation 7:271-296;
// Galbicka (1994), Journal of Applied Behavior Analysis 27:739-760.
//
// Where k is no whole number it is rounded down, so that at least the wanted share is paid rather than less (a k below 1
// pays everything). A tie with the threshold does not beat it. The zero Percentile pays everything.
type Percentile struct {
	Window int      // m
	Share  *big.Rat // w
}

// NewPercentile checks its figures.
func NewPercentile(window int, share *big.Rat) (Percentile, error) {
	if window < 1 || share == nil || share.Sign() <= 0 || share.Cmp(big.NewRat(1, 1)) >= 0 {
		return Percentile{}, ErrShare
	}
	return Percentile{window, new(big.Rat).Set(share)}, nil
}

// ExactRank is k = (m+1)(1-w) before rounding.
func (p Percentile) ExactRank() *big.Rat { return p.exactRank(p.Window) }

func (p Percentile) exactRank(m int) *big.Rat {
	if p.Share == nil {
		return new(big.Rat)
	}
	k := new(big.Rat).Sub(big.NewRat(1, 1), p.Share)
	return k.Mul(k, big.NewRat(int64(m)+1, 1))
}

// Rank is k rounded down; 0 pays everything.
func (p Percentile) Rank() int { return floor(p.ExactRank()) }

// PaidShare is the exact share of responses that is paid if all orders of m+1 different values are equally likely:
// 1 - k/(m+1), never below the wanted share.
func (p Percentile) PaidShare() *big.Rat {
	k := big.NewRat(int64(p.Rank()), int64(p.Window)+1)
	return k.Sub(big.NewRat(1, 1), k)
}

// Threshold is the value that a response must beat, from the newest values at hand (at most the last m are used);
// smallerIsBetter says which way is better. While fewer than m are there the rank is worked out for as many as there
// are. ok is false where everything is paid.
func (p Percentile) Threshold(recent []float64, smallerIsBetter bool) (v float64, ok bool) {
	if m := max(p.Window, 0); len(recent) > m {
		recent = recent[len(recent)-m:]
	}
	k := floor(p.exactRank(len(recent)))
	if k < 1 || len(recent) == 0 {
		return 0, false
	}
	s := append([]float64(nil), recent...)
	sort.Float64s(s)
	if smallerIsBetter {
		return s[len(s)-k], true
	}
	return s[k-1], true
}

// Bar is what a response must do to be paid in one session: the threshold is worked out before it and stands still
// until its end, since nobody can rank anew after each trial on paper.
type Bar struct {
	Value    float64
	Reaching bool // reaching the value is enough; otherwise it must be beaten
	Every    bool // every success is paid: nothing, or too little, is known
	Smaller  bool // smaller is better
}

// Within bounds a bar. Easiest is where it never falls below, such as the best step already passed; hardest is where it
// never rises above, such as a safety limit or the goal. nil bounds nothing.
type Within struct{ Easiest, Hardest *float64 }

// Session is the bar of the next session, from the newest values at hand. A bar that is held at a bound is paid when it
// is reached, since ranking no longer says how many will beat it. Without values the easiest bound, if any, is the bar.
// A bar that must never fall from session to session (the default is that it may) has the last session's as Easiest.
func (p Percentile) Session(recent []float64, smallerIsBetter bool, in Within) Bar {
	b := Bar{Smaller: smallerIsBetter}
	v, ok := p.Threshold(recent, smallerIsBetter)
	b.Value, b.Every = v, !ok
	if e := in.Easiest; e != nil && (b.Every || better(*e, b.Value, smallerIsBetter)) {
		b = Bar{Value: *e, Reaching: true, Smaller: smallerIsBetter}
	}
	if h := in.Hardest; h != nil && !b.Every && !better(*h, b.Value, smallerIsBetter) {
		b = Bar{Value: *h, Reaching: true, Smaller: smallerIsBetter}
	}
	return b
}

// Pays reports whether a success of value v is paid.
func (b Bar) Pays(v float64) bool {
	return b.Every || better(v, b.Value, b.Smaller) || b.Reaching && v == b.Value
}

func better(a, than float64, smaller bool) bool {
	if smaller {
		return a < than
	}
	return a > than
}

// ChanceOfNone is the exact chance that none of the next n responses beats a threshold that stands still, if all orders
// of these and the last m are equally likely: k (k+1) ... (k+n-1) over (m+1) (m+2) ... (m+n). It falls more slowly than
// if each had the paid share for itself, since one unlucky threshold meets them all.
func (p Percentile) ChanceOfNone(n int) *big.Rat {
	out := big.NewRat(1, 1)
	k, m := int64(p.Rank()), int64(p.Window)
	for j := int64(0); j < int64(n) && out.Sign() > 0; j++ {
		out.Mul(out, big.NewRat(k+j, m+1+j))
	}
	return out
}

// Rewards is the exact mean and variance of the number paid among the next n responses, on the same condition; the
// variance is the one of the beta-binomial distribution. No run without pay is too long to happen, unless all is paid.
func (p Percentile) Rewards(n int) (mean, variance *big.Rat) {
	share := p.PaidShare()
	count := big.NewRat(int64(max(n, 0)), 1)
	mean = new(big.Rat).Mul(count, share)
	rest := new(big.Rat).Sub(big.NewRat(1, 1), share)
	m := int64(p.Window)
	variance = new(big.Rat).Mul(mean, rest)
	return mean, variance.Mul(variance, big.NewRat(m+1+int64(max(n, 0)), m+2))
}

// Pays reports whether v is paid, given the newest values before it.
func (p Percentile) Pays(v float64, recent []float64, smallerIsBetter bool) bool {
	t, ok := p.Threshold(recent, smallerIsBetter)
	return !ok || smallerIsBetter && v < t || !smallerIsBetter && v > t
}

func floor(r *big.Rat) int { return int(new(big.Int).Div(r.Num(), r.Denom()).Int64()) }
