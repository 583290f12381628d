package odds_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine/automaton"
	"example.com/rung/engine/odds"
)

const notedText = `rung 1
behaviour spin {
  step one {
    prompt word
    advance when 5 of last 6
    ease when 3 misses of last 4
    stop today when 2 silent in a row or 2 opt-outs in this session
    flag when after 8 trials or 3 silent of last 6
  }
  step two {
    prompt word
    advance when 3 in a row
    skip when 3 in a row
    flag when eased 1 times
    ease when 2 misses in a row
  }
}
`

func readText(t testing.TB, text string) *curriculum.Curriculum {
	t.Helper()
	c, ds := dsl.ReadString("noted.rung", text)
	require.Empty(t, ds.Text())
	return c
}

// ruleOf is the rule of a row that stands in a line.
func ruleOf(t testing.TB, row odds.Row, line int) odds.Rule {
	t.Helper()
	for _, r := range row.Rules {
		if r.Line == line {
			return r
		}
	}
	t.Fatalf("no rule in line %d of %v", line, row.Rules)
	return odds.Rule{}
}

// Every rule of a step is there, in the order of the text; those that move the dog are what they are without the others.
func TestEveryRuleOfAStepHasItsOdds(t *testing.T) {
	c := readText(t, notedText)
	a, err := odds.Of(c, "", "", odds.Question{Chances: []float64{.7}, By: 12, Dog: odds.Dog{Silent: .5}})
	require.NoError(t, err)
	var got []string
	for _, row := range a.Rows {
		for _, r := range row.Rules {
			got = append(got, fmt.Sprintf("%s %d", r.Rule, r.Line))
		}
	}
	require.Equal(t, []string{"advance 5", "ease 6", "stop 7", "flag 8", "advance 12", "skip 13", "flag 14", "ease 15"}, got)

	for i := range a.Rows {
		require.Equal(t, a.Rows[i].Advance, a.Rows[i].Rules[0].By)
	}
	quick, err := odds.Of(c, "", "", odds.Question{Chances: []float64{.7}, By: 12, Dog: odds.Dog{Silent: .5}, FirstMoves: true})
	require.NoError(t, err)
	require.Len(t, quick.Rows[0].Rules, 2, "who asks for first moves alone gets no others")
	require.Equal(t, a.Rows[0].Rules[:2], quick.Rows[0].Rules)

	two := a.Rows[1]
	require.Equal(t, ruleOf(t, two, 15).By, ruleOf(t, two, 14).By, "the ease that is due counts, and ends the stay")
	run, err := odds.OfCriterion(inARow(3), nil, odds.Question{Chances: []float64{.7}, By: 12})
	require.NoError(t, err)
	require.Equal(t, run.Rows[0].Advance, ruleOf(t, two, 13).By, "a skip is looked at where all trials name its step")
	require.Nil(t, ruleOf(t, a.Rows[0], 7).InSession, "nobody asked about sessions")
}

// A stop and a flag by hand: two silent running, at chance s each, by trial n; and the eighth trial, if nothing moved before.
func TestStopsAndFlagsByHand(t *testing.T) {
	c := readText(t, `rung 1
behaviour spin {
  step one {
    prompt word
    advance when done 20 times
    stop today when 2 silent in a row
    flag when after 8 trials
  }
}
`)
	a, err := odds.Of(c, "", "", odds.Question{Chances: []float64{.5}, By: 5, Dog: odds.Dog{Silent: 1}, Sessions: odds.Sessions{Trials: 3}})
	require.NoError(t, err)
	stop := ruleOf(t, a.Rows[0], 6)
	near(t, 3./8, *stop.InSession, 1e-12, "of three tosses two tails running: 3 of 8")
	near(t, 1-5./8*3./4, stop.By, 1e-12, "a session of three, and then one of two")
	require.Equal(t, 3, stop.Session)
	flag := ruleOf(t, a.Rows[0], 7)
	require.Equal(t, []float64{0, 1, 8}, []float64{flag.By, flag.Ever, float64(flag.Mean)})
}

// Simulated dogs, seeded, through the engine: they are silent, helped and leave, in sessions of six. What is noted of them
// before they move is noted as often as the odds say, within the error that so many dogs leave.
func TestSimulatedDogsAreStoppedAndFlaggedAsOftenAsTheOddsSay(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	c := readText(t, notedText)
	p := compiled(t, c)
	const dogs, by = 4000, 14
	sessions := odds.Sessions{Trials: 6}
	a, err := odds.Of(c, "", "", odds.Question{Chances: []float64{.6}, By: by, Dog: odds.Dog{Silent: .5, Helped: .2, Early: .1, OptOut: .1}, Sessions: sessions})
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(4, 1107))
	noted, first, trials := map[int]float64{}, map[int]float64{}, map[int]float64{}
	for range dogs {
		d := newTrainee(p, sessions)
		seen := map[int]bool{}
		for d.trials < by {
			k := automaton.Success
			switch u, v := random.Float64(), random.Float64(); {
			case u < .1:
				k = automaton.Early
			case u < .2:
				k = automaton.OptOut
			case v < .6:
			case v < .6+.4*.5:
				k = automaton.Silent
			case v < .6+.4*.7:
				k = automaton.Helped
			default:
				k = automaton.Wrong
			}
			moves := d.take(t, k, 0)
			for _, n := range d.fold.Standing(d.at.AddDate(1, 0, 0)).Dogs[0].Behaviours[0].Noted {
				if !seen[n.Line] {
					seen[n.Line] = true
					noted[n.Line]++
					trials[n.Line] += float64(d.trials)
					if d.trials <= sessions.Trials {
						first[n.Line]++
					}
				}
			}
			if len(moves) > 0 {
				break
			}
		}
	}
	share := func(want, got float64, about string) {
		t.Helper()
		require.InDelta(t, want, got/dogs, 4.5*math.Sqrt(want*(1-want)/dogs), about)
	}
	for _, line := range []int{7, 8} {
		r := ruleOf(t, a.Rows[0], line)
		require.Greater(t, r.By, .05)
		share(r.By, noted[line], r.Criterion)
		if r.InSession != nil {
			share(*r.InSession, first[line], "in the first session: "+r.Criterion)
		}
	}
	require.NotNil(t, ruleOf(t, a.Rows[0], 7).InSession)
}

// A lapse names its rules, and a rule too large to follow says so without spoiling the others.
func TestLapseRulesAndWhatIsTooLarge(t *testing.T) {
	c := readText(t, `rung 1
behaviour spin {
  step one {
    prompt word
    advance when 3 in a row
    flag when 15 of last 30 and 12 of last 40
  }
  lapse to one when 2 misses of last 3
  lapse to one when 3 misses of last 9
}
`)
	a, err := odds.Of(c, "", "", odds.Question{Chances: []float64{.3}, By: 60, Budget: 500})
	require.NoError(t, err)
	l := a.Lapses[0]
	require.Len(t, l.Rules, 2)
	require.Equal(t, []int{8, 9}, []int{l.Rules[0].Line, l.Rules[1].Line})
	near(t, l.Lapse, l.Rules[0].By+l.Rules[1].By, 1e-11)
	flag := ruleOf(t, a.Rows[0], 6)
	require.Positive(t, flag.Unknown)
	require.LessOrEqual(t, flag.By+flag.Unknown, 1+1e-12)
}
