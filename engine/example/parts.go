package example

import (
	"regexp"
	"strconv"

	"example.com/rung/curriculum"
)

// comparedDogFacts finds what a condition compares a dog's age or weight with.
var comparedDogFacts = regexp.MustCompile(`\b(age_months|age_weeks|age_days|weight_kg)\s*(?:>=|<=|==|!=|>|<)\s*([0-9]+(?:\.[0-9]+)?)`)

func number(s string) float64 {
	v, _ := strconv.ParseFloat(s, 64) // the expression above lets nothing else pass
	return v
}

// eachExpression calls do with every condition on trials or the dog that decides anything.
func eachExpression(c *curriculum.Curriculum, do func(*curriculum.Expression)) {
	some := func(e *curriculum.Expression) {
		if e != nil {
			do(e)
		}
	}
	rule := func(r *curriculum.Rule) {
		for p := range curriculum.Parts(r.When) {
			switch p := p.(type) {
			case curriculum.Holds:
				some(p.Expr)
			case curriculum.Window:
				some(p.Qualify.Where)
				some(p.Qualify.Among)
			case curriculum.SessionShare:
				some(p.Qualify.Where)
				some(p.Qualify.Among)
			case curriculum.InSessionCount:
				some(p.Where)
			}
		}
	}
	for _, b := range c.Behaviours {
		for i := range b.Needs {
			some(b.Needs[i].Dog)
		}
		for _, s := range b.Steps {
			for i := range s.Rules {
				rule(&s.Rules[i])
			}
		}
		for i := range b.Lapse {
			rule(&b.Lapse[i])
		}
	}
}
