package plan

import (
	"fmt"
	"hash/fnv"
	"math"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/schedules"
)

// holdList is how many different times a variable duration spreads over.
const holdList = 8

// longAgo bounds how many holds of the past are gone through again to find the place in the list.
const longAgo = 200

// intervalList is how many different times a variable interval spreads over: as many as in the published example.
const intervalList = 12

// scheduleOf is the reward schedule at a candidate's level. What only opens or closes the session is there to be easy and
// well paid: every success of it is.
func scheduleOf(c *candidate) curriculum.Schedule {
	if c.placeOnly() {
		return curriculum.Schedule{Kind: curriculum.EverySuccess}
	}
	if v, ok := c.level.Get(curriculum.ThinRamp); ok && v.Thin != nil {
		return *v.Thin
	}
	if c.step.Reward != nil {
		return *c.step.Reward
	}
	return curriculum.Schedule{Kind: curriculum.EverySuccess}
}

// payer turns a schedule into a pattern.
type payer struct {
	b     *builder
	c     *candidate
	k     *costs
	n     int
	seed  uint64
	run   engine.PayRun // how far the rewards have come
	each  float64       // seconds that a trial without a reward takes
	asked []float64     // seconds of each hold, nil where the level has no duration
	holds []float64     // added to each trial, where the level itself has no duration
}

// payer is made ready for the first n trials of a candidate. The pattern goes on where the sessions before left it, as
// long as the schedule is the same.
func (b *builder) payer(c *candidate, k *costs, n int) *payer {
	h := fnv.New64a()
	fmt.Fprintf(h, "%d\x00%s\x00%s\x00%s", b.r.Seed, b.plan.Dog, c.name(), k.schedule)
	p := &payer{b: b, c: c, k: k, n: n, seed: h.Sum64()}
	if c.v.Pay.Schedule.Equal(k.schedule) {
		p.run = c.v.Pay
	}
	if tenths(c.level, "duration") > 0 {
		p.asked = make([]float64, n)
		for i := range p.asked {
			level := c.level
			if k.asked != nil {
				level = k.asked[i]
			}
			p.asked[i] = math.Min(float64(tenths(level, "duration"))/10, 1e4)
		}
	}
	return p
}

func (p *payer) plan() {
	p.k.rewarded = make([]bool, p.n)
	s := p.k.schedule
	seconds := s.Value.Float()
	switch s.Kind {
	case curriculum.FixedRatio:
		p.ratio(schedules.Fixed, s)
	case curriculum.VariableRatio:
		p.ratio(schedules.Variable, s)
	case curriculum.RandomRatio:
		p.ratio(schedules.Random, s)
	case curriculum.FixedInterval:
		p.interval(schedules.Same(seconds, intervalList))
	case curriculum.VariableInterval:
		p.interval(schedules.FleshlerHoffman(seconds, intervalList))
	case curriculum.FixedDuration:
		p.duration(schedules.Same(seconds, holdList))
	case curriculum.VariableDuration:
		p.duration(schedules.Durations(seconds, holdList))
	case curriculum.Percentile:
		p.every()
		p.best(s)
	default:
		p.every()
	}
}

func (p *payer) every() {
	for i := range p.k.rewarded {
		p.k.rewarded[i] = true
	}
	p.k.words = "feed every success"
}

func (p *payer) ratio(kind schedules.RatioKind, s curriculum.Schedule) {
	r, err := schedules.NewRatio(kind, s.Value.Num, s.Value.Den)
	if err == nil && s.MostUnpaid > 0 {
		var cost schedules.GivenUp
		if r, cost, err = r.Capped(s.MostUnpaid); err == nil && !cost.Nothing() {
			p.k.note = fmt.Sprintf("%s: %s.", p.c.name(), cost)
		}
	}
	if err != nil {
		p.every()
		p.k.note = fmt.Sprintf("%s: %s cannot be kept exactly (%v), so every success is fed.", p.c.name(), s, err)
		return
	}
	p.k.rewarded = r.Session(p.run.State, p.n, p.seed)
}

// whole is the times in whole seconds, or nil where they are none; then every success is fed.
func (p *payer) whole(times []float64, err error) *schedules.Times {
	if err == nil {
		var t *schedules.Times
		if t, err = schedules.NewTimes(times); err == nil {
			return t.Whole(1)
		}
	}
	return nil
}

func (p *payer) interval(times []float64, err error) {
	t := p.whole(times, err)
	if t == nil {
		p.every()
		return
	}
	p.k.intervals = t.Session(p.run.State, p.each, p.n+1, p.seed)
	p.k.intervals[0] = math.Max(1, math.Ceil(p.k.intervals[0])) // what a watch can show
	p.k.words = "by the watch: feed the first success after each of these times"
}

// duration pays holds inside and at their end. Where the level has no duration of its own the list itself says how long
// each hold lasts, and it is paid once, at its end.
func (p *payer) duration(times []float64, err error) {
	p.every()
	t := p.whole(times, err)
	if t == nil {
		return
	}
	done := p.run.State.Successes % longAgo
	if p.asked == nil {
		p.holds = t.Draw(done, p.n, p.seed)
		p.k.at = make([][]float64, p.n)
		for i, h := range p.holds {
			p.k.at[i] = []float64{h}
		}
		p.k.words = "feed at the end of each hold, as long as listed"
		return
	}
	p.k.words = "feed inside each hold and at its end, at the seconds listed hold by hold"
	p.k.at = t.InsideHolds(done, p.asked, p.seed)
}

// best is the bar of a percentile schedule, the same for the whole session: from the newest values on record, never
// easier than the level asks and never harder than the step's last level does.
func (p *payer) best(s curriculum.Schedule) {
	pc, err := schedules.NewPercentile(s.Window, s.Share.Rat())
	if err != nil {
		return
	}
	unit, smaller := p.b.measure(s.Measure)
	in := schedules.Within{Easiest: boundOf(s.From, unit), Hardest: boundOf(s.To, unit)}
	for _, r := range p.c.step.Ramps {
		v, ok := p.c.level.Get(r.Of)
		if r.Of != s.Measure || !ok || r.Falling != smaller {
			continue
		}
		level, goal := v.Quantity.In(unit), r.Values[len(r.Values)-1].Quantity.In(unit)
		if e := in.Easiest; e == nil || smaller && level < *e || !smaller && level > *e {
			in.Easiest = &level
		}
		if in.Hardest == nil {
			in.Hardest = &goal
		}
	}
	bar := pc.Session(p.run.Values, smaller, in)
	if bar.Every || len(p.run.Values) == 0 {
		p.k.words = fmt.Sprintf("feed every success and write its %s down: from the next session on the best %s are fed", s.Measure, s.Share)
		return
	}
	over := map[[2]bool]string{{false, false}: barOver, {false, true}: barAtLeast, {true, false}: barUnder, {true, true}: barAtMost}[[2]bool{smaller, bar.Reaching}]
	p.k.bar = &PayBar{Measure: s.Measure, Words: over, Value: bar.Value, Unit: string(unit)}
	p.k.words = fmt.Sprintf("feed a success with a %s; write each %s down", p.k.bar, s.Measure)
}

// boundOf is a bound of the bar in the measure's unit, nil where none is stated.
func boundOf(q curriculum.Quantity, unit curriculum.Unit) *float64 {
	if q.IsZero() {
		return nil
	}
	v := q.In(unit)
	return &v
}

// Pays reports whether a success with that value of the measure is paid.
func (b *PayBar) Pays(v float64) bool {
	smaller := b.Words == barUnder || b.Words == barAtMost
	return schedules.Bar{Value: b.Value, Smaller: smaller, Reaching: b.Words == barAtLeast || b.Words == barAtMost}.Pays(v)
}

// The words of a bar.
const (
	barOver    = "over"
	barAtLeast = "at least"
	barUnder   = "under"
	barAtMost  = "at most"
)

// String is "turn over 45 deg".
func (b *PayBar) String() string {
	return strings.TrimSpace(b.Measure + " " + b.Words + " " + number(b.Value) + " " + b.Unit)
}

// measure is the unit of a measure, and whether smaller is better.
func (b *builder) measure(name string) (unit curriculum.Unit, smaller bool) {
	switch name {
	case "latency":
		return curriculum.Second, true
	case "duration":
		return curriculum.Second, false
	case "distance":
		return curriculum.Metre, false
	}
	for _, m := range b.c.Measures {
		if m.Name == name {
			return m.Unit, m.SmallerIsBetter
		}
	}
	return curriculum.NoUnit, false
}
