package odds_test

import (
	"fmt"

	"example.com/rung/curriculum"
	"example.com/rung/engine/odds"
)

// How soon does "4 of last 5" pass a dog that is right 7 times in 10?
func ExampleOfCriterion() {
	fourOfFive := curriculum.Window{K: 4, N: 5}
	answer, err := odds.OfCriterion(fourOfFive, nil, odds.Question{Chances: []float64{.7}, By: 20})
	if err != nil {
		fmt.Println(err)
		return
	}
	row := answer.Rows[0]
	fmt.Printf("%s: by trial %d with chance %.4f, after %.2f trials on average\n", row.Criterion, row.By, row.Advance, row.Mean)
	// Output: 4 of last 5: by trial 20 with chance 0.9864, after 7.10 trials on average
}

// A ramp with an advance and an ease: who climbs it, who is sent back, and where it holds a dog.
func ExampleOf() {
	ramp := []curriculum.Ramp{{Of: "pause", Values: []curriculum.LevelValue{
		{Quantity: curriculum.Q(1, curriculum.Second)}, {Quantity: curriculum.Q(2, curriculum.Second)}, {Quantity: curriculum.Q(4, curriculum.Second)},
	}}}
	step := &curriculum.Step{Name: "wait", Ramps: ramp, Levels: curriculum.LayOut(ramp, curriculum.Raise{}), Rules: []curriculum.Rule{
		{Word: curriculum.Advance, When: curriculum.Window{K: 4, N: 5}},
		{Word: curriculum.Ease, When: curriculum.Window{K: 3, N: 5, Count: curriculum.Misses}},
	}}
	house := &curriculum.Curriculum{Behaviours: []*curriculum.Behaviour{{Name: "settle", Steps: []*curriculum.Step{step}}}}
	answer, err := odds.Of(house, "settle", "", odds.Question{Chances: []float64{.6, .9}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, row := range answer.Rows {
		fmt.Printf("right %.0f%%: on %.0f%%, back %.0f%%, %.0f trials for the whole ramp\n", 100*row.Chance, 100*row.Advance, 100*row.Ease, answer.Ladders[i].Mean)
	}
	fmt.Printf("holds a dog at %.3f\n", answer.Steps[0].HoldsAt[0])
	// Output:
	// right 60%: on 52%, back 48%, 59 trials for the whole ramp
	// right 90%: on 98%, back 2%, 14 trials for the whole ramp
	// holds a dog at 0.592
}

// A machine of one's own: two heads in a row.
func ExampleShape() {
	const tails, heads = 0, 1
	s := odds.NewShape(2, 1)
	s.Add(odds.Arc{Letter: tails, To: 0}, odds.Arc{Letter: heads, To: 1})
	s.Add(odds.Arc{Letter: tails, To: 0}, odds.Arc{Letter: heads, To: odds.End(0)})
	chain, err := s.With([]float64{.5, .5})
	if err != nil {
		fmt.Println(err)
		return
	}
	times, err := chain.Times()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f tosses on average, within five with chance %.5f\n", times.Mean, chain.By(5)[0])
	// Output: 6 tosses on average, within five with chance 0.59375
}
