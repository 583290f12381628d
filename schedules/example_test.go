package schedules_test

import (
	"fmt"
	"math/big"
	"os"
	"time"

	"example.com/rung/schedules"
)

// Which of the next eight successes pay, when one in two does on average and nobody is asked to be random.
func ExampleNewRatio() {
	r, _ := schedules.NewRatio(schedules.Variable, 2, 1)
	unpaid, _ := r.LongestUnpaid()
	fmt.Println("list", r.List(), "mean", r.Mean().RatString(), "longest run without pay", unpaid)
	for i, paid := range r.Pattern(0, 8, 7) {
		if paid {
			fmt.Print(i+1, " ")
		}
	}
	// Output:
	// list [1 2 3] mean 2 longest run without pay 2
	// 3 4 6 8
}

func ExampleFleshlerHoffman() {
	list, _ := schedules.FleshlerHoffman(30, 12)
	fmt.Println(schedules.Rounded(list, 1))
	// Output:
	// [1 4 7 10 14 18 24 30 37 47 63 105]
}

func ExampleDaily() {
	kcal, from, _ := schedules.Daily(schedules.Facts{Kg: 9, Months: 84})
	fmt.Printf("%.0f kcal a day (%s), extras at most %.0f kcal\n", kcal, from, kcal/10)
	// Output:
	// 582 kcal a day (1.6 times the resting need, neutered adult), extras at most 58 kcal
}

// A week of short sessions: what was paid so far is all that the next one needs to know.
func ExampleRatio_Session() {
	r, _ := schedules.NewRatio(schedules.Variable, 3, 1)
	var state schedules.State
	paid := 0
	for range 6 {
		for _, p := range r.Session(state, 5, 11) {
			if p {
				paid++
				state = state.After(schedules.Paid)
			} else {
				state = state.After(schedules.NotPaid)
			}
		}
	}
	fmt.Println(paid, "of", state.Successes, "successes were paid")
	// Output:
	// 10 of 30 successes were paid
}

func ExampleRatio_Capped() {
	r, _ := schedules.NewRatio(schedules.Variable, 4, 1)
	c, cost, _ := r.Capped(4)
	fmt.Println(c.List(), "mean", c.Mean().RatString())
	fmt.Println(cost)
	// Output:
	// [3 4 5] mean 4
	// rewards come 3 to 5 successes apart in place of 1 to 7, so they are easier to foresee: variance 0.67 in place of 4
}

// How many pieces the pot needs for ten successes when one in two is paid.
func ExampleRatio_Rewards() {
	r, _ := schedules.NewRatio(schedules.Variable, 2, 1)
	for n, chance := range r.Rewards(10) {
		if chance.Sign() > 0 {
			fmt.Println(n, "pieces:", chance.RatString())
		}
	}
	// Output:
	// 4 pieces: 1/3
	// 5 pieces: 2/3
}

// Pay the better 60% of the pivots, by the angles of the last session; nothing below 30 degrees, no more than 90 asked.
func ExamplePercentile_Session() {
	p, _ := schedules.NewPercentile(9, big.NewRat(3, 5))
	low, high := 30.0, 90.0
	bar := p.Session([]float64{45, 60, 30, 75, 60, 45, 90, 60, 45}, false, schedules.Within{Easiest: &low, Hardest: &high})
	fmt.Println("pay above", bar.Value, bar.Pays(45), bar.Pays(60))
	// Output:
	// pay above 45 false true
}

func ExampleVaried() {
	v, _ := schedules.Varied(big.NewRat(10, 1), big.NewRat(1, 1), nil)
	fmt.Println("mean", v.Mean().FloatString(1))
	for _, seconds := range v.Draw(0, 7, 3) {
		fmt.Print(seconds.RatString(), " ")
	}
	// Output:
	// mean 7.7
	// 10 10 8 12 3 6 5
}

func ExampleCalendar() {
	gaps, _ := schedules.NewReviews(3, 7, 14)
	finished := time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)
	c := schedules.Calendar{Product: "-//Pindrift Yard//reviews//EN", Stamp: finished}
	c.Entries = append(c.Entries, schedules.Entry{UID: "okapi-settle@yard.example", Day: gaps.Due(finished, 0), Title: "Okapi: first try of settle"})
	c.Write(os.Stdout)
}
