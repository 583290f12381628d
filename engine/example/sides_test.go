package example_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/example"
	"example.com/rung/engine/internal/naive/cases"
)

func sidesOf(list []example.Side) (out []string) {
	for _, s := range list {
		out = append(out, fmt.Sprintf("%d %s %s%s: %s %s", s.Line, s.Behaviour, s.Rule, map[bool]string{true: " " + s.Criterion}[s.Criterion != ""], s.Part, s.Never))
	}
	return out
}

// What is written in one place is shown by one example, whichever rule it is that uses it.
func TestWhatIsWrittenOnceIsShownOnce(t *testing.T) {
	const text = `rung 1
criterion weary = 3 silent in a row or 2 opt-outs in this session
ladder up(n) {
  step one {
    prompt word
    advance when n in a row or 4 of last 5
    stop today when weary
  }
}
behaviour spin {
  climb up(3)
}
behaviour mat {
  climb up(2)
}
behaviour perch {
  step one {
    prompt word
    advance when 3 in a row
    stop today when weary or 4 misses in a row
  }
}
`
	const tired = "example \"tired\" {\n  spin: 0 0 0\n  expect spin notes stop\n}\n"
	const gone = "example \"gone\" {\n  perch: o! o!\n  expect perch notes stop\n}\n"
	const on = "example \"on\" {\n  mat: + +\n  expect mat is kept\n}\n"
	sides := func(examples string) example.Rules {
		return example.Run(read(t, text+examples), example.Options{}).Rules
	}

	require.Equal(t, []string{"2 spin stop weary: 2 opt-outs in this session held"}, sidesOf(sides(tired).Sides))
	require.Equal(t, []string{"2 perch stop weary: 3 silent in a row held", "20 perch stop: 4 misses in a row held"}, sidesOf(sides(gone).Sides),
		"of the name as a whole both sides were seen; what stands beside it is the rule's own")
	require.Equal(t, []string{"20 perch stop: 4 misses in a row held"}, sidesOf(sides(tired+gone).Sides))
	require.Equal(t, []string{"6 mat advance: 4 of last 5 held"}, sidesOf(sides(on).Sides), "with 2 in a row it cannot be; with 3 it can")
	require.Empty(t, sides(on).Impossible)

	// and one suggestion is enough, at a rule where there is one
	p := read(t, text+on)
	got := example.SuggestSides(p, example.Run(p, example.Options{}).Rules.Sides)
	require.Len(t, got, 1)
	require.Equal(t, "example \"spin at one: 4 of last 5\" {\n  start spin at one\n  spin: + + - + +\n  expect spin is kept\n}\n", got[0].Text)
	require.Equal(t, "spin", got[0].Behaviour)
	require.Empty(t, sides(on+got[0].Text).Sides)
}

// One history often shows several sides.
func TestOneSuggestionIsEnoughForWhatItShowsBesides(t *testing.T) {
	const text = `rung 1
behaviour spin {
  step one {
    prompt word
    advance when 2 in a row
  }
  lapse when 2 misses in a row or 2 opt-outs in this session
}
`
	missing := func(examples string) []example.Side {
		return example.Run(read(t, text+examples), example.Options{}).Rules.Sides
	}
	const lapses = "example \"lapses\" {\n  start spin kept\n  spin: o! o!\n  expect spin is lapsed\n}\n"
	require.Equal(t, []string{"7 spin lapse: 2 misses in a row held"}, sidesOf(missing(lapses)))
	const onlyHeld = "example \"lapses\" {\n  start spin kept\n  spin: - -\n  expect spin is lapsed\n}\n"
	require.Equal(t, []string{"7 spin lapse: 2 opt-outs in this session held"}, sidesOf(missing(onlyHeld)))
	const one = `rung 1
behaviour spin {
  step one {
    prompt word
    advance when 2 in a row
  }
  lapse when 1 miss of last 1 or 1 opt-out in this session
}
`
	p := read(t, one+"example \"lapses\" {\n  start spin kept\n  spin: -\n  expect spin is lapsed\n}\n")
	sides := example.Run(p, example.Options{}).Rules.Sides
	require.Equal(t, []string{"7 spin lapse: 1 miss of last 1 or 1 opt-out in this session failed", "7 spin lapse: 1 miss of last 1 failed", "7 spin lapse: 1 opt-out in this session held"}, sidesOf(sides))
	require.Len(t, example.SuggestSides(p, sides), 2, "a good trial shows the first two")
}

func TestSidesThatNoHistoryShowsAreNotMissing(t *testing.T) {
	for name, c := range map[string]struct {
		rules, marks        string
		missing, impossible []string
	}{
		"another rule always moves the dog before": {"advance when 3 in a row or 6 in a row\n    ease when 3 misses in a row", "+ + +",
			nil, []string{"6 spin advance: 6 in a row held"}},
		"one part holds whenever the other does": {"advance when 3 in a row\n    ease when 2 misses in a row and 1 miss of last 1", "- -",
			[]string{"7 spin ease: 1 miss of last 1 failed"}, nil},
		"it always holds, but for a dog that leaves at its first trial": {"advance when 2 in a row\n    flag when 1 of last 1 or 1 miss of last 1", "+",
			[]string{"7 spin flag: 1 of last 1 or 1 miss of last 1 failed", "7 spin flag: 1 of last 1 failed", "7 spin flag: 1 miss of last 1 held"}, nil},
		"a stop counts what the session had at other levels": {"advance when 2 in a row\n    stop today when 3 misses in a row or (2 misses in a row and not after 1 trial)", "- - -",
			[]string{"7 spin stop: 2 misses in a row and not after 1 trial held", "7 spin stop: not after 1 trial held", "7 spin stop: after 1 trial failed"}, nil},
		"how often it eased is from before": {"advance when 3 in a row\n    ease when 2 misses in a row\n    flag when eased 3 times or 2 opt-outs in this session", "o! o!",
			[]string{"8 spin flag: eased 3 times held"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			r := example.Run(read(t, "rung 1\nbehaviour spin {\n  step one {\n    prompt word\n    ramp turn 30 deg, 60 deg\n    "+c.rules+"\n  }\n}\nexample \"all there is\" {\n  spin: "+c.marks+"\n}\n"), example.Options{})
			require.Equal(t, c.missing, sidesOf(r.Rules.Sides))
			require.Equal(t, c.impossible, sidesOf(r.Rules.Impossible))
		})
	}
}

// What is said to be impossible is never seen, whatever random histories do: here those of the examples of random
// curricula, whose rules all fire in one or the other.
func TestWhatIsSaidToBeImpossibleIsNeverSeen(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	on := everyFeature()
	claimed, asked := 0, 0
	for seed := range uint64(16) {
		c := cases.Make(seed, on).Curriculum
		p, err := engine.Compile(c)
		require.NoError(t, err)
		seen := map[engine.RuleAt][][2]bool{}
		for nth := range uint64(25) {
			w := newWriter(1000*seed+nth, c)
			for range 20 {
				w.line()
			}
			example.Watching(p, curriculum.Example{Items: w.items}, seen)
		}
		for at, parts := range seen {
			for of, got := range parts {
				for i, side := range []string{example.Held, example.Failed} {
					asked++
					if !example.Never(p, at, of, side) {
						continue
					}
					claimed++
					require.False(t, got[i], "seed %d: %v, part %d: %s %s\n%v", seed, at, of, curriculum.CriterionText(p.Parts(at)[of]), side, cases.Make(seed, on))
				}
			}
		}
	}
	t.Logf("%d of %d sides are impossible", claimed, asked)
	require.Greater(t, claimed, 10)
}

// The parts of a criterion are those that the engine tells of, in its order.
func TestPartsAreThoseThatTheEngineLists(t *testing.T) {
	on := everyFeature()
	for seed := range uint64(300) {
		p, err := engine.Compile(cases.Make(seed, on).Curriculum)
		require.NoError(t, err)
		example.EachRule(p, func(at engine.RuleAt, texts []string) {
			var want []string
			for _, part := range p.Parts(at) {
				want = append(want, curriculum.CriterionText(part))
			}
			require.Equal(t, want, texts, "seed %d, %v", seed, at)
		})
	}
}
