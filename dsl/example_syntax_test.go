package dsl_test

import (
	"fmt"

	"example.com/rung/dsl"
)

// All faults of a text are reported in one run, one report for each.
func ExampleParse() {
	_, findings := dsl.Parse("yard.rung", []byte(`rung 1
criterion steady = 4 out of 5
behaviour settle {
  step mat {
    advance if steady
  }
}
`))
	fmt.Print(findings.Text())
	// Output:
	// yard.rung:2:22: error R0306: a count of trials is written without out
	//     2 | criterion steady = 4 out of 5
	//       |                      ^^^
	//       = write 4 of last 5
	// yard.rung:5:13: error R0307: a rule has when, not if
	//     5 |     advance if steady
	//       |             ^^
}

func ExampleTidy() {
	out, err := dsl.Tidy("yard.rung", []byte(`rung 1
marker nice      keeps
marker all-done  releases
behaviour settle{
step mat{
advance when 4 of 5   within 2s # on the mat
}}
`))
	fmt.Print(string(out), err)
	// Output:
	// rung 1
	// marker nice     keeps
	// marker all-done releases
	// behaviour settle {
	//   step mat {
	//     advance when 4 of last 5 within 2 s # on the mat
	//   }
	// }
	// <nil>
}

func ExampleExplain() {
	page, _ := dsl.Explain("R0309")
	fmt.Println(page.Title)
	fmt.Println(page.Means)
	// Output:
	// today is missing
	// The rule that ends a behaviour for the session reads stop today.
}

func ExampleDiagnostic_Editor() {
	_, findings := dsl.Parse("yard.rung", []byte("rung 1\nplace room_a\n"))
	d := findings[0].Editor()
	fmt.Println(d.Range.Start, d.Range.End, d.Code, d.Edits[0].NewText)
	// Output: {1 6} {1 12} R0106 room-a
}
