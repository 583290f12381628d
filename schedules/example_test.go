package schedules_test

import (
	"fmt"

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
