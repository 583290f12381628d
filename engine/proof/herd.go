package proof

import (
	"math"
	"slices"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// oldest is the age in days up to which dogs are tried: 25 years.
const oldest = 25*365 + 7

// herd is one dog of every kind that some conditions on dogs can tell apart. What a dog is for life stands in its profile;
// it grows older and may be neutered, and its weight may be any at any time.
type herd struct {
	dogs    []profile
	weights []float64
}

// profile is a dog. All conditions are steps of its age: whatever holds at some age holds from one of ages on.
type profile struct {
	born     time.Time
	grown    float64 // adult weight in kg
	neutered int     // from that age in days
	ages     []int   // in days, sorted
}

// asks is what a rule or need asks of the dog; it holds or not of each dog at each age and weight.
type asks func(*expression.Facts) bool

// dogOnly is a condition on the dog alone, whose facts are compared with numbers only; false where it may depend on more.
func (s *subject) dogOnly(e *curriculum.Expression) (p *expression.Program, ok bool) {
	if e == nil {
		return nil, false
	}
	for _, scope := range []expression.Scope{expression.DogOnly, expression.TrialAndDog} {
		p, err := expression.Compile(e.Text, expression.Env{Measures: s.c.Measures, Functions: s.options.Functions, Scope: scope})
		if err != nil {
			continue
		}
		_, plain := p.Cuts()
		return p, plain && !p.ReadsTrial() && len(p.Literals()) == 0 && !slices.Contains(p.Reads(), expression.Member+".name")
	}
	return nil, false
}

// newHerd is the herd for some conditions that dogOnly knows.
func newHerd(of ...*expression.Program) *herd {
	h := &herd{}
	var cuts []expression.Cut
	reads := map[string]bool{}
	for _, p := range of {
		more, _ := p.Cuts()
		cuts = append(cuts, more...)
		for _, fact := range p.Reads() {
			reads[fact] = true
		}
	}
	units := 0
	for _, unit := range []string{"dog.age_days", "dog.age_weeks", "dog.age_months"} {
		if reads[unit] {
			units++
		}
	}
	births := 1
	if units > 1 { // months are of unlike length, so it matters in which a dog was born
		births = 24
	}
	h.weights = apart(cuts, "dog.weight_kg")
	for i := range births {
		d := profile{born: time.Date(2023, time.Month(1+i), 1, 0, 0, 0, 0, time.UTC)}
		d.ages = d.turns(cuts)
		neutered := []int{oldest + 1}
		if reads["dog.neutered"] {
			for _, age := range d.ages { // it may be at any time, so between two turns as well
				d.ages = append(d.ages, age+1)
			}
			slices.Sort(d.ages)
			d.ages = slices.Compact(d.ages)
			neutered = append(neutered, d.ages...)
		}
		for _, d.grown = range apart(cuts, "dog.adult_weight_kg") {
			for _, d.neutered = range neutered {
				h.dogs = append(h.dogs, d)
			}
		}
	}
	return h
}

// apart are weights on both sides of, and at, every number that a fact is compared with.
func apart(cuts []expression.Cut, fact string) []float64 {
	var at []float64
	for _, c := range cuts {
		if c.Fact == fact {
			at = append(at, c.At)
		}
	}
	if at == nil {
		return []float64{10}
	}
	slices.Sort(at)
	out := []float64{at[0] / 2}
	for i, v := range at {
		out = append(out, v)
		if i+1 < len(at) {
			out = append(out, (v+at[i+1])/2)
		}
	}
	return slices.DeleteFunc(append(out, at[len(at)-1]+1), func(w float64) bool { return w <= 0 }) // that would be an unknown one
}

// turns are the ages at which a comparison with the dog's age may begin to hold or cease.
func (d *profile) turns(cuts []expression.Cut) []int {
	out := []int{0}
	for _, c := range cuts {
		for _, n := range []float64{math.Floor(c.At), math.Floor(c.At) + 1} {
			if n < 0 || n > oldest {
				continue
			}
			switch c.Fact {
			case "dog.age_days":
				out = append(out, int(n))
			case "dog.age_weeks":
				out = append(out, 7*int(n))
			case "dog.age_months":
				out = append(out, int(d.born.AddDate(0, int(n), 0).Sub(d.born).Hours()/24))
			}
		}
	}
	out = slices.DeleteFunc(out, func(age int) bool { return age > oldest })
	slices.Sort(out)
	return slices.Compact(out)
}

// never is the age of a dog that does not live so long.
const never = math.MaxInt

// first is the age from some other on at which a dog, at some weight, first meets all that is asked at once.
func (h *herd) first(d *profile, from int, all ...asks) int {
	for _, age := range d.ages {
		if age < from {
			continue
		}
		for _, w := range h.weights {
			dog := curriculum.Dog{Name: "any", Born: d.born, WeightKg: w, AdultWeightKg: d.grown, Neutered: curriculum.No}
			if age >= d.neutered {
				dog.Neutered = curriculum.Yes
			}
			f := expression.Facts{Dog: &dog, Day: d.born.AddDate(0, 0, age)}
			if !slices.ContainsFunc(all, func(a asks) bool { return a != nil && !a(&f) }) {
				return age
			}
		}
	}
	return never
}

// any reports whether some dog meets all of the first, and at that age or later all of the second.
func (h *herd) any(before, then []asks) bool {
	for i := range h.dogs {
		d := &h.dogs[i]
		if h.first(d, h.first(d, 0, before...), then...) != never {
			return true
		}
	}
	return false
}

// noDog reports whether no dog meets a condition on the dog alone.
func (s *subject) noDog(e *curriculum.Expression) bool {
	none, known := s.none[e.Text]
	if !known {
		p, ok := s.dogOnly(e)
		none = ok && !newHerd(p).any(nil, []asks{p.Holds})
		if s.none == nil {
			s.none = map[string]bool{}
		}
		s.none[e.Text] = none
	}
	return none
}

// dogText is a condition in braces as it is written.
func dogText(e *curriculum.Expression) string { return "{ " + strings.TrimSpace(e.Text) + " }" }
