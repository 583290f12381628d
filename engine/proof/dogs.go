package proof

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

const (
	codeDeadDoor     = "dead-door"
	codeNeverPrinted = "never-printed"
)

var dogCodes = []codeEntry{
	{
		Code: codeDeadDoor, Severity: Error, Title: "a door that opens to no dog",
		Means:    "The need asks for a dog that cannot be, such as one that is older than a year and younger than six months. The behaviour never begins. Dogs of all ages up to 25 years and of all weights around the numbers written are tried.",
		Faulty:   "rung 1\nbehaviour hop {\n  needs dog { age_months >= 12 and age_months < 6 }\n" + cueTail,
		Repaired: "rung 1\nbehaviour hop {\n  needs dog { age_months >= 12 }\n" + cueTail,
	},
	{
		Code: codeNeverPrinted, Severity: Warning, Title: "a caution that is printed for no dog",
		Means:    "The caution's condition holds of no dog, so nobody ever reads it. Dogs of all ages up to 25 years and of all weights around the numbers written are tried.",
		Faulty:   "rung 1\ncaution old \"Warm up first.\" when { dog.age_months >= 96 and dog.age_months < 12 }\nbehaviour settle {\n  caution old\n" + cueTail,
		Repaired: "rung 1\ncaution old \"Warm up first.\" when { dog.age_months >= 96 }\nbehaviour settle {\n  caution old\n" + cueTail,
	},
}

var dogChecks = []check{
	{[]string{codeDeadDoor}, (*subject).deadDoors},
	{[]string{codeNeverPrinted}, (*subject).neverPrinted},
}

func (s *subject) deadDoors() {
	for _, b := range s.c.Behaviours {
		for _, n := range b.Needs {
			if n.Dog == nil || !s.noDog(n.Dog) {
				continue
			}
			s.report(Finding{
				Code: codeDeadDoor, Pos: n.Pos, Behaviour: b.Name, Answer: Disproved,
				Text: fmt.Sprintf("no dog meets { %s }, so %s never begins", strings.TrimSpace(n.Dog.Text), b.Name), Help: "turn one of the comparisons round, or write or for and",
			})
		}
	}
}

func (s *subject) neverPrinted() {
	for _, k := range s.c.Cautions {
		if k.When != nil && s.noDog(k.When) {
			s.report(Finding{
				Code: codeNeverPrinted, Pos: k.Pos, Answer: Disproved,
				Text: fmt.Sprintf("no dog meets { %s }, so %s is never printed", strings.TrimSpace(k.When.Text), k.Name), Help: "turn one of the comparisons round, or write or for and",
			})
		}
	}
}

// oldest is the age in days up to which dogs are tried: 25 years.
const oldest = 25*365 + 7

// noDog reports whether no dog meets a condition on the dog alone, whose facts are compared with numbers only.
func (s *subject) noDog(e *curriculum.Expression) bool {
	for _, scope := range []expression.Scope{expression.DogOnly, expression.TrialAndDog} {
		p, err := expression.Compile(e.Text, expression.Env{Measures: s.c.Measures, Functions: s.options.Functions, Scope: scope})
		if err != nil {
			continue
		}
		cuts, ok := p.Cuts()
		if !ok || p.ReadsTrial() || len(p.Literals()) > 0 || slices.Contains(p.Reads(), "dog.name") {
			return false
		}
		return !anyDog(p, cuts)
	}
	return false
}

// anyDog tries dogs on both sides of every number that the condition compares with.
func anyDog(p *expression.Program, cuts []expression.Cut) bool {
	today := time.Date(2030, 1, 15, 0, 0, 0, 0, time.UTC)
	ages, weights, grown := []int{0, oldest}, []float64{1, 60}, []float64{1, 60}
	for _, c := range cuts {
		switch c.Fact {
		case "dog.age_days":
			ages = append(ages, around(c.At, 1, 2)...)
		case "dog.age_weeks":
			ages = append(ages, around(c.At, 7, 8)...)
		case "dog.age_months":
			ages = append(ages, around(c.At, 30.44, 40)...)
		case "dog.weight_kg":
			weights = append(weights, c.At, c.At-0.01, c.At+0.01)
		case "dog.adult_weight_kg":
			grown = append(grown, c.At, c.At-0.01, c.At+0.01)
		}
	}
	for _, days := range ages {
		for _, w := range weights {
			for _, g := range grown {
				for _, n := range []curriculum.YesNo{curriculum.Yes, curriculum.No} {
					d := curriculum.Dog{Name: "any", Born: today.AddDate(0, 0, -days), WeightKg: w, AdultWeightKg: g, Neutered: n}
					if p.Holds(&expression.Facts{Dog: &d, Day: today}) {
						return true
					}
				}
			}
		}
	}
	return false
}

// around are the ages in days near a number of weeks or months.
func around(n, size float64, margin int) []int {
	middle := int(n * size)
	var out []int
	for d := max(0, middle-margin); d <= min(oldest, middle+margin); d++ {
		out = append(out, d)
	}
	return out
}
