package odds

import (
	"fmt"

	"example.com/rung/curriculum/expression"
)

// What is asked where nobody says otherwise.
const (
	DefaultBy     = 20
	DefaultBudget = 200_000
)

// DefaultChances are the success rates that are asked about where nobody says otherwise: one that is not good enough,
// the range that trainers like to see in training (common practice), and one that knows it.
var defaultChances = []float64{.6, .7, .8, .9}

// MaxBy bounds By, so that no question takes for ever.
const MaxBy = 1_000_000

// Question is what is asked about rules.
type Question struct {
	// Chances are the success rates to answer for, each between 0 and 1; none means 60, 70, 80 and 90 %.
	Chances []float64
	// By is the trial by which a rule is to have held; 0 means DefaultBy.
	By int
	// Dog says what else is taken for granted about the trials; its Chance is not looked at.
	Dog Dog
	// Sessions is how trials come in sessions.
	Sessions Sessions
	// Functions are those of the host program, for conditions in braces.
	Functions []expression.Function
	// FirstMoves asks for the first moves alone, which is much quicker: Through, HalfBy, NineBy and ladders are left out.
	FirstMoves bool
	// Budget is the most states of one level's rules; 0 means DefaultBudget.
	Budget int

	perSession bool // the trials of a session are asked for, and not those that the curriculum lets it have
}

func (q *Question) chances() []float64 {
	if len(q.Chances) == 0 {
		return defaultChances
	}
	return q.Chances
}

func (q *Question) by() int {
	if q.By == 0 {
		return DefaultBy
	}
	return q.By
}

func (q *Question) budget() int {
	if q.Budget <= 0 {
		return DefaultBudget
	}
	return q.Budget
}

func (q *Question) check() error {
	if q.By < 0 || q.By > MaxBy {
		return fmt.Errorf("odds: by trial %d is not between 1 and %d", q.By, MaxBy)
	}
	if q.Sessions.Trials < 0 {
		return fmt.Errorf("odds: a session of %d trials", q.Sessions.Trials)
	}
	for _, p := range q.chances() {
		d := q.Dog
		d.Chance = p
		if _, err := d.kindChances(); err != nil {
			return err
		}
	}
	return nil
}
