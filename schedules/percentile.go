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
// pays everything). A tie with the threshold does not beat it.
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
	if len(recent) > p.Window {
		recent = recent[len(recent)-p.Window:]
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

// Pays reports whether v is paid, given the newest values before it.
func (p Percentile) Pays(v float64, recent []float64, smallerIsBetter bool) bool {
	t, ok := p.Threshold(recent, smallerIsBetter)
	return !ok || smallerIsBetter && v < t || !smallerIsBetter && v > t
}

func floor(r *big.Rat) int { return int(new(big.Int).Div(r.Num(), r.Denom()).Int64()) }
