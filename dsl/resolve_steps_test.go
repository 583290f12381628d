package dsl_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
)

// steps is a behaviour's steps in short: name, pieces, prompts, levels, rules.
func steps(b *curriculum.Behaviour) string {
	var out strings.Builder
	for _, s := range b.Steps {
		fmt.Fprintf(&out, "%s %v %v", s.Name, s.Chain, s.Prompts)
		for _, l := range s.Levels {
			fmt.Fprintf(&out, " [%s]", l)
		}
		for _, r := range s.Rules {
			to := r.To
			if r.ToFirst {
				to += " first"
			}
			fmt.Fprintf(&out, "; %s %s %s", r.Word, to, curriculum.CriterionText(r.When))
		}
		out.WriteString("\n")
	}
	return out.String()
}

func TestChainsLaddersAndChangesBecomeSteps(t *testing.T) {
	const ladder = `
ladder up(pass, hint) {
  step a {
    prompt hint
    ramp pause 1 s, 2 s
    ramp noise low, high
    advance when pass of last 5
    advance when 5 in a row
    flag when after 60 trials
  }
  step z {
    advance when pass in a row
    ease to a first level when 2 misses in a row
  }
}
behaviour give {
  step s {
    advance when 3 in a row
  }
}
`
	for _, c := range []struct{ name, body, want string }{
		{
			"backward: the last piece first", "chain backward of pick, carry, give {\nprompt word\nadvance when 3 in a row\n}",
			"from-give [give] [word] []; advance  3 in a row\nfrom-carry [carry give] [word] []; advance  3 in a row\nfrom-pick [pick carry give] [word] []; advance  3 in a row\n",
		},
		{
			"forward: the first piece first", "chain forward of pick, carry, give",
			"to-pick [pick] [] []\nto-carry [pick carry] [] []\nto-give [pick carry give] [] []\n",
		},
		{
			"a prefix goes before the ladder's steps, also where its rules name them", "climb up(4, lure) as low\nstep m {\nease to low-a when 3 misses of last 5\n}",
			"low-a [] [lure] [pause 1 s, noise low] [pause 2 s, noise low] [pause 2 s, noise high]; advance  4 of last 5; advance  5 in a row; flag  after 60 trials\n" +
				"low-z [] [] []; advance  4 in a row; ease low-a first 2 misses in a row\nm [] [] []; ease low-a 3 misses of last 5\n",
		},
		{
			"a change replaces lines of its words where they stand and adds the rest", "climb up(4, lure)\nchange step a {\nramp pause 3 s, 4 s\nramp distance 1 m, 2 m\nadvance when 3 in a row\nprompt word, lure\n}",
			"a [] [word lure] [pause 3 s, noise low, distance 1 m] [pause 4 s, noise low, distance 1 m] [pause 4 s, noise high, distance 1 m] [pause 4 s, noise high, distance 2 m]; advance  3 in a row; flag  after 60 trials\n" +
				"z [] [] []; advance  4 in a row; ease a first 2 misses in a row\n",
		},
		{
			"a chain's step can be changed like any other", "chain forward of pick, carry {\nadvance when 3 in a row\n}\nchange step to-pick {\nadvance when 5 in a row\n}",
			"to-pick [pick] [] []; advance  5 in a row\nto-carry [pick carry] [] []; advance  3 in a row\n",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, ds := dsl.ReadString("x.rung", "rung 1"+ladder+"behaviour b {\n"+c.body+"\n}\n")
			require.Empty(t, ds, ds.Text())
			require.Equal(t, c.want, steps(got.Behaviour("b")))
		})
	}
}

func TestAPieceThatIsABehaviourIsADoor(t *testing.T) {
	text := "rung 1\nbehaviour give {\nstep s {\nadvance when 3 in a row\n}\n}\nbehaviour b {\n%schain backward of pick, give {\nadvance when 3 in a row\n}\n}\n"
	c, ds := dsl.ReadString("x.rung", fmt.Sprintf(text, ""))
	require.Empty(t, ds)
	require.Len(t, c.Behaviour("b").Needs, 1)
	require.Equal(t, "give", c.Behaviour("b").Needs[0].Other)
	require.Empty(t, c.Behaviour("b").Needs[0].Step)
	c, ds = dsl.ReadString("x.rung", fmt.Sprintf(text, "needs give at s\n"))
	require.Empty(t, ds)
	require.Len(t, c.Behaviour("b").Needs, 1, "a need that is stated stands")
	require.Equal(t, "s", c.Behaviour("b").Needs[0].Step)
}

func TestACourseAndAChoiceAreRead(t *testing.T) {
	c, ds := dsl.ReadString("a.rung", "rung 1\ncurriculum \"x\" {\n  course lasts 6 weeks, 3 sessions a week\n}\nbehaviour turn {\n  counts as safety\n  step which {\n    choice of left, right\n    advance when 9 of last 10\n  }\n}\n")
	require.Empty(t, ds.Text())
	require.Equal(t, curriculum.Course{Lasts: curriculum.Q(6, curriculum.Week), Sessions: 3, Per: curriculum.PerWeek, Pos: curriculum.Pos{File: "a.rung", Line: 3, Column: 3}}, c.Course)
	require.Equal(t, []string{"left", "right"}, c.Behaviours[0].Steps[0].Choice)
	require.Equal(t, []curriculum.Kind{curriculum.Safety}, c.Behaviours[0].Kinds)
	c, ds = dsl.ReadString("a.rung", "rung 1\ncurriculum \"x\" {\n  course lasts 10 days\n}\n")
	require.Empty(t, ds.Text())
	require.Zero(t, c.Course.Sessions)
}
