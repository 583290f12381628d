package expression_test

import (
	"fmt"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

func ExampleCompile() {
	env := expression.Env{Measures: []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}}}
	p, err := expression.Compile(`turn >= 60 and place == "yard"`, env)
	if err != nil {
		fmt.Println(err)
		return
	}
	trial := curriculum.Trial{Place: "yard", Measures: []curriculum.MeasureValue{{Name: "turn", Value: 75}}}
	fmt.Println(p.Reads(), p.Holds(&expression.Facts{Trial: &trial}))
	// Output: [place turn] true
}

func ExampleCheck() {
	text := `latncy < 2 and dog.age_month > 6`
	for _, p := range expression.Check(text, expression.Env{}) {
		fmt.Printf("%s: %s; %s\n", text[p.From:p.To], p.Message, p.Help)
	}
	// Output:
	// latncy: "latncy" is no fact of a trial; did you mean latency?
	// age_month: a dog's profile has no "age_month"; did you mean age_months?
}
