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

// Intervals of 30 s on average, in seconds that a watch can keep: the first success after each has run is paid.
func ExampleTimes() {
	list, _ := schedules.FleshlerHoffman(30, 12)
	times, _ := schedules.NewTimes(list)
	whole := times.Whole(1)
	first := whole.Draw(0, 4, 7)
	next := whole.Draw(4, 3, 7) // the session after goes on in the same list
	fmt.Println(first, next, "longest", whole.Longest(), "none within a minute:", whole.ChanceOfNone(60).RatString())
	fmt.Println(schedules.PaidInterval([]float64{5, 20, 31, 40, 60}, first))
	// Output:
	// [14 18 7 10] [4 37 105] longest 105 none within a minute: 1/6
	// [false true false true true]
}

// Five successes of 8 s each were not paid: the interval that runs has 40 s behind it, and the next session needs not
// begin it anew.
func ExampleTimes_Session() {
	list, _ := schedules.Same(60, 1)
	times, _ := schedules.NewTimes(list)
	var state schedules.State
	for range 5 {
		state = state.After(schedules.NotPaid)
	}
	fmt.Println(times.Session(state, 8, 3, 7))
	// Output:
	// [20 60 60]
}

// A hold of 20 s, fed inside it after 8 s, then 4 s later, and at its end.
func ExampleInsideHold() {
	at, used := schedules.InsideHold(20, []float64{8, 4, 12})
	fmt.Println(at, used)
	// Output:
	// [8 12 20] 2
}

// Two purses: what extras may still be fed, and what is left of the ration.
func ExampleNewPurses() {
	day, _ := schedules.NewPurses(900, 0.1, 30)
	pieces := schedules.Take(20, day.Extras, 4, 1.5)
	fmt.Printf("ration %.0f kcal, extras %.0f kcal: %d pieces, %.0f kcal, %.1f g\n", day.Ration, day.Extras, pieces.N, pieces.Kcal, pieces.Grams)
	// Output:
	// ration 870 kcal, extras 60 kcal: 15 pieces, 60 kcal, 22.5 g
}

// From every success to one in four, each mean at most half as much again; a list with a leap in it.
func ExampleThinning() {
	means, _ := schedules.Thinning(big.NewRat(4, 1), big.NewRat(3, 2))
	for _, m := range means {
		fmt.Print(m.RatString(), " ")
	}
	leaps, _ := schedules.Leaps([]*big.Rat{big.NewRat(1, 1), big.NewRat(2, 1), big.NewRat(5, 1)})
	fmt.Println("leaps", leaps)
	// Output:
	// 1 3/2 9/4 13/4 4 leaps [1]
}

// A test passed on its day makes the next gap longer; a failed one begins with the first again.
func ExampleReviews() {
	gaps, _ := schedules.NewReviews(1, 3, 7)
	day := time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)
	for _, d := range gaps.Dates(day, 0, 4) {
		fmt.Print(d.Format("2 Jan "), " ")
	}
	fmt.Println(gaps.After(1, true), gaps.After(1, false))
	// Output:
	// 3 Mar  6 Mar  13 Mar  20 Mar  2 0
}
