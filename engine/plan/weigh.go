package plan

import (
	"fmt"
	"math"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/schedules"
)

// The points of the model in the package's documentation.
const (
	pointsReview  = 60
	pointsLapsed  = 55
	pointsWork    = 40
	pointsNew     = 30
	pointsKnown   = 5
	pointsPair    = 5
	mostOverdue   = 30
	mostNearness  = 20
	mostDays      = 14
	afterUnbegun  = 10
	gainPerTrial  = 0.88 // what is left of an item's points after each trial
	usualLeast    = 3
	mostNew       = 8
	mostWork      = 12
	mostReview    = 5
	mostKnown     = 3
	steadyTrials  = 4
	steadyPercent = 80
	hardPercent   = 50
)

// weigh gives a candidate its role, its points, the reason in words, and its room for trials.
func (b *builder) weigh(c *candidate) {
	days := daysSince(c.v.LastTrained, b.r.At)
	most := mostWork
	switch c.v.State {
	case curriculum.Kept:
		c.finished = true
		if late, ok := overdue(c.v, b.finishedAt(c), b.r.At); ok && late >= 0 {
			c.role, most = roleReview, mostReview
			c.points = pointsReview + min(2*float64(late), mostOverdue)
			c.why = "finished; a review is due today"
			if late > 0 {
				c.why = fmt.Sprintf("finished; its review is %s overdue", plural(late, "day", "days"))
			}
		} else {
			c.role, c.points, most = roleKnown, pointsKnown, mostKnown
			c.why = "finished, and easy for the dog"
		}
	case curriculum.Open:
		c.role, c.points, most = roleNew, pointsNew, mostNew
		c.why = "new: nothing bars it any more"
		if c.v.Trials7Days > 0 || !c.v.LastTrained.IsZero() {
			c.why = "just begun"
		}
		c.hard = true
	default:
		c.role, c.points, c.why = roleWork, pointsWork, "in work"
		if c.v.State == curriculum.Lapsed {
			c.role, c.points, c.why = roleLapsed, pointsLapsed, "finished once, and slipped since"
		}
		b.weighWork(c, days)
	}
	b.weighAfter(c)
	c.most = min(c.most, most)
	c.least = min(usualLeast, c.most)
	if c.role == roleKnown {
		c.least = min(2, c.most)
	}
}

// weighWork adds what the newest evidence and the days without training say.
func (b *builder) weighWork(c *candidate, days int) {
	r := c.v.Recent
	c.points += min(float64(days), mostDays)
	if r.Evidence > 0 {
		// a share of five at least: two of two is not yet near a move
		c.points += mostNearness * float64(r.Successes) / math.Max(float64(r.Evidence), 5)
		c.why += fmt.Sprintf(": %d of the newest %d good", r.Successes, r.Evidence)
	} else {
		c.why += ": new at this level"
	}
	switch {
	case c.v.LastTrained.IsZero():
	case days == 0:
		c.why += ", trained earlier today"
	case days == 1:
		c.why += ", last trained yesterday"
	default:
		c.why += fmt.Sprintf(", last trained %d days ago", days)
	}
	c.steady = c.v.Step > 0 && !c.held && r.Evidence >= steadyTrials && 100*r.Successes >= steadyPercent*r.Evidence
	c.hard = r.Evidence >= steadyTrials && 100*r.Successes < hardPercent*r.Evidence
}

// weighAfter takes off where something it is better after has not begun.
func (b *builder) weighAfter(c *candidate) {
	for _, name := range c.b.BetterAfter {
		for _, o := range b.v.Behaviours {
			if o.Behaviour.Name == name && (o.State == curriculum.Open || o.State == curriculum.Waiting) {
				c.points = math.Max(1, c.points-afterUnbegun)
				c.why += "; better once " + name + " has begun"
			}
		}
	}
}

// finishedAt is when the behaviour was last finished; zero where the standing does not say.
func (b *builder) finishedAt(c *candidate) time.Time {
	var at time.Time
	for _, s := range b.v.Standing.Behaviours {
		if s.Behaviour != c.name() {
			continue
		}
		for _, m := range s.Moves {
			if m.To.Kept && m.At != nil {
				at = *m.At
			}
		}
	}
	return at
}

// overdue is how many days a review is late, negative while it is not due; ok is false where none is planned. Which gap
// is running is read from when the behaviour was finished and when it was last trained: a review on its day starts the
// next gap, one before it the same again.
func overdue(v *engine.BehaviourView, finished, now time.Time) (days int, ok bool) {
	var gaps []int
	for _, q := range v.Behaviour.Review {
		gaps = append(gaps, max(1, int(math.Ceil(q.Float()/86400))))
	}
	r, err := schedules.NewReviews(gaps...)
	if err != nil {
		return 0, false
	}
	last := v.LastTrained
	if last.Before(finished) {
		last = finished
	}
	if last.IsZero() {
		return 0, true
	}
	if finished.IsZero() {
		finished = last
	}
	gap, sum := 0, r[0]
	for passed := schedules.DaysBetween(finished, last); sum <= passed && gap < len(r)-1; sum += r[gap] {
		gap++
	}
	return schedules.DaysBetween(r.Due(last, gap), now), true
}

// daysSince counts dates from t to now, at least 0; 0 where t is not known.
func daysSince(t, now time.Time) int {
	if t.IsZero() {
		return 0
	}
	return max(0, schedules.DaysBetween(t, now))
}

// gain is what n trials of a candidate bring.
func (c *candidate) gain(n int) float64 {
	if n <= 0 {
		return 0
	}
	return c.points * (1 - math.Pow(gainPerTrial, float64(n)))
}
