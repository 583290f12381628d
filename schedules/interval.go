package schedules

import (
	"errors"
	"math"
	"sort"
)

// ErrTime is returned for a mean time that is not positive, or a list that is empty or too long.
var ErrTime = errors.New("a list of times needs a mean above nought and between 1 and 10,000 entries")

// FleshlerHoffman is the list of n intervals of a variable interval schedule, ascending, in the unit of mean, with
// exactly that mean and a chance of reward that stays nearly the same at every moment:
//
//	t_i = mean [1 + ln n + (n-i) ln(n-i) - (n-i+1) ln(n-i+1)],  0 ln 0 = 0
//
// Fleshler and Hoffman (1962), Journal of the Experimental Analysis of Behavior 5:529-530.
func FleshlerHoffman(mean float64, n int) ([]float64, error) {
	xlnx := func(x float64) float64 {
		if x == 0 {
			return 0
		}
		return x * math.Log(x)
	}
	return listOf(mean, n, func(i float64) float64 {
		rest := float64(n) - i
		return 1 + math.Log(float64(n)) + xlnx(rest) - xlnx(rest+1)
	})
}

// Durations is the list of n times of a variable duration schedule, ascending, in the unit of mean: evenly spread with
// exactly that mean, t_i = mean (2i-1)/n. Inside a hold the dog need not be kept guessing about the moment, so the
// spread is even, as in the list 1..2n-1 of a variable ratio; there is no published list to follow.
func Durations(mean float64, n int) ([]float64, error) {
	return listOf(mean, n, func(i float64) float64 { return (2*i - 1) / float64(n) })
}

// Same is the list of n equal times of a fixed interval or duration schedule.
func Same(mean float64, n int) ([]float64, error) {
	return listOf(mean, n, func(float64) float64 { return 1 })
}

// listOf is n times, of which the i-th, from 1, is so many means.
func listOf(mean float64, n int, means func(i float64) float64) ([]float64, error) {
	if !(mean > 0) || math.IsInf(mean, 0) || n < 1 || n > maxList {
		return nil, ErrTime
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = mean * means(float64(i+1))
	}
	return out, nil
}

// Shuffled is a copy of the list in an order drawn from the seed.
func Shuffled(list []float64, seed uint64) []float64 {
	out := append([]float64(nil), list...)
	source(seed, streamTimes).Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

// Rounded is the list in whole units that a person with a watch can keep, each at least one unit, in the same order.
// Every value is rounded down or up so that the sum comes as near to the exact one as whole units allow (largest
// remainders are rounded up, ties the earlier); where small values had to be raised to one unit, the largest give it
// back as far as they can. A unit of nought or less rounds nothing.
func Rounded(list []float64, unit float64) []float64 {
	if !(unit > 0) {
		return append([]float64(nil), list...)
	}
	type part struct {
		i     int
		units int
		rest  float64
	}
	parts := make([]part, len(list))
	sum, whole := 0.0, 0
	for i, v := range list {
		u := math.Floor(v/unit + 1e-9)
		parts[i] = part{i, max(int(u), 1), v/unit - u}
		if u < 1 {
			parts[i].rest = 0
		}
		sum += v / unit
		whole += parts[i].units
	}
	target := int(math.Round(sum))
	sort.SliceStable(parts, func(a, b int) bool { return parts[a].rest > parts[b].rest })
	for i := 0; i < len(parts) && whole < target; i++ {
		parts[i].units++
		whole++
	}
	for whole > target {
		big := 0
		for i := range parts {
			if parts[i].units > parts[big].units || parts[i].units == parts[big].units && parts[i].i < parts[big].i {
				big = i
			}
		}
		if len(parts) == 0 || parts[big].units <= 1 {
			break
		}
		parts[big].units--
		whole--
	}
	out := make([]float64, len(list))
	for _, p := range parts {
		out[p.i] = float64(p.units) * unit
	}
	return out
}

// PaidInterval tells of successes at the given times (ascending, seconds from the start) which are paid under an
// interval schedule: the first success once an interval has run since the reward before, or since the start.
func PaidInterval(successes, intervals []float64) []bool {
	out := make([]bool, len(successes))
	last, k := 0.0, 0
	for i, t := range successes {
		if k < len(intervals) && t-last >= intervals[k] {
			out[i] = true
			last = t
			k++
		}
	}
	return out
}

// InsideHold is the moments, in seconds from its start, at which a hold of the given length is paid under a duration
// schedule: after each time of the list in turn, as long as it falls before the end, then at the end itself. A
// completed hold is a success and is always paid at its end. used says how many times of the list were taken.
func InsideHold(hold float64, times []float64) (at []float64, used int) {
	t := 0.0
	for _, d := range times {
		if t+d >= hold || d <= 0 {
			break
		}
		t += d
		used++
		at = append(at, t)
	}
	return append(at, hold), used
}
