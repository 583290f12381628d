package plan

import (
	"fmt"

	"example.com/rung/engine"
)

// farAhead is the longest run that a card counts down to.
const farAhead = 20

// lookAhead writes on each card how many more successes would do, as the count in the log stands: nobody adds up the
// trials of other days in the field.
func (b *builder) lookAhead(f *engine.Fold) {
	for _, c := range b.cands {
		if c.held || c.finished {
			continue
		}
		soon, trials := "", 0
		for i := range b.plan.Items {
			it := &b.plan.Items[i]
			if it.Behaviour != c.name() {
				continue
			}
			if it.Part == 1 {
				if n, err := f.Ahead(b.v.Dog.Name, c.name(), b.r.At); err == nil && n != nil {
					soon, trials = countdown(n.Trials, it.Asked != nil), len(n.Trials)
				}
			}
			if it.Card.Soon = soon; soon != "" {
				it.Card.SoonTrials = trials
			}
		}
	}
}

// countdown is a run of successes in words; empty where it is anything else, or too long for a line. Where values vary
// it is a run at the full one.
func countdown(run []engine.NextTrial, varied bool) string {
	n := len(run)
	if n == 0 || n > farAhead {
		return ""
	}
	for _, t := range run {
		if t.Mark != "+" || t.NewSession || t.Step != "" || t.With != run[0].With {
			return ""
		}
	}
	text, enough := "one more success", " is enough"
	if n > 1 {
		text, enough = fmt.Sprintf("%d more in a row", n), " are enough"
	}
	if varied {
		text += " at the full value"
	}
	if with := run[0].With; with != "" {
		text += " with " + with
	}
	return text + enough
}

// moveOn is the rule by which the dog moves on, and how far it is from it.
func (c *Card) moveOn() string {
	if c.Soon == "" {
		return c.Advance
	}
	return c.Advance + "; as it stands, " + c.Soon
}
