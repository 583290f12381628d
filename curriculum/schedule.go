package curriculum

// ScheduleKind is how rewards are given out over successes.
type ScheduleKind string

const (
	EverySuccess     ScheduleKind = "every success"
	FixedRatio       ScheduleKind = "fixed ratio"
	VariableRatio    ScheduleKind = "variable ratio"
	RandomRatio      ScheduleKind = "random ratio"
	FixedInterval    ScheduleKind = "fixed interval"
	VariableInterval ScheduleKind = "variable interval"
	FixedDuration    ScheduleKind = "fixed duration"
	VariableDuration ScheduleKind = "variable duration"
	Percentile       ScheduleKind = "best"
)

// Schedule is a reward schedule. Value is the ratio (a plain number, mean successes a reward) or the time of an
// interval or duration schedule; Share, Window and Measure belong to "best 60% of last 10 for turn".
type Schedule struct {
	Kind    ScheduleKind
	Value   Quantity
	Share   Share
	Window  int
	Measure string
}

// Equal reports whether two schedules mean the same.
func (s Schedule) Equal(o Schedule) bool {
	return s.Kind == o.Kind && s.Value.Equal(o.Value) && s.Share.Equal(o.Share) && s.Window == o.Window && s.Measure == o.Measure
}
