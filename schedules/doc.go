// Package schedules makes the concrete patterns behind reward and review schedules, and the sums of energy that bound
// them: which success of a session pays, after how many seconds, when a finished behaviour is due again, and how much
// food a day holds. It knows nothing of curricula or dogs' histories; numbers go in, numbers come out.
//
// Ratios count successes, never trials. Every random choice comes from a seed that the caller passes in (PCG of
// math/rand/v2), so equal inputs give equal patterns on every machine and in every process.
//
// Means, lists and thresholds are the published ones; each function names its source.
package schedules

import "math/rand/v2"

// stream separates the kinds of draw that one seed may feed.
const (
	streamGaps uint64 = iota + 1
	streamTimes
)

func source(seed, stream uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, stream)) }
