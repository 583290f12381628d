package schedules

// State is how far a run of rewards has come: it carries a ratio from one session to the next. The zero State is a run
// that begins. It is plain data and can be stored.
type State struct {
	Successes int `json:"successes"` // since the run began
	Rewards   int `json:"rewards"`   // of them on record as paid
	Unpaid    int `json:"unpaid"`    // successes since the last that is on record as paid
	Unsaid    int `json:"unsaid"`    // of those, without a record of whether they were paid
}

// Payment is what is on record of a success.
type Payment uint8

const (
	Unsaid Payment = iota
	Paid
	NotPaid
)

// After is the state after one more success. A trial that is no success changes nothing, whether or not it was paid.
func (s State) After(p Payment) State {
	s.Successes++
	switch p {
	case Paid:
		s.Rewards++
		s.Unpaid, s.Unsaid = 0, 0
	case Unsaid:
		s.Unsaid++
		fallthrough
	default:
		s.Unpaid++
	}
	return s
}

// Session tells of the next n successes which are paid, in a run that has come as far as from: with the same seed the
// run goes on where the sessions before left it, so that a ratio of three is a ratio of three over the week.
//
// Each reward on record starts the next gap, also one that fell early; one that was due and forgotten is paid at the
// next success. Where nothing is on record since the last reward, each success is taken to have been paid as planned.
func (r *Ratio) Session(from State, n int, seed uint64) []bool {
	out := make([]bool, max(n, 0))
	g := r.Gaps(seed)
	for range from.Rewards {
		g.Next()
	}
	at := g.Next() - from.Unpaid
	if from.Unsaid > 0 {
		for at <= 0 {
			at += g.Next()
		}
	}
	for at = max(at, 1); at <= n; at += g.Next() {
		out[at-1] = true
	}
	return out
}

// LongestRun is the longest run of successes of a pattern that are not paid.
func LongestRun(paid []bool) (longest int) {
	run := 0
	for _, p := range paid {
		run++
		if p {
			run = 0
		}
		longest = max(longest, run)
	}
	return longest
}
