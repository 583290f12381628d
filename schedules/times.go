package schedules

import (
	"math"
	"math/big"
	"sort"
)

// Times is a list of times, in one unit, of which intervals or holds are taken in an order drawn from a seed; the order
// is drawn anew each time the list is used up, so that every whole list holds the mean. NewTimes makes one of any of
// the lists of this package; the zero Times has none, and all its figures are nought. Sums are of floating-point numbers:
// means are right to 1 part in 10^12.
type Times struct {
	list []float64 // ascending
}

// NewTimes takes a list such as that of FleshlerHoffman, Durations or Same. Its times are finite and not below nought,
// their mean is above it.
func NewTimes(list []float64) (*Times, error) {
	if len(list) == 0 || len(list) > maxList {
		return nil, ErrTime
	}
	s := append([]float64(nil), list...)
	sort.Float64s(s)
	if !(s[0] >= 0) || math.IsNaN(s[len(s)-1]) || math.IsInf(s[len(s)-1], 0) || s[len(s)-1] == 0 {
		return nil, ErrTime
	}
	return &Times{s}, nil
}

// made is the times, none for nil as for the zero Times.
func (t *Times) made() *Times {
	if t == nil {
		return new(Times)
	}
	return t
}

// List is the list, ascending.
func (t *Times) List() []float64 { return append([]float64(nil), t.made().list...) }

// Mean is the mean of the list.
func (t *Times) Mean() float64 {
	t = t.made()
	sum := 0.0
	for _, v := range t.list {
		sum += v
	}
	return sum / math.Max(float64(len(t.list)), 1)
}

// Variance is the variance of the list, in the square of its unit.
func (t *Times) Variance() float64 {
	t = t.made()
	mean, sum := t.Mean(), 0.0
	for _, v := range t.list {
		sum += (v - mean) * (v - mean)
	}
	return sum / math.Max(float64(len(t.list)), 1)
}

// Longest is the longest time of the list: under an interval schedule no success that comes later than this after the
// last reward goes unpaid.
func (t *Times) Longest() float64 {
	t = t.made()
	if len(t.list) == 0 {
		return 0
	}
	return t.list[len(t.list)-1]
}

// ChanceOfNone is the exact chance that so much time after a reward passes without the next falling due: the share of
// the list that is longer.
func (t *Times) ChanceOfNone(within float64) *big.Rat {
	t = t.made()
	over := len(t.list) - sort.Search(len(t.list), func(i int) bool { return t.list[i] > within })
	return big.NewRat(int64(over), int64(max(len(t.list), 1)))
}

// Draw is the next n times after the first `done` of the whole run: with the same seed it goes on where an earlier
// session left it.
func (t *Times) Draw(done, n int, seed uint64) []float64 {
	t = t.made()
	done, n = max(done, 0), max(n, 0)
	if len(t.list) == 0 {
		return nil
	}
	out := make([]float64, 0, n)
	for len(out) < n {
		round, at := done/len(t.list), done%len(t.list)
		list := Shuffled(t.list, seed+uint64(round))[at:]
		list = list[:min(len(list), n-len(out))]
		out = append(out, list...)
		done += len(list)
	}
	return out
}

// Session is the next n intervals of a schedule by the clock, in a run that has come as far as from and of which each
// success took so much time, in the unit of the list: the end of a session does not set the clock back. The first
// interval is what is left of the one that runs, 0 where it is over and the next success pays.
//
// Where nothing is on record since the last reward, each success is taken to have been paid as planned, as in
// Ratio.Session.
func (t *Times) Session(from State, each float64, n int, seed uint64) []float64 {
	t = t.made()
	if len(t.list) == 0 || n <= 0 {
		return nil
	}
	if !(each > 0) {
		each = 0
	}
	done := max(from.Rewards, 0)
	left := t.Draw(done, 1, seed)[0]
	for range max(from.Unpaid, 0) {
		if left -= each; left <= 0 && from.Unsaid > 0 {
			done++
			left = t.Draw(done, 1, seed)[0]
		}
	}
	out := t.Draw(done, n, seed)
	out[0] = max(left, 0)
	return out
}

// InsideHolds is the moments at which each of the next holds is paid, hold by hold as InsideHold tells, in a run of which
// `done` holds are over. Those are taken to have been as long as the next ones, in turn. A time too long for its hold
// gives way to the next.
func (t *Times) InsideHolds(done int, holds []float64, seed uint64) [][]float64 {
	t = t.made()
	if len(holds) == 0 {
		return nil
	}
	if len(t.list) == 0 {
		t = &Times{[]float64{0}} // nothing is paid inside
	}
	next, taken := t.Draw(0, len(t.list), seed), len(t.list)
	one := func(hold float64) []float64 {
		at := 0.0
		var out []float64
		for used := 0; ; used++ {
			if len(next) == 0 {
				next = t.Draw(taken, len(t.list), seed)
				taken += len(next)
			}
			d := next[0]
			if at+d >= hold || d <= 0 {
				if used == 0 {
					next = next[1:]
				}
				return append(out, hold)
			}
			at += d
			out = append(out, at)
			next = next[1:]
		}
	}
	for i := range max(done, 0) {
		one(holds[i%len(holds)])
	}
	out := make([][]float64, len(holds))
	for i, h := range holds {
		out[i] = one(h)
	}
	return out
}

// Whole is the list in whole units that a person with a watch can keep; see Rounded.
func (t *Times) Whole(unit float64) *Times {
	t = t.made()
	s := Rounded(t.list, unit)
	sort.Float64s(s)
	return &Times{s}
}
