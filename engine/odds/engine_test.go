package odds_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/automaton"
	"example.com/rung/engine/odds"
)

// The checks of this file go through the engine itself: it folds trials one by one and knows nothing of machines.

// trainee is a dog whose trials are fed to the engine until it moves.
type trainee struct {
	fold     *engine.Fold
	at       time.Time
	trials   int
	sessions odds.Sessions
}

func newTrainee(p *engine.Program, s odds.Sessions) *trainee {
	return &trainee{fold: p.NewFold(), at: time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC), sessions: s}
}

// take records a trial of a kind and says which rule has moved the dog by its session's end, and at which trial.
func (d *trainee) take(t testing.TB, k automaton.Kind, latency float64) []engine.Move {
	n := max(d.sessions.Trials, 1)
	day, nth := d.trials/n, d.trials%n
	trial := curriculum.Trial{Dog: "bisk", Behaviour: "spin", At: d.at.AddDate(0, 0, day).Add(time.Duration(nth) * 10 * time.Second), Session: fmt.Sprint("s", day)}
	if len(d.sessions.Places) > 0 {
		trial.Place = d.sessions.Places[day%len(d.sessions.Places)]
	}
	if latency > 0 {
		trial.Measures = []curriculum.MeasureValue{{Name: "latency", Value: latency}}
	}
	trial.Outcome = curriculum.Success
	switch k {
	case automaton.Wrong:
		trial.Outcome = curriculum.Wrong
	case automaton.Silent:
		trial.Outcome = curriculum.Silent
	case automaton.OptOut:
		trial.Outcome = curriculum.OptOut
	case automaton.Helped:
		trial.Help = []string{curriculum.UnnamedHelp}
	case automaton.Early:
		trial.Help, trial.Early = []string{curriculum.UnnamedHelp}, true
	}
	require.NoError(t, d.fold.Record(&trial))
	d.trials++
	now := trial.At
	if nth == n-1 {
		now = now.Add(time.Hour) // the session is over
	}
	return d.fold.Standing(now).Dogs[0].Behaviours[0].Moves
}

func compiled(t testing.TB, c *curriculum.Curriculum) *engine.Program {
	t.Helper()
	p, err := engine.Compile(c)
	require.NoError(t, err)
	return p
}

// Every history of so many trials, each with its chance: the chance that each rule moved the dog within it, and how
// that grows from trial to trial.
func TestChancesAreSumsOverAllHistoriesThroughTheEngine(t *testing.T) {
	and := func(c ...curriculum.Criterion) curriculum.Criterion { return curriculum.And{All: c} }
	for _, c := range []struct {
		up, down curriculum.Criterion
		kinds    []automaton.Kind
		n        int
		sessions odds.Sessions
	}{
		{ofLast(4, 5), misses(3, 5), []automaton.Kind{automaton.Success, automaton.Wrong}, 10, odds.Sessions{Trials: 4}},
		{inARow(3), curriculum.Window{K: 2, N: 3, Count: curriculum.Silents}, []automaton.Kind{automaton.Success, automaton.Wrong, automaton.Silent}, 7, odds.Sessions{Trials: 4}},
		{ofLast(3, 4), curriculum.Window{K: 2, N: 3, Count: curriculum.HelpedOnes}, []automaton.Kind{automaton.Success, automaton.Helped, automaton.Early}, 7, odds.Sessions{Trials: 3}},
		{ofEach(3, 4), curriculum.InSessionCount{N: 2, Count: curriculum.OptOuts}, []automaton.Kind{automaton.Success, automaton.Wrong, automaton.OptOut}, 7, odds.Sessions{Trials: 3}},
		{in(2, curriculum.Days, inARow(2)), misses(2, 2), []automaton.Kind{automaton.Success, automaton.Wrong}, 10, odds.Sessions{Trials: 3}},
		{curriculum.FirstTrial{N: 2, InARow: true}, misses(3, 3), []automaton.Kind{automaton.Success, automaton.Wrong}, 9, odds.Sessions{Trials: 2}},
		{in(2, curriculum.Places, ofLast(2, 3)), misses(4, 6), []automaton.Kind{automaton.Success, automaton.Wrong}, 9, odds.Sessions{Trials: 2, Places: []string{"yard", "lane"}}},
		{curriculum.SessionShare{Share: curriculum.Percent(60), MinTrials: 3, N: 2}, missesOfEach(3, 4), []automaton.Kind{automaton.Success, automaton.Wrong}, 9, odds.Sessions{Trials: 3}},
		{and(curriculum.Done{N: 5}, inARow(2)), and(misses(2, 3), curriculum.Not{Is: curriculum.After{N: 4}}), []automaton.Kind{automaton.Success, automaton.Wrong, automaton.Early}, 7, odds.Sessions{Trials: 4}},
	} {
		name := curriculum.CriterionText(c.up) + " or " + curriculum.CriterionText(c.down)
		t.Run(name, func(t *testing.T) {
			program := upAndDown(c.up, c.down)
			program.Places = c.sessions.Places
			p := compiled(t, program)
			dog := odds.Dog{Chance: .625, Helped: 1, Silent: 0}
			chance := map[automaton.Kind]float64{automaton.Success: .625, automaton.Helped: .375}
			switch c.kinds[1] {
			case automaton.Wrong:
				dog.Helped = 0
				chance = map[automaton.Kind]float64{automaton.Success: .625, automaton.Wrong: .375}
			}
			if len(c.kinds) > 2 {
				switch extra := c.kinds[2]; extra {
				case automaton.Silent:
					dog.Silent = .5
					chance[automaton.Wrong], chance[extra] = .1875, .1875
				case automaton.Early, automaton.OptOut:
					if dog.Early = .25; extra == automaton.OptOut {
						dog.Early, dog.OptOut = 0, .25
					}
					for k := range chance {
						chance[k] *= .75
					}
					chance[extra] = .25
				}
			}
			by := make([]map[string]float64, c.n+1)
			for i := range by {
				by[i] = map[string]float64{}
			}
			var follow func(kinds []automaton.Kind, weight float64)
			follow = func(kinds []automaton.Kind, weight float64) {
				d := newTrainee(p, c.sessions)
				var moves []engine.Move
				for _, k := range kinds {
					moves = d.take(t, k, 0)
				}
				if len(moves) > 0 {
					for i := len(kinds); i <= c.n; i++ {
						by[i][moves[0].Rule] += weight
					}
					return
				}
				if len(kinds) < c.n {
					for _, k := range c.kinds {
						follow(append(kinds[:len(kinds):len(kinds)], k), weight*chance[k])
					}
				}
			}
			follow(nil, 1)
			moved := 0.0
			for n := 1; n <= c.n; n++ {
				a, err := odds.Of(program, "", "", odds.Question{Chances: []float64{dog.Chance}, By: n, Dog: dog, Sessions: c.sessions})
				require.NoError(t, err)
				require.InDelta(t, by[n]["advance"], a.Rows[0].Advance, 2e-12, "advance by trial %d", n)
				require.InDelta(t, by[n]["ease"], a.Rows[0].Ease, 2e-12, "ease by trial %d", n)
				moved = a.Rows[0].Advance + a.Rows[0].Ease
			}
			require.Positive(t, moved)
		})
	}
}

// Simulated dogs, seeded, through the engine: shares and means lie within the error that so many dogs leave. The rules
// are those of a whole small behaviour, with ways back, sessions, places and seconds.
func TestSimulatedDogsThroughTheEngineDoAsExpected(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	ramp := []curriculum.Ramp{{Of: "pause", Values: []curriculum.LevelValue{{Quantity: curriculum.Q(1, curriculum.Second)}, {Quantity: curriculum.Q(2, curriculum.Second)}, {Quantity: curriculum.Q(3, curriculum.Second)}}}}
	two := curriculum.Q(2, curriculum.Second)
	b := &curriculum.Behaviour{Name: "spin", Steps: []*curriculum.Step{
		{Name: "follow", Levels: curriculum.LayOut(ramp, curriculum.Raise{}), Ramps: ramp, Rules: []curriculum.Rule{rule(curriculum.Advance, ofLast(4, 5)), rule(curriculum.Ease, misses(2, 2))}},
		{Name: "quick", Levels: curriculum.LayOut(nil, curriculum.Raise{}), Rules: []curriculum.Rule{
			rule(curriculum.Advance, curriculum.Window{K: 3, N: 4, Qualify: curriculum.Qualifiers{Within: &two}}), {Word: curriculum.Ease, When: misses(3, 5), To: "follow", ToFirst: true}}},
		{Name: "places", Levels: curriculum.LayOut(nil, curriculum.Raise{}), Rules: []curriculum.Rule{rule(curriculum.Advance, in(2, curriculum.Places, inARow(2))), rule(curriculum.Ease, misses(3, 3))}},
	}}
	c := &curriculum.Curriculum{Name: "spins", Places: []string{"yard", "lane"}, Behaviours: []*curriculum.Behaviour{b}}
	p := compiled(t, c)
	const dogs = 1500
	sessions := odds.Sessions{Trials: 6, Places: []string{"yard", "lane"}}
	dog := odds.Dog{Chance: .7, Helped: .3, Silent: .2, Early: .1, Short: .2}
	a, err := odds.Of(c, "", "", odds.Question{Chances: []float64{.7}, By: 6, Dog: dog, Sessions: sessions})
	require.NoError(t, err)

	random := rand.New(rand.NewPCG(4, 711))
	firstMoves, trials := make([]float64, 2), make([]float64, dogs) // advance, ease
	through := make([]float64, dogs)
	for i := range dogs {
		d := newTrainee(p, sessions)
		moved := false
		for {
			k, latency := automaton.Success, 1.0
			switch u, v := random.Float64(), random.Float64(); {
			case u < .1:
				k = automaton.Early
			case v < .7:
			case v < .7+.3*.3:
				k = automaton.Helped
			case v < .7+.3*.5:
				k = automaton.Silent
			default:
				k = automaton.Wrong
			}
			if random.Float64() < .2 {
				latency = 5
			}
			moves := d.take(t, k, latency)
			if len(moves) > 0 && !moved {
				moved = true
				trials[i] = float64(d.trials)
				if d.trials <= 6 && moves[0].Rule == "advance" {
					firstMoves[0]++
				} else if d.trials <= 6 {
					firstMoves[1]++
				}
			}
			if m := len(moves); m > 0 && moves[m-1].To.Step == "quick" {
				through[i] = float64(d.trials)
				break
			}
		}
	}
	within := func(want, got, sd float64, about string) {
		t.Helper()
		require.InDelta(t, want, got, 4.5*sd/math.Sqrt(dogs), about)
	}
	first := a.Rows[0] // its first level is the behaviour's first, its rules are those of all levels
	within(first.Advance, firstMoves[0]/dogs, math.Sqrt(first.Advance*(1-first.Advance)), "advance by 6")
	within(first.Ease, firstMoves[1]/dogs, math.Sqrt(first.Ease*(1-first.Ease)), "ease by 6")
	mean, sd := meanAndSD(trials)
	within(float64(first.Mean), mean, float64(first.SD), "trials until the first move")
	require.InDelta(t, float64(first.SD), sd, .15*sd)
	mean, sd = meanAndSD(through)
	within(float64(first.Through), mean, float64(first.ThroughSD), "trials through the ramp")
	require.InDelta(t, float64(first.ThroughSD), sd, .15*sd)
}

func meanAndSD(v []float64) (mean, sd float64) {
	for _, x := range v {
		mean += x / float64(len(v))
	}
	for _, x := range v {
		sd += (x - mean) * (x - mean) / float64(len(v)-1)
	}
	return mean, math.Sqrt(sd)
}
