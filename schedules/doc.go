// Package schedules makes the concrete patterns behind reward and review schedules, and the sums of energy that bound
// them: which success of a session pays, after how many seconds, above which value, when a finished behaviour is due
// again, and how much food a day holds. It knows nothing of curricula or dogs' histories, and any program can use it
// alone: numbers go in, numbers come out.
//
//	rewards over successes        NewRatio, Ratio.Capped, Ratio.Session with a State
//	rewards by the clock          FleshlerHoffman or Same, NewTimes, Times.Session with a State, PaidInterval
//	rewards inside a hold         Durations or Same, NewTimes, Times.InsideHolds
//	rewards for the better part   NewPercentile, Percentile.Session
//	from often to seldom          Thinning, Leaps
//	values that change            Varied
//	reviews and calendars         NewReviews, Calendar
//	food                          Daily, NewPurses, Take
//
// Ratios count successes, never trials. Every random choice comes from a seed that the caller passes in (PCG of
// math/rand/v2), so equal inputs give equal patterns on every machine and in every process.
//
// What a schedule promises is worked out exactly, as fractions: the mean and the variance from one reward to the next,
// the longest run without one, the chance of none among the next n, the distribution of rewards in a session. Lists of
// times are floating-point; their means are right to one part in 10^12. Means, lists and thresholds are the published
// ones; each function names its source. Values are safe for concurrent use once made, Gaps apart.
package schedules

import "math/rand/v2"

// stream separates the kinds of draw that one seed may feed.
const (
	streamGaps uint64 = iota + 1
	streamTimes
	streamValues
)

func source(seed, stream uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, stream)) }
