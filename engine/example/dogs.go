package example

import (
	"maps"
	"slices"

	"example.com/rung/curriculum"
)

// dogsFor are dogs that tell the conditions on dogs apart: none, then the ages and weights that the curriculum names,
// and a little less and more.
func dogsFor(c *curriculum.Curriculum) []*curriculum.ExampleDog {
	out := []*curriculum.ExampleDog{nil}
	facts := map[string]map[float64]bool{}
	eachExpression(c, func(e *curriculum.Expression) {
		for _, m := range comparedDogFacts.FindAllStringSubmatch(e.Text, -1) {
			if facts[m[1]] == nil {
				facts[m[1]] = map[float64]bool{}
			}
			facts[m[1]][number(m[2])] = true
		}
	})
	ages := []curriculum.ExampleDog{}
	around := func(fact string, do func(n int)) {
		for _, v := range slices.Sorted(maps.Keys(facts[fact])) {
			for _, n := range []int{int(v), int(v) + 1, int(v) - 1} {
				if n > 0 {
					do(n)
				}
			}
		}
	}
	around("age_months", func(n int) { ages = append(ages, curriculum.ExampleDog{AgeMonths: n}) })
	around("age_weeks", func(n int) { ages = append(ages, curriculum.ExampleDog{AgeDays: 7 * n}) })
	around("age_days", func(n int) { ages = append(ages, curriculum.ExampleDog{AgeDays: n}) })
	weights := []float64{}
	around("weight_kg", func(n int) { weights = append(weights, float64(n)) })
	if len(ages) == 0 && len(weights) > 0 {
		ages = append(ages, curriculum.ExampleDog{})
	}
	for _, a := range ages {
		if len(weights) == 0 {
			out = append(out, &a)
		}
		for _, w := range weights {
			both := a
			both.WeightKg = w
			out = append(out, &both)
		}
	}
	const most = 24
	return out[:min(len(out), most)]
}
