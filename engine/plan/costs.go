package plan

import (
	"fmt"
	"hash/fnv"
	"math"

	"example.com/rung/curriculum"
)

// The parts of a trial that neither curriculum nor food states, in tenths of a second: common practice, no source.
const (
	Response   = 20 // from the cue to the act
	Marking    = 3
	Delivery   = 10
	Reset      = 20
	Changeover = 100 // from one item to the next
)

// costs is what the first n trials of a candidate take, for n from 0 up to its most, and how they are paid.
type costs struct {
	time, pieces []int // running sums
	rewarded     []bool
	intervals    []float64          // of a schedule by the clock, in the order they fall due
	at           [][]float64        // seconds inside each hold
	asked        []curriculum.Level // of each trial, where values vary
	bar          *PayBar
	schedule     curriculum.Schedule
	words        string
	note         string // for the plan, if the candidate is in it
}

// cost is the costs of a candidate when it is paid with f.
func (b *builder) cost(c *candidate, f *food) *costs {
	if c.last == f && c.lastC != nil {
		return c.lastC
	}
	c.last = f
	if c.lastC = c.costs[f]; c.lastC != nil {
		return c.lastC
	}
	k := &costs{schedule: scheduleOf(c), time: []int{0}, pieces: []int{0}}
	c.costs[f], c.lastC = k, k
	n := c.most
	k.asked = b.vary(c, n)
	own := b.ownPace(c, f)
	pay := b.payer(c, k, n)
	pay.each = float64(own.trial(c, c.level, 0, 0)) / 10
	pay.plan()
	clock, paidAt, due, pieces := 0, 0, 0, 0
	for i := range n {
		level, held := c.level, 0
		if k.asked != nil {
			level = k.asked[i]
		}
		if pay.holds != nil {
			held = int(math.Ceil(pay.holds[i] * 10))
		}
		if k.intervals != nil {
			success := clock + own.trial(c, level, held, 0) // with the reset, so that sessions add up: see Times.Session
			if k.rewarded[i] = float64(success-paidAt) >= k.intervals[due]*10; k.rewarded[i] {
				due, paidAt = due+1, success
			}
		}
		feeding := 0
		if k.rewarded[i] {
			feeding = Delivery + f.eat
			if k.at != nil {
				pieces += len(k.at[i])
			} else {
				pieces++
			}
		}
		clock += own.trial(c, level, held, feeding)
		k.time = append(k.time, clock)
		inPot := pieces
		if k.intervals != nil {
			inPot = min(pieces+1, i+1) // trials may take longer than planned, and one more fall due
		}
		k.pieces = append(k.pieces, inPot)
	}
	return k
}

// trial is how long a trial at a level takes, in tenths of a second: held so much longer than the level says, and so much
// for the feeding. Where the text says what a trial takes, all of that is in it.
func (p ownPace) trial(c *candidate, level curriculum.Level, held, feeding int) int {
	if !c.sheet.Takes.IsZero() {
		return p.of(takes(c))
	}
	return p.of(Response+Marking+Reset+feeding) + holdOf(level) + held
}

// holdOf is how long the dog waits and holds at a level, in tenths of a second.
func holdOf(l curriculum.Level) int { return tenths(l, "pause") + tenths(l, "duration") }

// tenths is a time of the level in tenths of a second, rounded up; 0 where the level has none of that name.
func tenths(l curriculum.Level, of string) int {
	v, ok := l.Get(of)
	if !ok || v.Quantity.IsZero() || v.Quantity.Unit.Dimension() != curriculum.Time {
		return 0
	}
	return max(0, int(math.Ceil(v.Quantity.Float()*10-1e-6)))
}

// seed is a candidate's own: the same request gives a behaviour the same pattern whatever else is planned.
func (b *builder) seed(c *candidate) uint64 {
	h := fnv.New64a()
	fmt.Fprintf(h, "%d\x00%s\x00%s\x00%s\x00%s", b.r.Seed, b.plan.Dog, c.name(), c.step.Name, c.level)
	return h.Sum64()
}

// takes is what the text says a trial takes, in tenths of a second.
func takes(c *candidate) int { return int(math.Ceil(c.sheet.Takes.Float()*10 - 1e-6)) }

// The dog's own pace counts like as many trials as its history holds cycles of; what the text and the constants say
// counts like paceTrials more. Fewer cycles than leastCycles say nothing.
const (
	leastCycles = 5
	paceTrials  = 10
)

// ownPace is a ratio of times: how long trials of a step take this dog, against what text and constants say.
type ownPace struct{ num, den int }

// ownPace is the pace that a candidate is planned with. A paid trial takes
//
//	(cycles x median + paceTrials x stated) / (cycles + paceTrials)
//
// and all other trials in proportion. Stated is what the text says a trial takes, its hold with it; where it says
// nothing, the sum of the constants and the eating, and the hold is added to the result.
func (b *builder) ownPace(c *candidate, f *food) ownPace {
	n := c.v.Pace.Cycles
	if n < leastCycles {
		return ownPace{1, 1}
	}
	stated := Response + Marking + Reset + Delivery + f.eat
	median := int(math.Round(c.v.Pace.Seconds * 10))
	if !c.sheet.Takes.IsZero() {
		stated = takes(c)
		median += holdOf(c.level)
	}
	return ownPace{n*median + paceTrials*stated, (n + paceTrials) * stated}
}

// of is a stated time at the dog's own pace, rounded up.
func (p ownPace) of(tenths int) int { return (tenths*p.num + p.den - 1) / p.den }
