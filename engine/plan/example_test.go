package plan_test

import (
	"fmt"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

// A dog's next session after five trials, in the yard, with twenty pieces at hand.
func ExampleNext() {
	p, err := engine.Compile(yard())
	if err != nil {
		fmt.Println(err)
		return
	}
	f := p.NewFold(curriculum.Dog{Name: "okapi", WeightKg: 4.2, AdultWeightKg: 11})
	for i, o := range []curriculum.Outcome{curriculum.Success, curriculum.Wrong, curriculum.Success, curriculum.Success, curriculum.Silent} {
		t := curriculum.Trial{Dog: "okapi", Behaviour: "settle", At: morning.AddDate(0, 0, -1).Add(secondsOf(20 * i)), Outcome: o}
		if err := f.Record(&t); err != nil {
			fmt.Println(err)
			return
		}
	}
	next, err := plan.Next(p, f, plan.Request{Dog: "okapi", At: morning, Place: "yard", Pieces: 20})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, it := range next.Items {
		fmt.Printf("%s at %s: %d trials; %s\n", it.Behaviour, it.Step, it.Trials, it.Reason)
	}
	for _, l := range next.LeftOut[:2] {
		fmt.Printf("not %s: %s (%s)\n", l.Behaviour, l.Reason, l.Code)
	}
	// Output:
	// settle at down: 4 trials; in work: 3 of the newest 5 good, last trained yesterday
	// hand-touch at palm: 4 trials; new: nothing bars it any more
	// settle at down: 4 trials; in work: 3 of the newest 5 good, last trained yesterday
	// hand-touch at palm: 4 trials; new: nothing bars it any more
	// settle at down: 4 trials; in work: 3 of the newest 5 good, last trained yesterday
	// not pivot-left: 1 new behaviour a session is the most (new-limit)
	// not pivot-right: 1 new behaviour a session is the most (new-limit)
}

// What would come after an evening of four good trials: nothing of it is recorded.
func ExampleNextIf() {
	p, err := engine.Compile(yard())
	if err != nil {
		fmt.Println(err)
		return
	}
	f := p.NewFold(curriculum.Dog{Name: "okapi", WeightKg: 4.2, AdultWeightKg: 11})
	good := curriculum.Trial{Behaviour: "settle", Outcome: curriculum.Success}
	next, err := plan.NextIf(p, f, plan.Request{Dog: "okapi", At: morning}, []curriculum.Trial{good, good, good, good})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("if", next.If)
	fmt.Println(next.Items[0].Behaviour, "at", next.Items[0].Step)
	// Output:
	// if settle 4 of 4 good
	// settle at hold
}

func secondsOf(n int) time.Duration { return time.Duration(n) * time.Second }

// The sessions of a week: three of them, spread over the days, each with those before it counted in.
func ExampleAhead() {
	p, err := engine.Compile(yard())
	if err != nil {
		fmt.Println(err)
		return
	}
	f := p.NewFold(curriculum.Dog{Name: "okapi", WeightKg: 4.2, AdultWeightKg: 11})
	ahead, err := plan.Ahead(p, f, plan.Request{Dog: "okapi", At: morning, Place: "yard"}, 7, 3)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range ahead.Sessions {
		fmt.Println(s.At.Format("Mon 15:04"), s.Trials, "trials")
	}
	// Output:
	// Tue 09:00 5 trials
	// Thu 09:00 20 trials
	// Sat 09:00 30 trials
}

// A class of two dogs that never work in the same turn.
func ExampleForClass() {
	p, err := engine.Compile(yard())
	if err != nil {
		fmt.Println(err)
		return
	}
	f := p.NewFold(curriculum.Dog{Name: "okapi"}, curriculum.Dog{Name: "bisk"})
	class, err := plan.ReadClass(strings.NewReader(`{"turns": 4, "minutes": 4, "change": 2,
		"stations": [{"place": "yard"}, {"place": "room-a"}], "dogs": ["okapi", "bisk"], "apart": [["okapi", "bisk"]]}`))
	if err != nil {
		fmt.Println(err) // every slip in the file, with its line and column
		return
	}
	day, err := plan.ForClass(p, f, class, plan.Request{At: morning})
	if err != nil {
		fmt.Println(err) // which limits clash, and what would do
		return
	}
	for _, t := range day.Turns {
		for _, w := range t.Work {
			fmt.Println(t.At.Format("15:04"), w.Station, w.Dog)
		}
	}
	// Output:
	// 09:00 yard okapi
	// 09:06 yard bisk
	// 09:12 room-a okapi
	// 09:18 room-a bisk
}
