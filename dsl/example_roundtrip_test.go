package dsl_test

import (
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
)

// exampleHouse is what random examples name.
const exampleHouse = `rung 1
place yard, lane
handler senior, owner
sign limp, growl locks everything
measure turn in deg
food cheese 4 kcal, contains dairy
behaviour spin {
  cue "go", hand "wave"
  step one {
    prompt word
    ramp turn 30 deg, 60 deg grain 5 deg
    advance when 3 in a row
    split when eased twice
  }
  step two {
    prompt word
    thin variable ratio 1.5, 2
    split into "one paw" when 3 misses in a row
  }
}
behaviour mat {
  step lie {
    prompt word
    ramp duration 2 s, 1 min
    ramp distraction none, toys
  }
}
`

func pick[T any](t *rapid.T, of ...T) T { return rapid.SampledFrom(of).Draw(t, "pick") }

func randomPlace(t *rapid.T) (b, s string, ref curriculum.LevelRef) {
	q := func(of string, n int64, u curriculum.Unit) curriculum.NamedValue {
		return curriculum.NamedValue{Of: of, LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(n, u)}}
	}
	named := func(of, name string) curriculum.NamedValue {
		return curriculum.NamedValue{Of: of, LevelValue: curriculum.LevelValue{Name: name}}
	}
	switch pick(t, 0, 1, 2, 3, 4, 5, 6) {
	case 0:
		return "spin", "one", nil
	case 1:
		return "spin", "one", curriculum.LevelRef{q("turn", pick[int64](t, 30, 45, 60), curriculum.Degree)}
	case 2:
		s := curriculum.Schedule{Kind: curriculum.VariableRatio, Value: curriculum.Q(2, curriculum.NoUnit)}
		return "spin", "two", curriculum.LevelRef{{Of: curriculum.ThinRamp, LevelValue: curriculum.LevelValue{Thin: &s}}}
	case 3:
		return "spin", "two", curriculum.LevelRef{named(curriculum.PieceRamp, "one paw")}
	case 4:
		return "mat", "lie", curriculum.LevelRef{q("duration", 1, curriculum.Minute), named("distraction", "toys")}
	case 5:
		return "mat", "", nil
	}
	return "spin", "", nil
}

func randomTrials(t *rapid.T) curriculum.ExampleTrials {
	var tr curriculum.ExampleTrials
	tr.Behaviour, tr.Step, tr.Level = randomPlace(t)
	for range rapid.IntRange(1, 5).Draw(t, "marks") {
		if pick(t, 0, 0, 0, 1) == 1 {
			tr.Marks = append(tr.Marks, curriculum.Mark{Bar: pick(t, curriculum.SessionBar, curriculum.DayBar)})
			continue
		}
		m := pick(t, curriculum.Mark{Outcome: curriculum.Success}, curriculum.Mark{Outcome: curriculum.Success, Help: curriculum.LateHelp},
			curriculum.Mark{Outcome: curriculum.Success, Help: curriculum.EarlyHelp}, curriculum.Mark{Outcome: curriculum.Wrong},
			curriculum.Mark{Outcome: curriculum.Silent}, curriculum.Mark{Outcome: curriculum.OptOut}, curriculum.Mark{Outcome: curriculum.Void})
		for _, name := range []string{"latency", "turn", "distance"} {
			if pick(t, false, false, true) {
				m.Measures = append(m.Measures, curriculum.MeasureValue{Name: name, Value: pick(t, 0, 1.5, 65)})
			}
		}
		m.Rewarded = pick(t, curriculum.NotSaid, curriculum.NotSaid, curriculum.Yes, curriculum.No)
		tr.Marks = append(tr.Marks, m)
	}
	return tr
}

func randomExpectation(t *rapid.T, b string) curriculum.Expectation {
	e := curriculum.Expectation{Behaviour: b}
	switch pick(t, 0, 1, 2) {
	case 0:
		e.Noted, e.Not = pick(t, "stop", "flag"), pick(t, true, false)
		return e
	case 1:
		for e.Step == "" || e.Behaviour != b {
			e.Behaviour, e.Step, e.Level = randomPlace(t)
		}
		return e
	}
	e.State = pick(t, curriculum.Working, curriculum.Kept, curriculum.Paused)
	return e
}

func randomExample(t *rapid.T) curriculum.Example {
	e := curriculum.Example{Name: pick(t, "two", `says "so" \ once`, "é")}
	if pick(t, true, false) {
		d := &curriculum.ExampleDog{Profile: pick(t, "", "okapi"), AgeMonths: pick(t, 0, 1, 14), WeightKg: pick(t, 0, 4.2), AdultWeightKg: pick(t, 0.0, 11),
			Neutered: pick(t, curriculum.NotSaid, curriculum.Yes, curriculum.No)}
		if d.AgeMonths == 0 {
			d.AgeDays = pick(t, 1, 70)
		}
		d.Avoid = pick(t, nil, []string{"dairy", "cheese"})
		d.Cues = pick(t, nil, []string{"hand"})
		e.Items = append(e.Items, curriculum.ExampleItem{Dog: d})
	}
	for range rapid.IntRange(0, 6).Draw(t, "lines") {
		var item curriculum.ExampleItem
		switch pick(t, 0, 1, 2, 3, 4, 5, 6, 7) {
		case 6:
			item.Sign = &curriculum.ExampleSign{Name: pick(t, "limp", "growl"), Behaviour: pick(t, "", "spin"), By: pick(t, "", "Dov")}
		case 7:
			item.Clear = &curriculum.ExampleSign{Name: pick(t, "limp", "growl"), Behaviour: pick(t, "", "spin"), By: pick(t, "Halla", `the "new" vet`)}
		case 0:
			b, s, ref := randomPlace(t)
			item.Start = &curriculum.ExampleStart{Behaviour: b, Step: s, Level: ref, Kept: s == ""}
		case 1:
			tr := randomTrials(t)
			item.Trials = &tr
		case 2:
			item.Session = &curriculum.ExampleSession{AfterDays: pick(t, 0, 1, 2), Place: pick(t, "", "yard"), Handler: pick(t, "", "owner")}
		case 3:
			item.Case = &curriculum.ExampleCase{ExampleTrials: randomTrials(t)}
			for range rapid.IntRange(1, 2).Draw(t, "then") {
				item.Case.Then = append(item.Case.Then, randomExpectation(t, item.Case.Behaviour))
			}
		case 4:
			x := randomExpectation(t, pick(t, "spin", "mat"))
			item.Expect = &x
		case 5:
			item.Expect = pick(t, &curriculum.Expectation{Plan: true, Behaviour: "spin"}, &curriculum.Expectation{Plan: true, LeftOut: true, Behaviour: "mat"},
				&curriculum.Expectation{Plan: true, LeftOut: true, Behaviour: "mat", Because: "not-due"})
		}
		e.Items = append(e.Items, item)
	}
	return e
}

// Whatever example a program builds, its text reads back as the same example, and is laid out as tidy does.
func TestTheTextOfAnExampleReadsBackAsTheExample(t *testing.T) {
	house, ds := dsl.ReadFS(fstest.MapFS{"a.rung": {Data: []byte(exampleHouse)}}, "a.rung")
	require.Empty(t, ds)
	rapid.Check(t, func(rt *rapid.T) {
		e := randomExample(rt)
		text := house.ExampleText(e)
		c, ds := dsl.ReadFS(fstest.MapFS{"a.rung": {Data: []byte(exampleHouse + text)}}, "a.rung")
		if len(ds) > 0 {
			rt.Fatalf("%s\n%s", text, ds.Text())
		}
		if diff := cmp.Diff([]curriculum.Example{e}, c.Examples, cmpopts.EquateEmpty(), cmpopts.IgnoreTypes(curriculum.Pos{})); diff != "" {
			rt.Fatalf("%s\n%s", text, diff)
		}
		tidied, err := dsl.Tidy("a.rung", []byte("rung 1\n"+text))
		if err != nil || string(tidied) != "rung 1\n"+text {
			rt.Fatal(fmt.Errorf("tidy: %w\n%s\n%s", err, text, tidied))
		}
	})
}
