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
// interval or duration schedule; MostUnpaid bounds the successes in a row that a ratio leaves unpaid, 0 where nothing
// does. Share, Window and Measure belong to "best 60% of last 10 for turn", and From and To bound its bar: never easier
// than From, never harder than To; zero where none is stated.
type Schedule struct {
	Kind       ScheduleKind
	Value      Quantity
	MostUnpaid int
	Share      Share
	Window     int
	Measure    string
	From, To   Quantity
}

// Equal reports whether two schedules mean the same.
func (s Schedule) Equal(o Schedule) bool {
	return s.Kind == o.Kind && s.Value.Equal(o.Value) && s.Share.Equal(o.Share) && s.Window == o.Window && s.Measure == o.Measure &&
		s.MostUnpaid == o.MostUnpaid && s.From.Equal(o.From) && s.To.Equal(o.To)
}
