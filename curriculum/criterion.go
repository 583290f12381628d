package curriculum

// Criterion is a condition over a dog's evidence. The types in this file are all there are.
type Criterion interface{ criterion() }

// Counted is what a window counts.
type Counted uint8

const (
	Successes Counted = iota
	Misses            // wrong, silent and helped
	WrongOnes
	Silents
	HelpedOnes
	OptOuts // counted over evidence and opt-outs together
)

// Window is "4 of last 5", "4 of each 5", "3 in a row", "at most 1 wrong of last 4" and their kin. K successes (or
// misses ...) among the last N, or among the N of a block. For a share ("80% of last 20") K is already worked out.
type Window struct {
	K, N    int
	Share   Share // as written; zero Den where a count was written
	Count   Counted
	Each    bool // blocks since entry instead of a sliding window
	Twice   bool // the last two blocks both
	AtMost  bool // at most K, and needs all N
	InARow  bool // written "N in a row"; then K == N
	Qualify Qualifiers
}

// Qualifiers tighten what counts as a success, or narrow which trials are looked at.
type Qualifiers struct {
	EvenHelped bool
	Within     *Quantity   // latency at most
	Holding    *Quantity   // duration at least
	Where      *Expression // what counts must meet it
	Among      *Expression // only these trials fill the window
}

// InSessionCount is "2 misses in this session": a count of its own, since entry.
type InSessionCount struct {
	N     int
	Count Counted
	Where *Expression
}

// Done is "done 8 times": all trials but void and opt-out since entry.
type Done struct{ N int }

// InSession is "C in this session": over this session's trials since entry.
type InSession struct{ Is Criterion }

// Over is what Repeated counts different ones of.
type Over uint8

const (
	Sessions Over = iota
	Places
	Handlers
	Days
)

// Repeated is "C in 3 sessions", "C in 2 places" and so on: C came true inside each of N different ones since entry.
type Repeated struct {
	Is     Criterion
	N      int
	Over   Over
	InARow bool
}

// SessionShare is "80% of a session of at least 10 trials [in 2 sessions [in a row]]". N is 1 where none is written.
type SessionShare struct {
	Share     Share
	MinTrials int
	N         int
	InARow    bool
	Qualify   Qualifiers
}

// FirstTrial is "first trial in 3 sessions [in a row]": cold tests.
type FirstTrial struct {
	N      int
	InARow bool
}

// Confidence is "at least 80% with 95% confidence of last 30": the exact one-sided (Clopper-Pearson) lower bound.
type Confidence struct {
	Share, Confidence Share
	N                 int
}

// Sequential is "sequential 60% against 90% wrongly up 5% wrongly down 10%": Wald's test.
type Sequential struct{ Low, High, WronglyUp, WronglyDown Share }

// Stat is a statistic of a measure.
type Stat string

const (
	Median Stat = "median"
	Mean   Stat = "mean"
	Best   Stat = "best"
	Worst  Stat = "worst"
)

// Statistic is "median latency of last 5 successes <= 2 s".
type Statistic struct {
	Stat    Stat
	Measure string
	N       int
	Op      string // "<=", "<", ">=", ">" or "=="
	Value   Quantity
}

// AfterUnit is what After counts.
type AfterUnit uint8

const (
	AfterTrials AfterUnit = iota
	AfterSessions
	AfterDays
)

// After is "after 20 trials [at this step]", "after 3 sessions", "after 7 days".
type After struct {
	N      int
	Unit   AfterUnit
	AtStep bool // counts from the step's entry, not the level's
}

// Eased is "eased 3 times": eases out of this level since its last split.
type Eased struct{ N int }

// Holds is "{ expr }" over the present trial, the dog and the host program's functions.
type Holds struct{ Expr *Expression }

// Not, And, Or join criteria.
type (
	Not struct{ Is Criterion }
	And struct{ All []Criterion }
	Or  struct{ Any []Criterion }
)

// Named is a criterion used by its name.
type Named struct {
	Name string
	Is   Criterion
}

func (Window) criterion()         {}
func (InSessionCount) criterion() {}
func (Done) criterion()           {}
func (InSession) criterion()      {}
func (Repeated) criterion()       {}
func (SessionShare) criterion()   {}
func (FirstTrial) criterion()     {}
func (Confidence) criterion()     {}
func (Sequential) criterion()     {}
func (Statistic) criterion()      {}
func (After) criterion()          {}
func (Eased) criterion()          {}
func (Holds) criterion()          {}
func (Not) criterion()            {}
func (And) criterion()            {}
func (Or) criterion()             {}
func (Named) criterion()          {}

// Expression is the text between braces, already checked by whoever built the curriculum; package
// curriculum/expression compiles it.
type Expression struct {
	Text string
	Pos  Pos // of the first character of Text
}
