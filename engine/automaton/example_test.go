package automaton_test

import (
	"fmt"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine/automaton"
)

// The rules of a level as a machine: its letters, its size, and the shortest history after which a rule moves the dog.
func ExampleBuild() {
	c, _ := dsl.ReadString("spin.rung", `rung 1
behaviour spin "turns once round" {
  step hand {
    prompt lure
    advance when 4 of last 5
    ease    when 2 silent in a row
  }
}`)
	m, err := automaton.Build(c, "spin", 0, 0, automaton.Options{})
	if err != nil {
		panic(err)
	}
	for _, l := range m.Letters() {
		fmt.Printf("%-2s %s\n", l.Mark, l.Text)
	}
	fmt.Println(m.Len(), "states, all of them known:", m.Complete())
	for i, r := range m.Rules() {
		h, _ := m.Shortest(func(_ automaton.At, st automaton.Step) bool { return int(st.Takes) == i })
		fmt.Println(r.Word, "after", strings.Join(m.Marks(h), " "))
	}
	// Output:
	// +  success
	// -  wrong or helped
	// 0  silent
	// e  early help or opt-out
	// 14 states, all of them known: true
	// advance after + + + +
	// ease after 0 0
}

// A criterion by itself, followed trial by trial.
func ExampleOf() {
	m, err := automaton.Of(curriculum.Window{K: 3, N: 3, InARow: true}, nil, automaton.Options{})
	if err != nil {
		panic(err)
	}
	good, _ := m.LetterOf(&automaton.Case{Kind: automaton.Success})
	bad, _ := m.LetterOf(&automaton.Case{Kind: automaton.Wrong})
	for _, st := range m.Run([]int{good, good, bad, good, good, good}) {
		fmt.Print(st.To == automaton.Ended, " ")
	}
	// Output: false false false false false true
}
