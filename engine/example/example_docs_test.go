package example_test

import (
	"fmt"
	"testing"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/example"
)

// A program that embeds a curriculum runs its examples in a Go test of its own: each becomes a subtest, and what is
// said of one that fails names the line.
func testCurriculum(t *testing.T, file string) {
	c, findings := dsl.ReadFileDiagnostics(file)
	if len(findings) > 0 {
		t.Fatal(findings.Text())
	}
	p, err := engine.Compile(c)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range example.Run(p, example.Options{}).Cases {
		t.Run(e.Title(), func(t *testing.T) {
			for _, f := range e.Failures {
				t.Errorf("%s:%d: expected %s; %s", f.File, f.Line, f.Expected, f.Found)
			}
		})
	}
}

func TestTheSchoolsExamplesAsAProgramWouldRunThem(t *testing.T) {
	testCurriculum(t, "../../examples/pindrift/house.rung")
}

// A curriculum built in Go, with an example of its own: a puppy misses twice, and is not sent home.
func ExampleRun() {
	ofLast := func(k, n int, what curriculum.Counted) curriculum.Window {
		return curriculum.Window{K: k, N: n, Count: what}
	}
	mat := &curriculum.Behaviour{Name: "mat", Steps: []*curriculum.Step{{Name: "lie", Levels: curriculum.LayOut(nil, curriculum.Raise{}), Rules: []curriculum.Rule{
		{Word: curriculum.Advance, When: ofLast(4, 5, curriculum.Successes)},
		{Word: curriculum.StopToday, When: ofLast(3, 3, curriculum.Misses)},
	}}}}
	good, miss := curriculum.Mark{Outcome: curriculum.Success}, curriculum.Mark{Outcome: curriculum.Wrong}
	p, err := engine.Compile(&curriculum.Curriculum{Behaviours: []*curriculum.Behaviour{mat}, Examples: []curriculum.Example{{
		Name: "two misses do not end it",
		Items: []curriculum.ExampleItem{
			{Trials: &curriculum.ExampleTrials{Behaviour: "mat", Marks: []curriculum.Mark{good, miss, miss, good}}},
			{Expect: &curriculum.Expectation{Behaviour: "mat", Noted: "stop", Not: true}},
			{Expect: &curriculum.Expectation{Behaviour: "mat", State: curriculum.Kept}},
		},
	}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	r := example.Run(p, example.Options{})
	fmt.Printf("%d passed, %d failed\n", r.Passed, r.Failed)
	f := r.Cases[0].Failures[0]
	fmt.Printf("expected %s; %s\n", f.Expected, f.Found)
	fmt.Println(f.Parted.Text)
	for _, s := range example.Suggest(p, r.Rules.Unfired, false) {
		fmt.Print(s.Text)
	}
	// Output:
	// 0 passed, 1 failed
	// expected mat is kept; mat is working at lie
	// after trial 2 (-) it was out of reach: successes alone, from here to trial 4, would not have been enough
	// example "mat at lie goes on" {
	//   start mat at lie
	//   mat: + + + +
	//   expect mat is kept
	// }
	// example "mat at lie is enough for today" {
	//   start mat at lie
	//   mat: - - -
	//   expect mat notes stop
	// }
}
