package plan

import (
	"fmt"
	"math"
	"math/big"

	"example.com/rung/curriculum"
	"example.com/rung/schedules"
)

// holdList is how many different times a variable duration spreads over.
const holdList = 8

// intervalList is how many different times a variable interval spreads over: as many as in the published example.
const intervalList = 12

// scheduleOf is the reward schedule at a candidate's level.
func scheduleOf(c *candidate) curriculum.Schedule {
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
	b         *builder
	c         *candidate
	k         *costs
	n         int
	seed      uint64
	intervals []float64
	holds     []float64 // added to each trial, where the level itself has no duration
}

func (p *payer) plan() {
	p.k.rewarded = make([]bool, p.n)
	s := p.k.schedule
	seconds := s.Value.Float()
	switch s.Kind {
	case curriculum.FixedRatio:
		p.ratio(schedules.Fixed, s.Value)
	case curriculum.VariableRatio:
		p.ratio(schedules.Variable, s.Value)
	case curriculum.RandomRatio:
		p.ratio(schedules.Random, s.Value)
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
		p.k.words = p.best(s)
	default:
		p.every()
		p.k.words = "feed every success"
	}
}

func (p *payer) every() {
	for i := range p.k.rewarded {
		p.k.rewarded[i] = true
	}
}

func (p *payer) ratio(kind schedules.RatioKind, mean curriculum.Quantity) {
	r, err := schedules.NewRatio(kind, mean.Num, mean.Den)
	if err != nil {
		p.every()
		p.k.words = "feed every success"
		p.b.note("%s: %s cannot be kept exactly (%v), so every success is fed.", p.c.name(), p.k.schedule, err)
		return
	}
	p.k.rewarded = r.Pattern(0, p.n, p.seed)
}

func (p *payer) interval(times []float64, err error) {
	if err != nil {
		p.every()
		p.k.words = "feed every success"
		return
	}
	p.intervals = p.long(times, p.n)
	p.k.words = "by the watch: feed the first success after each of these times"
}

// duration pays holds inside and at their end. Where the level has no duration of its own the list itself says how long
// each hold lasts, and it is paid once, at its end.
func (p *payer) duration(times []float64, err error) {
	p.every()
	p.k.words = "feed every success"
	if err != nil {
		return
	}
	p.k.at = [][]float64{}
	hold := float64(tenths(p.c.level, "duration")) / 10
	if hold == 0 {
		p.holds = p.long(times, p.n)
		for _, h := range p.holds {
			p.k.at = append(p.k.at, []float64{h})
		}
		p.k.words = "feed at the end of each hold, as long as listed"
		return
	}
	p.k.words = "feed inside each hold and at its end, at the seconds listed hold by hold"
	// at most one moment a second falls into a hold
	list := p.long(times, p.n*(int(math.Min(hold, 1e4)/p.k.schedule.Value.Float())*2+2))
	for range p.n {
		at, used := schedules.InsideHold(hold, list)
		list = list[used:]
		if used == 0 && len(list) > 1 {
			list = list[1:] // a time too long for this hold gives way to the next
		}
		p.k.at = append(p.k.at, at)
	}
}

// long is a list of n times: the given ones, in whole seconds, shuffled anew each time they are used up.
func (p *payer) long(times []float64, n int) []float64 {
	var out []float64
	whole := schedules.Rounded(times, 1)
	for round := uint64(0); len(out) < n; round++ {
		out = append(out, schedules.Shuffled(whole, p.seed+round)...)
	}
	return out[:n]
}

// best is a percentile schedule in words.
func (p *payer) best(s curriculum.Schedule) string {
	pc, err := schedules.NewPercentile(s.Window, s.Share.Rat())
	if err != nil || pc.Rank() < 1 {
		return "feed every success"
	}
	side := "lowest"
	if s.Measure == "latency" {
		side = "longest"
	}
	for _, m := range p.b.c.Measures {
		if m.Name == s.Measure && m.SmallerIsBetter {
			side = "highest"
		}
	}
	return fmt.Sprintf("feed a success whose %s beats the %s %s of the last %d (about %s of them); until %d are noted, every success",
		s.Measure, ordinal(pc.Rank()), side, s.Window, percent(pc.PaidShare()), s.Window)
}

func percent(r *big.Rat) string {
	v, _ := r.Float64()
	return fmt.Sprintf("%.0f%%", 100*v)
}

func ordinal(n int) string {
	end := "th"
	switch {
	case n%100 >= 11 && n%100 <= 13:
	case n%10 == 1:
		end = "st"
	case n%10 == 2:
		end = "nd"
	case n%10 == 3:
		end = "rd"
	}
	return fmt.Sprintf("%d%s", n, end)
}
