package example_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/example"
	"example.com/rung/engine/internal/naive/cases"
)

// fires checks that a suggested example, put into the curriculum, passes and fires its rule.
func fires(t *testing.T, c *curriculum.Curriculum, s example.Suggestion, rule example.Unfired, why ...any) {
	t.Helper()
	with := *c
	with.Examples = []curriculum.Example{s.Example}
	p, err := engine.Compile(&with)
	require.NoError(t, err)
	r := example.Run(p, example.Options{})
	require.Equal(t, []int{1, 0}, []int{r.Passed, r.Failed}, "%s\n%v %v", s.Text, r.Cases, why)
	require.Equal(t, s.Trials, r.Cases[0].Trials)
	for _, u := range r.Rules.Unfired {
		same := u
		same.Looked, same.Elsewhere = rule.Looked, rule.Elsewhere
		require.NotEqual(t, rule, same, "%s\n%v", s.Text, why)
	}
}

func TestSuggestedExamplesPassAndFireTheirRules(t *testing.T) {
	p := read(t, yard)
	unfired := example.Run(p, example.Options{}).Rules.Unfired
	require.Len(t, unfired, 11)
	got := example.Suggest(p, unfired, false)
	require.Len(t, got, 11)
	var text strings.Builder
	for i, s := range got {
		require.Empty(t, s.None, "%s %s", s.Step, s.Rule)
		fires(t, p.Curriculum(), s, unfired[i])
		text.WriteString(s.Text)
	}
	require.Equal(t, `example "spin at one goes on" {
  start spin at one
  spin: + + + +
  expect spin at one turn 60 deg
}
`, got[0].Text)
	require.Equal(t, `example "spin at one gets a level half-way" {
  start spin at one turn 60 deg
  spin: - - - + + + + - - - + + + +
  expect spin at one turn 45 deg
}
`, got[2].Text)
	// pasted, they are read, laid out as tidy does, pass, and no rule is left
	tidied, err := dsl.Tidy("yard.rung", []byte(yard+text.String()))
	require.NoError(t, err)
	require.Contains(t, string(tidied), text.String())
	r := example.Run(read(t, yard+text.String()), example.Options{})
	require.Equal(t, []int{11, 0, 11, 0}, []int{r.Passed, r.Failed, r.Rules.Fired, len(r.Rules.Unfired)})
}

func TestSuggestedExamplesShowTheSidesThatNoneShowed(t *testing.T) {
	const text = `rung 1
behaviour spin {
  step one {
    prompt word
    ramp turn 30 deg, 60 deg
    advance when (4 of last 5 and not 2 opt-outs in this session) or 6 in a row
    ease when 2 misses in a row
    stop today when 3 silent in a row or 3 opt-outs in this session
    flag when after 9 trials at this step or after 4 sessions
  }
}

example "on, back, enough and seen" {
  start spin at one
  spin: + + + + - - o! o! o! + - +
  expect spin notes stop
}
`
	p := read(t, text)
	rules := example.Run(p, example.Options{}).Rules
	require.Equal(t, 4, rules.Fired)
	var sides []string
	for _, s := range rules.Sides {
		sides = append(sides, s.Part+" "+s.Never)
	}
	require.Equal(t, []string{"6 in a row held", "3 silent in a row held", "after 4 sessions held"}, sides)
	got := example.SuggestSides(p, rules.Sides)
	require.Len(t, got, 3)
	require.Equal(t, `example "spin at one: 6 in a row" {
  start spin at one
  spin: + + + o! o! + + +
  expect spin at one turn 60 deg
}
`, got[0].Text)
	require.Equal(t, `example "spin at one: 3 silent in a row" {
  start spin at one
  spin: 0 0 0
  expect spin notes stop
}
`, got[1].Text)
	require.Equal(t, `example "spin at one: after 4 sessions" {
  start spin at one
  spin: + | + | + | - | +
  expect spin notes flag
}
`, got[2].Text)
	r := example.Run(read(t, text+got[0].Text+got[1].Text+got[2].Text), example.Options{})
	require.Zero(t, r.Failed)
	require.Empty(t, r.Rules.Sides)
}

// At one level the ease comes first, and the dog cannot come back that day; between two pieces that a split put in it can
// leave twice.
func TestSomeRulesFireOnlyAmongThePiecesOfASplit(t *testing.T) {
	p := read(t, `rung 1
behaviour chin {
  step near {
    advance when 2 in a row
  }
  step touched {
    advance when 3 in a row in 2 days
    ease when 1 opt-out in this session
    split into "beside", "above" when eased twice
    stop today when 2 opt-outs in this session
  }
  step held {
    advance when 5 of last 6
    ease when 2 misses of last 4
    split into "one hand", "two hands" when eased twice
    flag when after 30 trials at this step
  }
}
`)
	unfired := example.Run(p, example.Options{}).Rules.Unfired
	got := example.Suggest(p, unfired, false)
	require.Len(t, got, 9)
	for i, s := range got {
		require.Empty(t, s.None, "%s %s", s.Step, s.Rule)
		fires(t, p.Curriculum(), s, unfired[i])
	}
	require.Equal(t, `example "chin at touched is enough for today" {
  start chin at touched
  chin: o! + + o! + + + + + || + + + o! o!
  expect chin notes stop
}
`, got[4].Text)
}

func TestWhatNothingFiresIsSaid(t *testing.T) {
	p := read(t, `rung 1
behaviour spin {
  step one {
    prompt word
    advance when 5 of last 6
    ease when 2 misses of last 4
    flag when after 40 trials
    stop today when 3 misses in a row and not 1 misses of last 3
  }
}
`)
	got := example.Suggest(p, example.Run(p, example.Options{}).Rules.Unfired, false)
	require.Len(t, got, 4)
	require.Equal(t, "no history at one level fires it: another rule always moves the dog before, or it contradicts itself", got[2].None)
	require.Equal(t, "no history was found that fires it", got[3].None)
	require.Empty(t, got[2].Text)
}

func TestALadderLineGetsOneSuggestion(t *testing.T) {
	p := read(t, `rung 1
ladder up {
  step one {
    prompt word
    advance when 2 in a row
  }
}
behaviour spin {
  climb up
}
behaviour mat {
  climb up
}
`)
	unfired := example.Run(p, example.Options{}).Rules.Unfired
	require.Len(t, unfired, 2)
	require.Len(t, example.Suggest(p, unfired, false), 1)
	require.Len(t, example.Suggest(p, unfired, true), 2)
}

func TestSuggestionsForRandomCurriculaPassAndFireTheirRules(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	on := everyFeature()
	found, none := 0, map[string]int{}
	for seed := range uint64(2) {
		c := cases.Make(seed, on).Curriculum
		p, err := engine.Compile(c)
		require.NoError(t, err)
		unfired := example.Run(p, example.Options{}).Rules.Unfired
		for i, s := range example.Suggest(p, unfired, true) {
			if s.Text == "" {
				none[s.None]++
				continue
			}
			found++
			fires(t, c, s, unfired[i], cases.Make(seed, on))
		}
	}
	t.Logf("%d found, %v", found, none)
	require.Greater(t, found, 4*(none["no history was found that fires it"]))
}
