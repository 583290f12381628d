package example_test

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/example"
	"example.com/rung/engine/internal/naive/cases"
)

const pair = `rung 1
criterion good = 4 of last 5
ladder up {
  step one {
    prompt word
    advance when good
    ease when 2 misses in a row
  }
}
behaviour spin {
  climb up
}
behaviour mat {
  climb up
}
`

func changes(d *example.Doubts) (out []string) {
	for _, c := range d.Unnoticed {
		out = append(out, fmt.Sprintf("%d %s -> %s [%s]", c.Line, c.Was, c.Now, c.Differs))
	}
	return out
}

func TestChangesThatNoExampleNotices(t *testing.T) {
	d := example.Doubt(read(t, pair+`
example "four of five" {
  case spin: + - + + + then is kept
  case spin: + - + + then at one
}
`), example.Options{}, nil)
	require.Equal(t, []string{
		"2 criterion good = 4 of last 5 -> criterion good = 4 of last 6 [+ + - + - +]",
		"2 criterion good = 4 of last 5 -> criterion good = 4 of each 5 [+ + + +]",
		"7 ease when 2 misses in a row ->  [- -]",
		"7 ease when 2 misses in a row -> ease when 3 misses in a row [- -]",
	}, changes(d))
	require.Equal(t, []int{9, 5, 0}, []int{d.Changes, d.Noticed, d.Same})
}

// One example on a behaviour that climbs the ladder is enough for the ladder's lines.
func TestWithAnExampleForEachNothingIsLeft(t *testing.T) {
	d := example.Doubt(read(t, pair+`
example "four of five" {
  case spin: + - + + + then is kept
  case spin: + - + + then at one
  case mat: + + + + then is kept
  case mat: + + - + - + then at one
}
example "two running" {
  spin: - -
  expect spin at one
  spin: + + +
  expect spin is working
  spin: - + - + + +
  expect spin is working
  spin: +
  expect spin is kept
}
example "the ease begins anew" {
  case spin: + + + - - + then at one
}
`), example.Options{}, nil)
	for _, c := range d.Unnoticed {
		require.NotContains(t, c.Was, "good", "%v", changes(d))
	}
}

func TestWhatMakesNoDifferenceIsNotHeldAgainstTheExamples(t *testing.T) {
	d := example.Doubt(read(t, `rung 1
behaviour spin {
  step one {
    prompt word
    advance when 1 of last 1
    flag when 3 in a row
  }
}
example "at once" {
  case spin: + then is kept
  case spin: - then at one
}
`), example.Options{}, nil)
	// the dog goes on at its first success, among however many, so a flag for three or two running never comes
	require.Empty(t, changes(d), "%+v", d)
	require.Positive(t, d.Same)
}

func TestTheChangesAreTheSameEveryTimeAndReadable(t *testing.T) {
	p := read(t, yard)
	first := example.Doubt(p, example.Options{}, nil)
	for range 3 {
		require.Equal(t, first, example.Doubt(p, example.Options{}, nil))
	}
	require.Equal(t, 0, first.Noticed, "there are no examples")
	for _, c := range first.Unnoticed {
		if c.Now == "" {
			continue
		}
		line := c.Now + "\n"
		text := "rung 1\n" + line
		if c.Behaviour != "" {
			text = "rung 1\nplace yard, lane\nbehaviour spin {\n  step one {\n    prompt word\n    advance when 3 in a row\n  }\n  step two {\n    prompt word\n    " + line + "  }\n}\n"
			if c.Step == "" {
				text = "rung 1\nbehaviour spin {\n  step two {\n    prompt word\n    advance when 3 in a row\n  }\n  " + line + "}\n"
			}
		}
		_, ds := dsl.ReadFS(fstest.MapFS{"a.rung": {Data: []byte(text)}}, "a.rung")
		require.Empty(t, ds, "%s\n%s", text, ds.Text())
	}
}

// An example that looks at no rule of a change cannot notice it, and of the others it is enough to have the behaviours that
// they are about: the answers are those of the plain way, which plays every example on the whole curriculum. On the school
// one change in nine is asked about, all of them with RUNG_LONG=1.
func TestDoubtIsWhatPlayingEverythingOnEverythingSays(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	every := 9
	if os.Getenv("RUNG_LONG") != "" {
		every = 1
	}
	house, err := dsl.ReadFile("../../examples/pindrift/house.rung")
	require.NoError(t, err)
	p, err := engine.Compile(house)
	require.NoError(t, err)
	quick := example.QuickDoubt(p, example.Options{}, every)
	require.Greater(t, len(quick), 500/every)
	require.Equal(t, example.PlainDoubt(p, example.Options{}, every), quick)
}

// The same of random examples of random curricula: several behaviours in one example, needs of every kind, plans, signs.
func TestDoubtIsWhatPlayingEverythingSaysOfRandomExamples(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	on := everyFeature()
	noticed, made := 0, 0
	for seed := range uint64(6) {
		c := *cases.Make(seed, on).Curriculum
		for nth := range uint64(20) {
			w := newWriter(100*seed+nth, &c)
			about := c.Behaviours
			if nth%3 > 0 { // one behaviour by itself
				about = []*curriculum.Behaviour{about[int(nth)%len(about)]}
				for range 6 {
					tr := w.trials(about[0])
					w.items = append(w.items, curriculum.ExampleItem{Trials: &tr})
				}
			} else {
				for range 12 {
					w.line()
				}
			}
			e := curriculum.Example{Name: fmt.Sprint(nth), Items: w.items}
			for _, b := range about {
				right, _ := w.expectations(b)
				for i := range right {
					e.Items = append(e.Items, curriculum.ExampleItem{Expect: &right[i]})
				}
			}
			c.Examples = append(c.Examples, e)
		}
		p, err := engine.Compile(&c)
		require.NoError(t, err)
		const every = 5
		quick := example.QuickDoubt(p, example.Options{}, every)
		require.Equal(t, example.PlainDoubt(p, example.Options{}, every), quick, "seed %d", seed)
		for _, text := range quick {
			made++
			if strings.Contains(text, "noticed true") {
				noticed++
			}
		}
	}
	t.Logf("%d of %d noticed", noticed, made)
	require.Greater(t, noticed, 20)
}
