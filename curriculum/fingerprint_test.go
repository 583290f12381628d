package curriculum_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
)

// school is a small curriculum, made anew each time so that a test may change it.
func school() *curriculum.Curriculum {
	steady := curriculum.Window{K: 4, N: 5}
	ramp := curriculum.Ramp{
		Of: "duration", Measured: true, Grain: curriculum.Q(1, curriculum.Second),
		Values: []curriculum.LevelValue{{Quantity: curriculum.Q(30, curriculum.Second)}, {Quantity: curriculum.Q(1, curriculum.Minute)}},
	}
	stay := &curriculum.Step{
		Name: "stay", Prompts: []string{"word", "hand"}, Help: []string{"touch"}, Ramps: []curriculum.Ramp{ramp},
		Levels: curriculum.LayOut([]curriculum.Ramp{ramp}, curriculum.Raise{}),
		Rules: []curriculum.Rule{
			{Word: curriculum.Advance, When: curriculum.Named{Name: "steady", Is: steady}},
			{Word: curriculum.Ease, When: curriculum.Window{K: 3, N: 3, Count: curriculum.Misses, InARow: true}, To: "follow"},
		},
	}
	follow := &curriculum.Step{
		Name: "follow", Levels: []curriculum.Level{{}},
		Rules: []curriculum.Rule{{Word: curriculum.Advance, When: curriculum.And{All: []curriculum.Criterion{steady, curriculum.Holds{Expr: &curriculum.Expression{Text: "latency<2"}}}}}},
	}
	return &curriculum.Curriculum{
		Name: "A", Edition: "1", Measures: []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}, {Name: "height", Unit: curriculum.Centimetre}},
		Signs:    []curriculum.Sign{{Name: "limp"}, {Name: "growl"}},
		Criteria: []curriculum.NamedCriterion{{Name: "steady", Is: steady}},
		Behaviours: []*curriculum.Behaviour{
			{
				Name: "settle", Steps: []*curriculum.Step{follow, stay}, Formerly: []string{"mat"},
				Needs: []curriculum.Need{{Other: "sit", Step: "on", Level: curriculum.LevelRef{{Of: "duration", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(60, curriculum.Second)}}}}},
				Lapse: []curriculum.Rule{{Word: curriculum.Lapse, When: curriculum.Window{K: 2, N: 3, Count: curriculum.Misses}}},
			},
			{Name: "sit", Steps: []*curriculum.Step{{Name: "on", Ramps: []curriculum.Ramp{ramp}, Levels: curriculum.LayOut([]curriculum.Ramp{ramp}, curriculum.Raise{})}}},
		},
		Sessions: []*curriculum.Session{{MaxTrials: 20, Away: []curriculum.Away{{Days: 21, Levels: 1}}}},
	}
}

func TestFingerprintIsBlindToSpelling(t *testing.T) {
	want := school().Fingerprint()
	require.Len(t, want, 32)
	for name, change := range map[string]func(c *curriculum.Curriculum){
		"nothing":            func(*curriculum.Curriculum) {},
		"titles":             func(c *curriculum.Curriculum) { c.Name, c.Edition, c.For = "B", "2", "all" },
		"printed words":      func(c *curriculum.Curriculum) { c.Behaviours[0].Text, c.Behaviours[0].Sheet.Do = "x", "y" },
		"places in files":    func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[0].Rules[0].Pos.Line = 9 },
		"a criterion's name": func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Rules[0].When = curriculum.Window{K: 4, N: 5} },
		"a share for a count": func(c *curriculum.Curriculum) {
			s := curriculum.Percent(80)
			c.Behaviours[0].Steps[1].Rules[0].When = curriculum.Window{K: s.Of(5), N: 5, Share: s}
		},
		"in a row": func(c *curriculum.Curriculum) {
			c.Behaviours[0].Steps[1].Rules[1].When = curriculum.Window{K: 3, N: 3, Count: curriculum.Misses}
		},
		"seconds for minutes": func(c *curriculum.Curriculum) {
			c.Behaviours[0].Steps[1].Levels[1].Values[0].Quantity = curriculum.Q(60, curriculum.Second)
		},
		"order of behaviours":         func(c *curriculum.Curriculum) { c.Behaviours[0], c.Behaviours[1] = c.Behaviours[1], c.Behaviours[0] },
		"order of measures":           func(c *curriculum.Curriculum) { c.Measures[0], c.Measures[1] = c.Measures[1], c.Measures[0] },
		"order of signs":              func(c *curriculum.Curriculum) { c.Signs[0], c.Signs[1] = c.Signs[1], c.Signs[0] },
		"order of prompts":            func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Prompts = []string{"hand", "word"} },
		"order of rules of two words": func(c *curriculum.Curriculum) { r := c.Behaviours[0].Steps[1].Rules; r[0], r[1] = r[1], r[0] },
		"spaces in an expression": func(c *curriculum.Curriculum) {
			c.Behaviours[0].Steps[0].Rules[0].When.(curriculum.And).All[1].(curriculum.Holds).Expr.Text = " latency  < 2 "
		},
		"brackets round an and": func(c *curriculum.Curriculum) {
			r := &c.Behaviours[0].Steps[0].Rules[0]
			r.When = curriculum.And{All: []curriculum.Criterion{r.When}}
		},
		"help, rewards and caps": func(c *curriculum.Curriculum) {
			s := c.Behaviours[0].Steps[0]
			s.Help, s.Reward = []string{"lure"}, &curriculum.Schedule{Kind: curriculum.EverySuccess}
			s.Caps = []curriculum.Cap{{N: 3}}
		},
		"the block of days away":      func(c *curriculum.Curriculum) { c.Sessions[0].Name = "short" },
		"limits of the session":       func(c *curriculum.Curriculum) { c.Sessions[0].MaxTrials = 3 },
		"a lapse to the last step":    func(c *curriculum.Curriculum) { c.Behaviours[0].Lapse[0].To = "stay" },
		"first level of a single one": func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Rules[1].ToFirst = true },
		"another spelling of the level": func(c *curriculum.Curriculum) {
			c.Behaviours[0].Needs[0].Level[0].Quantity = curriculum.Q(1, curriculum.Minute)
		},
		"levels left to be laid out": func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Levels = nil },
	} {
		t.Run(name, func(t *testing.T) {
			c := school()
			change(c)
			require.Equal(t, want, c.Fingerprint())
		})
	}
}

func TestFingerprintTellsMeaningsApart(t *testing.T) {
	seen := map[string]string{school().Fingerprint(): "as it was"}
	for _, x := range []struct {
		name   string
		change func(c *curriculum.Curriculum)
	}{
		{"a behaviour's name", func(c *curriculum.Curriculum) { c.Behaviours[0].Name = "rest" }},
		{"a former name", func(c *curriculum.Curriculum) { c.Behaviours[0].Formerly = nil }},
		{"a step's name", func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Name = "wait" }},
		{"a step's former name", func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Formerly = []string{"wait"} }},
		{"a step less", func(c *curriculum.Curriculum) { c.Behaviours[0].Steps = c.Behaviours[0].Steps[:1] }},
		{"order of steps", func(c *curriculum.Curriculum) { s := c.Behaviours[0].Steps; s[0], s[1] = s[1], s[0] }},
		{"a level", func(c *curriculum.Curriculum) {
			c.Behaviours[0].Steps[1].Levels[1].Values[0].Quantity = curriculum.Q(61, curriculum.Second)
		}},
		{"a level's thing", func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Levels[1].Values[0].Of = "pause" }},
		{"a grain", func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Ramps[0].Grain = curriculum.Quantity{} }},
		{"a ramp that is measured", func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Ramps[0].Measured = false }},
		{"a prompt", func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Prompts = []string{"word"} }},
		{"k", func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Rules[0].When = curriculum.Window{K: 5, N: 5} }},
		{"n", func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Rules[0].When = curriculum.Window{K: 4, N: 6} }},
		{"blocks", func(c *curriculum.Curriculum) {
			c.Behaviours[0].Steps[1].Rules[0].When = curriculum.Window{K: 4, N: 5, Each: true}
		}},
		{"at most", func(c *curriculum.Curriculum) {
			c.Behaviours[0].Steps[1].Rules[0].When = curriculum.Window{K: 4, N: 5, AtMost: true}
		}},
		{"what is counted", func(c *curriculum.Curriculum) {
			c.Behaviours[0].Steps[1].Rules[0].When = curriculum.Window{K: 4, N: 5, Count: curriculum.Silents}
		}},
		{"a qualifier", func(c *curriculum.Curriculum) {
			c.Behaviours[0].Steps[1].Rules[0].When = curriculum.Window{K: 4, N: 5, Qualify: curriculum.Qualifiers{EvenHelped: true}}
		}},
		{"another qualifier", func(c *curriculum.Curriculum) {
			two := curriculum.Q(2, curriculum.Second)
			c.Behaviours[0].Steps[1].Rules[0].When = curriculum.Window{K: 4, N: 5, Qualify: curriculum.Qualifiers{Within: &two}}
		}},
		{"its neighbour", func(c *curriculum.Curriculum) {
			two := curriculum.Q(2, curriculum.Second)
			c.Behaviours[0].Steps[1].Rules[0].When = curriculum.Window{K: 4, N: 5, Qualify: curriculum.Qualifiers{Holding: &two}}
		}},
		{"or for and", func(c *curriculum.Curriculum) {
			r := &c.Behaviours[0].Steps[0].Rules[0]
			r.When = curriculum.Or{Any: r.When.(curriculum.And).All}
		}},
		{"an expression", func(c *curriculum.Curriculum) {
			c.Behaviours[0].Steps[0].Rules[0].When.(curriculum.And).All[1].(curriculum.Holds).Expr.Text = "latency<=2"
		}},
		{"where an ease goes", func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Rules[1].To = "" }},
		{"a rule's word", func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Rules[1].Word = curriculum.Flag }},
		{"when to decide", func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Decide.EveryTrials = 5 }},
		{"deciding each session", func(c *curriculum.Curriculum) { c.Behaviours[0].Steps[1].Decide.EachSession = true }},
		{"a need's level", func(c *curriculum.Curriculum) { c.Behaviours[0].Needs[0].Level = nil }},
		{"a need kept", func(c *curriculum.Curriculum) {
			c.Behaviours[0].Needs[0].Step, c.Behaviours[0].Needs[0].Level = "", nil
		}},
		{"a firm need", func(c *curriculum.Curriculum) { c.Behaviours[0].Needs[0].Firmly = true }},
		{"a lapse", func(c *curriculum.Curriculum) { c.Behaviours[0].Lapse = nil }},
		{"reviews", func(c *curriculum.Curriculum) {
			c.Behaviours[0].Review = []curriculum.Quantity{curriculum.Q(1, curriculum.Day), curriculum.Q(3, curriculum.Day)}
		}},
		{"a gap less", func(c *curriculum.Curriculum) {
			c.Behaviours[0].Review = []curriculum.Quantity{curriculum.Q(1, curriculum.Day)}
		}},
		{"a measure's unit", func(c *curriculum.Curriculum) { c.Measures[1].Unit = curriculum.Metre }},
		{"which is better", func(c *curriculum.Curriculum) { c.Measures[1].SmallerIsBetter = true }},
		{"what a sign does", func(c *curriculum.Curriculum) { c.Signs[0].Locks = curriculum.EndSession }},
		{"a sign", func(c *curriculum.Curriculum) { c.Signs = c.Signs[:1] }},
		{"days away", func(c *curriculum.Curriculum) { c.Sessions[0].Away[0].Days = 20 }},
		{"levels after days away", func(c *curriculum.Curriculum) { c.Sessions[0].Away[0].Levels = 2 }},
	} {
		c := school()
		x.change(c)
		f := c.Fingerprint()
		require.Empty(t, seen[f], x.name)
		seen[f] = x.name
	}
}

func TestFingerprintOfOrderAmongRulesOfOneWord(t *testing.T) {
	a, b := school(), school()
	one := curriculum.Rule{Word: curriculum.Ease, When: curriculum.Window{K: 2, N: 2, Count: curriculum.Misses}}
	for i, c := range []*curriculum.Curriculum{a, b} {
		s := c.Behaviours[0].Steps[1]
		if i == 0 {
			s.Rules = append(s.Rules, one)
		} else {
			s.Rules = append([]curriculum.Rule{one}, s.Rules...)
		}
	}
	require.NotEqual(t, a.Fingerprint(), b.Fingerprint(), "the first that holds is taken")
}
