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
	pointsPiece   = 25 // a piece at which a chain breaks
	breaksFirst   = 2  // so often, before it is worked alone
	pointsFavour  = 40
	pointsAsked   = 100 // for what somebody wishes for, as soon as it is in
	mostOverdue   = 30
	mostNearness  = 20
	mostDays      = 14
	pointsOften   = 8 // off for each session of the last seven days
	mostOften     = 4
	afterUnbegun  = 10
	gainPerTrial  = 0.88 // what is left of an item's points after each trial
	usualLeast    = 3
	mostNew       = 8
	mostWork      = 12
	mostReview    = 5
	mostKnown     = 5
	steadyTrials  = 4
	steadyPercent = 80
	hardPercent   = 50
)

// weigh gives a candidate its role, its points, the reason in words, and its room for trials.
func (b *builder) weigh(c *candidate) {
	days := daysSince(c.v.LastTrained, b.r.At)
	most := mostWork
	c.finished = c.v.State == curriculum.Kept
	b.reckonChance(c)
	switch c.v.State {
	case curriculum.Kept:
		if late, ok := overdue(c.v, b.r.At); ok && late >= 0 {
			c.role, most = roleReview, mostReview
			c.points = pointsReview + min(2*float64(late), mostOverdue)
			c.why = "finished; " + dueWords(late)
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
	if b.weighPiece(c) && c.finished {
		most = mostReview
	}
	b.weighAfter(c)
	for _, f := range b.r.Favour {
		if b.c.Behaviour(f) == c.b && !c.favoured {
			c.favoured = true
			c.points += pointsFavour
			c.why += "; asked for"
		}
	}
	c.most = min(c.most, most)
	c.least = min(usualLeast, c.most)
}

// weighWork adds what the newest evidence and the days without training say.
func (b *builder) weighWork(c *candidate, days int) {
	r := c.v.Recent
	c.points += min(float64(days), mostDays) - pointsOften*float64(min(c.v.Sessions7Days, mostOften))
	if n := c.v.ToMove; n > 0 && !c.held {
		c.points += mostNearness * math.Pow(c.chance, float64(n))
	}
	if r.Evidence > 0 {
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
	if c.v.Sessions7Days > 1 {
		c.why += fmt.Sprintf(", in %d sessions of seven days", c.v.Sessions7Days)
	}
	c.steady = c.v.Step > 0 && !c.held && r.Evidence >= steadyTrials && 100*r.Successes >= steadyPercent*r.Evidence
	c.hard = r.Evidence >= steadyTrials && 100*r.Successes < hardPercent*r.Evidence
}

// weighPiece adds to a piece at which a chain breaks again and again, at its level or at the one it was eased from: the
// piece is worked alone, also where it is finished and no review is due.
func (b *builder) weighPiece(c *candidate) bool {
	for i := range b.v.Behaviours {
		o := &b.v.Behaviours[i]
		n := 0
		for _, pieces := range [][]engine.PieceCount{o.Failed, o.FailedBefore} {
			for _, p := range pieces {
				if p.Piece == c.name() {
					n += p.Trials
				}
			}
		}
		if n < breaksFirst {
			continue
		}
		if c.role == roleKnown {
			c.role, c.points = roleReview, pointsWork
		}
		c.points += pointsPiece
		c.why += fmt.Sprintf("; %s broke here %s, so it is worked alone", o.Behaviour.Name, times(n))
		return true
	}
	return false
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

// overdue is how many days a review is late, negative while it is not due; ok is false where none is planned.
func overdue(v *engine.BehaviourView, now time.Time) (days int, ok bool) {
	if v.ReviewDue.IsZero() {
		return 0, false
	}
	return schedules.DaysBetween(v.ReviewDue, now), true
}

// dueWords is how late a review is, in words.
func dueWords(late int) string {
	if late == 0 {
		return "a review is due today"
	}
	return fmt.Sprintf("its review is %s overdue", plural(late, "day", "days"))
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
