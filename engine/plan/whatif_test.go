package plan_test

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

func TestThePlanAfterASessionThatHasNotBeen(t *testing.T) {
	p := program(t, yard())
	f := p.NewFold(curriculum.Dog{Name: "gantry", WeightKg: 31})
	require.NoError(t, f.Record(&curriculum.Trial{Dog: "gantry", Behaviour: "settle", At: morning.AddDate(0, 0, -1), Outcome: curriculum.Success}))
	var before, after bytes.Buffer
	require.NoError(t, f.Save(&before))
	r := plan.Request{Dog: "gantry", At: morning, Place: "yard"}

	good := func(behaviour string, n int) (out []curriculum.Trial) {
		for range n {
			out = append(out, curriculum.Trial{Behaviour: behaviour, Outcome: curriculum.Success})
		}
		return out
	}
	stepOf := func(next *plan.Plan) string {
		for _, it := range next.Items {
			if it.Behaviour == "settle" {
				return it.Step
			}
		}
		return ""
	}
	now, err := plan.Next(p, f, r)
	require.NoError(t, err)
	require.Equal(t, "down", stepOf(now))
	require.Empty(t, now.If)

	then, err := plan.NextIf(p, f, r, good("settle", 4))
	require.NoError(t, err)
	require.Equal(t, "hold", stepOf(then), "four more good ones and it moves on")
	require.Equal(t, "settle 4 of 4 good", then.If)
	require.Equal(t, morning.Add(30*time.Minute+4*time.Second), then.At)
	require.Contains(t, then.Text(), "What if: settle 4 of 4 good.")

	require.Len(t, then.IfMoves, 1)
	require.Equal(t, "settle would go on to hold duration 5 s", then.IfMoves[0].Text)
	require.Equal(t, "advance", then.IfMoves[0].Rule)
	require.NotEmpty(t, then.IfMoves[0].Because)
	require.Contains(t, then.Text(), "Settle would go on to hold duration 5 s.")
	require.Empty(t, now.IfMoves)

	// several behaviours, one of which goes badly
	bad := append(good("settle", 3), curriculum.Trial{Behaviour: "pivot-left", Outcome: curriculum.Success})
	for range 4 {
		bad = append(bad, curriculum.Trial{Behaviour: "pivot-left", Outcome: curriculum.Wrong})
	}
	then, err = plan.NextIf(p, f, r, append(bad, good("settle", 4)...))
	require.NoError(t, err)
	var moves []string
	for _, m := range then.IfMoves {
		moves = append(moves, m.Text)
	}
	require.Equal(t, []string{"pivot-left would begin anew at follow turn 30 deg", "settle would go on to hold duration 5 s", "settle would go on to hold duration 10 s"}, moves)
	then, err = plan.NextIf(p, f, r, good("hand-touch", 4))
	require.NoError(t, err)
	require.Equal(t, "hand-touch would be finished", then.IfMoves[0].Text)
	then, err = plan.NextIf(p, f, r, good("settle", 4))
	require.NoError(t, err)

	require.Contains(t, then.TextFor(engine.ForOwner), "Only a trial plan: it supposes settle 4 of 4 good.")

	require.NoError(t, f.Save(&after))
	require.Equal(t, before.String(), after.String(), "nothing of it is kept")

	_, err = plan.NextIf(p, f, r, good("setle", 1))
	require.ErrorContains(t, err, `no behaviour is called "setle"`)
	_, err = plan.NextIf(p, f, plan.Request{Dog: "gantri", At: morning}, nil)
	require.ErrorContains(t, err, `did you mean "gantry"?`)

	// caps of the day count what would have been: twelve pivots
	then, err = plan.NextIf(p, f, r, good("pivot-left", 12))
	require.NoError(t, err)
	require.Equal(t, plan.CapReached, out(t, then, "pivot-left").Code)
}
