package proof_test

import (
	"fmt"

	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/proof"
)

func ExampleCheck() {
	house, err := dsl.ReadString("class.rung", `rung 1
behaviour settle "lies on the mat" {
  cue "mat"
  step go "elbows on the mat within 3 s" {
    advance when 4 of last 5
  }
}
behaviour read "nose on the street map" {
  cue "map"
  step go "nose touches it within 3 s" {
    advance when 4 of last 5
    flag when after 40 trials
  }
}
`)
	if err != nil {
		fmt.Println(err)
		return
	}
	program, refused := engine.Compile(house)
	if refused != nil {
		fmt.Println(refused)
		return
	}
	var o proof.Options
	if err := o.Set("one-way=error"); err != nil {
		fmt.Println(err)
	}
	for _, f := range proof.Check(program, o) {
		fmt.Printf("%d: %s %s: %s\n   %s\n", f.Pos.Line, f.Severity, f.Code, f.Text, f.Help)
	}
	// Output:
	// 4: error one-way: go has no ease, split or flag: a dog that fails there fails on, and nobody is told
	//    add: flag when after 40 trials
	// 9: warning cues-alike: "mat" (settle) and "map" (read) differ by one sound
	//    choose a word with another vowel and another beginning
}

func ExampleExplain() {
	e, _ := proof.Explain("big-jump")
	fmt.Println(e.Title)
	// Output: a level more than twice as hard as the one before
}
