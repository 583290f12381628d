package examples_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/odds"
)

// What the school says of its own criteria in its remarks is what they do.
func TestTheSchoolsCriteriaDoWhatItsRemarksSay(t *testing.T) {
	house, err := dsl.ReadFile("pindrift/house.rung")
	require.NoError(t, err)
	a, err := odds.Of(house, "", "", odds.Question{})
	require.NoError(t, err)
	steps := 0
	for _, b := range house.Behaviours {
		steps += len(b.Steps)
	}
	require.Len(t, a.Steps, steps, "every step has an answer")
	require.Len(t, a.Rows, 4*steps)
	for _, r := range a.Rows {
		require.LessOrEqual(t, r.Residual, 1e-15, "%s at %s", r.Behaviour, r.Step)
		require.Zero(t, r.Never, "%s at %s", r.Behaviour, r.Step)
	}
	for _, l := range a.Ladders {
		require.Empty(t, l.Endless, l.Behaviour)
		require.True(t, l.Mean.Finite(), l.Behaviour)
	}
	held := 0
	for _, s := range a.Steps {
		if slices.Equal(s.Advance, []string{"smooth"}) && slices.Equal(s.Ease, []string{"rough"}) {
			held++
			require.InDelta(t, .718, s.HoldsAt[0], .0006, "this pair keeps a dog right about seven times in ten")
		}
	}
	require.Positive(t, held)
	// a choice between two answers: guessing is right every other time
	for criterion, most := range map[string]float64{"steady": .19, "sure": .011} {
		var is curriculum.Criterion
		for _, c := range house.Criteria {
			if c.Name == criterion {
				is = c.Is
			}
		}
		n := map[string]int{"steady": 5, "sure": 10}[criterion]
		row, err := odds.OfCriterion(is, house, odds.Question{Chances: []float64{.5}, By: n})
		require.NoError(t, err)
		require.InDelta(t, most, row.Rows[0].Advance, .003, criterion)
	}
}

// A hundred and fifty dogs, right nine times in ten, go through a whole behaviour of the school in the engine, from the
// first trial until it is kept. The odds leave levels that are put in out, and begin each level with a session: so do
// these dogs.
func TestDogsThroughAWholeBehaviourTakeAsLongAsTheOddsSay(t *testing.T) {
	house, err := dsl.ReadFile("pindrift/house.rung")
	require.NoError(t, err)
	const dogs, right = 150, .9
	behaviour := house.Behaviour("hand-touch")
	house.Behaviours = []*curriculum.Behaviour{behaviour}
	for _, s := range behaviour.Steps {
		s.Rules = slices.DeleteFunc(s.Rules, func(r curriculum.Rule) bool { return r.Word == curriculum.Split })
	}
	a, err := odds.Of(house, "", "", odds.Question{Chances: []float64{right}})
	require.NoError(t, err)
	want := a.Ladders[0]
	session := 0
	for _, s := range a.Steps {
		session = max(session, s.Session)
	}
	require.Positive(t, session)
	p, err := engine.Compile(house)
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(20, 4))
	sum, squares := 0.0, 0.0
	for range dogs {
		fold := p.NewFold()
		day, nth, moves, trials := 0, 0, 0, 0
		for kept := false; !kept; trials++ {
			trial := curriculum.Trial{Dog: "bisk", Behaviour: "hand-touch", At: time.Date(2026, 1, 5, 12, nth, 0, 0, time.UTC).AddDate(0, 0, day), Session: fmt.Sprint(day), Outcome: curriculum.Success}
			if random.Float64() >= right {
				trial.Outcome = curriculum.Wrong
			}
			require.NoError(t, fold.Record(&trial))
			b := fold.Standing(trial.At).Dogs[0].Behaviours[0]
			if nth++; nth == session || len(b.Moves) > moves {
				day, nth, moves = day+1, 0, len(b.Moves)
			}
			kept = b.State == curriculum.Kept
		}
		sum += float64(trials)
		squares += float64(trials) * float64(trials)
	}
	mean := sum / dogs
	sd := math.Sqrt(squares/dogs - mean*mean)
	require.InDelta(t, float64(want.Mean), mean, 4*float64(want.SD)/math.Sqrt(dogs))
	require.InDelta(t, float64(want.SD), sd, .3*float64(want.SD))
	t.Logf("%.1f ± %.1f trials; the odds say %.1f ± %.1f", mean, sd, float64(want.Mean), float64(want.SD))
}
