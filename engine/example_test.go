package engine_test

import (
	"bytes"
	"errors"
	"fmt"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
	"example.com/rung/dsl"
	"example.com/rung/engine"
)

const settleText = `rung 1
place yard, kitchen
behaviour settle {
  step mat {
    prompt lure
    ramp duration 2 s, 5 s
    advance when 3 in a row
    ease when 2 misses in a row
  }
  step word {
    prompt word
    advance when 4 of last 5
  }
}
`

// settling is a program of one behaviour, and the moment the examples begin.
func settling() (*engine.Program, time.Time) {
	house, found := dsl.ReadString("settle.rung", settleText)
	if found.Err() != nil {
		panic(found.Text())
	}
	program, err := engine.Compile(house)
	if err != nil {
		panic(err)
	}
	return program, time.Date(2026, 5, 4, 9, 0, 0, 0, time.UTC)
}

// Trials are recorded as they happen. What one of them changed is the difference between two standings: also in other
// behaviours, as a session may end and doors may open.
func ExampleFold_Record() {
	program, at := settling()
	fold := program.NewFold()
	before := fold.Standing(at)
	for _, o := range []curriculum.Outcome{curriculum.Success, curriculum.Success, curriculum.Success, curriculum.Wrong, curriculum.Wrong} {
		at = at.Add(15 * time.Second)
		if err := fold.Record(&curriculum.Trial{Dog: "okapi", Behaviour: "settle", At: at, Place: "yard", Outcome: o}); err != nil {
			fmt.Println(err)
			return
		}
		now := fold.Standing(at)
		changes, err := program.Since(before, now)
		if err != nil {
			fmt.Println(err)
			return
		}
		for _, d := range changes.Dogs {
			for _, b := range d.Behaviours {
				for _, m := range b.Moves {
					fmt.Printf("%s, %s: %s from %v to %v, because %s\n", d.Dog, b.Behaviour, m.Now.Rule, m.Now.From, m.Now.To, m.Now.Because)
				}
			}
		}
		before = now
	}
	// Output:
	// okapi, settle: advance from {mat map[duration:2 s] false} to {mat map[duration:5 s] false}, because 3 in a row
	// okapi, settle: ease from {mat map[duration:5 s] false} to {mat map[duration:2 s] false}, because 2 misses in a row
}

// A line that cannot be used is an error that says what to do; one that is strange is taken and reported.
func ExampleFold_Reports() {
	program, at := settling()
	fold := program.NewFold()
	err := fold.Record(&curriculum.Trial{Dog: "okapi", Behaviour: "setle", At: at, Outcome: curriculum.Success})
	var line *engine.LineError
	if errors.As(err, &line) {
		fmt.Println(line.Code+":", line.Text)
	}
	err = fold.Record(&curriculum.Trial{Dog: "okapi", Behaviour: "settle", At: at, Place: "kichen", Outcome: curriculum.Success})
	fmt.Println(err)
	for _, r := range fold.Reports() {
		if !r.Unusable {
			fmt.Println(r.Code+":", r.Text)
		}
	}
	err = fold.Record(&curriculum.Trial{Dog: "okapi", Behaviour: "settle", At: at.Add(-time.Hour), Outcome: curriculum.Success})
	fmt.Println(errors.Is(err, engine.ErrEarlier))
	// Output:
	// unknown-behaviour: no behaviour is called "setle" (did you mean "settle"?)
	// <nil>
	// undeclared-place: the curriculum declares no place "kichen" (did you mean "kitchen"?)
	// true
}

// Why says how far each rule is from holding, in words and as data.
func ExampleFold_Why() {
	program, at := settling()
	fold := program.NewFold()
	if err := fold.Record(&curriculum.Trial{Dog: "okapi", Behaviour: "settle", At: at, Outcome: curriculum.Success}); err != nil {
		fmt.Println(err)
		return
	}
	why, err := fold.Why("okapi", "settle", at)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range why.Rules {
		fmt.Printf("%s when %s: %s\n", r.Rule, r.Criterion, r.Next.Sentence)
	}
	// Output:
	// advance when 3 in a row: two more in a row and it moves on to duration 5 s
	// ease when 2 misses in a row: two more misses in a row and it stays at this level and counts anew
}

// A standing is carried to another process; the log is not needed for it, the dogs' profiles are.
func ExampleProgram_Resume() {
	program, at := settling()
	dog := curriculum.Dog{Name: "okapi", WeightKg: 11}
	fold := program.NewFold(dog)
	trial := curriculum.Trial{Dog: "okapi", Behaviour: "settle", At: at, Outcome: curriculum.Success}
	for range 2 {
		if err := fold.Record(&trial); err != nil {
			fmt.Println(err)
			return
		}
	}
	var saved bytes.Buffer
	if err := fold.Save(&saved); err != nil {
		fmt.Println(err)
		return
	}
	again, err := program.Resume(&saved, dog)
	if err != nil {
		fmt.Println(err) // errors.Is(err, engine.ErrOtherCurriculum): replay the log
		return
	}
	if err := again.Record(&trial); err != nil {
		fmt.Println(err)
		return
	}
	s, _ := again.Of("okapi", "settle", at)
	fmt.Println(s.Step, s.Level["duration"])
	// Output: mat 5 s
}

// loud prints each rule that fires. A rule bears its place in the curriculum.
type loud struct{ program *engine.Program }

func (loud) Looked(engine.RuleAt, []bool) {}

func (l loud) Fired(at engine.RuleAt) {
	b := l.program.Curriculum().Behaviours[at.Behaviour]
	fmt.Printf("%s, %s: %s\n", b.Name, b.Steps[at.Step].Name, b.Steps[at.Step].Rules[at.Rule].Word)
}

// A watcher sees the rules at work: which are asked, and which fire.
func ExampleFold_Watch() {
	program, at := settling()
	fold := program.NewFold()
	fold.Watch(loud{program})
	for i := range 3 {
		if err := fold.Record(&curriculum.Trial{Dog: "okapi", Behaviour: "settle", At: at.Add(time.Duration(i) * time.Second), Outcome: curriculum.Success}); err != nil {
			fmt.Println(err)
			return
		}
	}
	// Output: settle, mat: advance
}

// A function of the program around it stands open to conditions in braces: the reader checks how it is called, the engine
// calls it.
func ExampleWithFunctions() {
	quiet := expression.Function{Name: "quiet", Params: []expression.Type{expression.Text}, Returns: expression.Bool,
		Call: func(args []expression.Value) expression.Value {
			return expression.Value{Bool: args[0].Text == "kitchen"}
		}}
	house, found := dsl.ReadString("settle.rung", `rung 1
place yard, kitchen
behaviour settle {
  step mat {
    prompt lure
    advance when 2 in a row among { quiet(place) }
  }
}
`, dsl.Functions(quiet))
	if found.Err() != nil {
		fmt.Println(found.Text())
		return
	}
	program, err := engine.Compile(house, engine.WithFunctions(quiet))
	if err != nil {
		fmt.Println(err)
		return
	}
	fold := program.NewFold()
	for i, place := range []string{"kitchen", "yard", "kitchen"} {
		at := time.Date(2026, 5, 4, 9, 0, i, 0, time.UTC)
		if err := fold.Record(&curriculum.Trial{Dog: "okapi", Behaviour: "settle", At: at, Place: place, Outcome: curriculum.Success}); err != nil {
			fmt.Println(err)
			return
		}
		s, _ := fold.Of("okapi", "settle", at)
		fmt.Println(place, s.State)
	}
	// Output:
	// kitchen working
	// yard working
	// kitchen kept
}

// The reviews that fall due, for any calendar program.
func ExampleFold_Calendar() {
	house, found := dsl.ReadString("settle.rung", settleText[:len(settleText)-2]+"  review after 1 day, 3 days, 1 week\n}\n")
	if found.Err() != nil {
		fmt.Println(found.Text())
		return
	}
	program, err := engine.Compile(house)
	if err != nil {
		fmt.Println(err)
		return
	}
	at := time.Date(2026, 5, 4, 9, 0, 0, 0, time.UTC)
	fold := program.NewFold()
	if err := fold.Note(&curriculum.Event{Dog: "okapi", Behaviour: "settle", At: at, Kind: curriculum.HandMove, Kept: true, By: "Halla"}); err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range fold.Calendar(at).Entries {
		fmt.Println(e.Day.Format(time.DateOnly), e.Title)
	}
	// Output:
	// 2026-05-05 okapi: review of settle
}
