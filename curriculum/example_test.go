package curriculum_test

import (
	"fmt"

	"example.com/rung/curriculum"
)

// A curriculum can be built in Go as well as read from text; engine.Compile says what does not hold together.
func Example() {
	steady := curriculum.Window{K: 4, N: 5}
	house := &curriculum.Curriculum{Name: "kennel", Behaviours: []*curriculum.Behaviour{{
		Name: "settle",
		Steps: []*curriculum.Step{{
			Name: "mat", Prompts: []string{"lure"},
			Rules: []curriculum.Rule{{Word: curriculum.Advance, When: steady}},
		}},
	}}}
	settle := house.Behaviour("settle")
	rule := settle.Steps[settle.Step("mat")].Rules[0]
	fmt.Println(rule.Word, "when", curriculum.CriterionText(rule.When))
	// Output:
	// advance when 4 of last 5
}

func ExampleParseQuantity() {
	a, _ := curriculum.ParseQuantity("60 s")
	b, _ := curriculum.ParseQuantity("1 min")
	fmt.Println(a, "and", b, "are the same:", a.Base().Cmp(b.Base()) == 0)
	// Output:
	// 60 s and 1 min are the same: true
}

func ExampleNearest() {
	fmt.Println(curriculum.Nearest("pivot-lefft", []string{"pivot-left", "pivot-right", "settle"}))
	// Output:
	// pivot-left
}
