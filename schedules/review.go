package schedules

import (
	"errors"
	"time"
)

// ErrGaps is returned for review gaps that are not whole days of one or more.
var ErrGaps = errors.New("review gaps are whole days, one or more")

// Reviews is the growing gaps, in days, between the cold tests of a finished behaviour. The last gap repeats. Without gaps
// there is no review, and every date is that of the last one.
type Reviews []int

// NewReviews checks its gaps.
func NewReviews(days ...int) (Reviews, error) {
	for _, d := range days {
		if d < 1 || d > 36500 {
			return nil, ErrGaps
		}
	}
	if len(days) == 0 {
		return nil, ErrGaps
	}
	return append(Reviews(nil), days...), nil
}

// After is the index of the gap that follows a review: the next one after a pass, at most the last; the first after a
// failure.
func (r Reviews) After(gap int, passed bool) int {
	if !passed {
		return 0
	}
	return max(min(max(gap, 0)+1, len(r)-1), 0)
}

// Due is the day on which the review after gap falls, counted in dates from the day of the last one. The time of day
// is kept.
func (r Reviews) Due(last time.Time, gap int) time.Time {
	if len(r) == 0 {
		return last
	}
	return last.AddDate(0, 0, r[min(max(gap, 0), len(r)-1)])
}

// Dates is the next n days of review, from the last one on, if every one of them passes on its day.
func (r Reviews) Dates(last time.Time, gap, n int) []time.Time {
	out := make([]time.Time, max(n, 0))
	for i := range out {
		last = r.Due(last, gap)
		gap = r.After(gap, true)
		out[i] = last
	}
	return out
}

// DaysBetween counts the dates from a to b, each in its own offset; negative where b is earlier.
func DaysBetween(a, b time.Time) int {
	day := func(t time.Time) time.Time {
		y, m, d := t.Date()
		return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	return int(day(b).Sub(day(a)).Hours() / 24)
}
