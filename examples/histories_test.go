package examples_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/plan"
)

// What else the six histories show, beside the planted situations.

func TestTheLogsAreReadWithoutALostLine(t *testing.T) {
	p := house(t)
	for _, e := range entriesOf(t) {
		require.NotEmpty(t, e.Dog())
	}
	s := replay(t, p).Standing(now(t))
	require.Len(t, s.Dogs, 6)
	for _, r := range s.Reports {
		require.Falsef(t, r.Unusable, "%s:%d: %s", r.Source, r.Line, r.Text)
	}
}

func TestTheLimpLockedUntilTheVetClearedIt(t *testing.T) {
	p := house(t)
	for at, locked := range map[string]bool{"2026-03-11T17:00:00Z": true, "2026-03-14T08:00:00Z": true, "2026-03-14T10:00:00Z": false} {
		when, err := time.Parse(time.RFC3339, at)
		require.NoError(t, err)
		require.Equal(t, locked, len(planFor(t, p, "thimble", when, plan.Request{}).Locked) > 0, at)
	}
}

func TestTapeDecidesTurnsThatNobodyJudged(t *testing.T) {
	n := 0
	for _, e := range entriesOf(t) {
		if e.Dog() == "gantry" && !e.IsEvent && e.Trial.Outcome == curriculum.NoOutcome {
			n++
			_, ok := e.Trial.Measure("turn")
			require.True(t, ok)
		}
	}
	require.Positive(t, n)
}

// Pewter lost her footing on the platform, and both pivots wait for it.
func TestPivotsThatLostTheirPlatformArePaused(t *testing.T) {
	p := house(t)
	for _, b := range []string{"pivot-left", "pivot-right"} {
		s := standing(t, p, "pewter", b)
		require.Equal(t, curriculum.Paused, s.State)
		require.Equal(t, []string{"step-platform at walk-round"}, s.Missing)
	}
}

func TestEveryDogButTheLockedOneHasAPlanWorthHandingOver(t *testing.T) {
	p := house(t)
	for _, d := range dogs(t) {
		if d.Name == "thimble" {
			continue
		}
		t.Run(d.Name, func(t *testing.T) {
			next := planFor(t, p, d.Name, now(t), plan.Request{})
			require.GreaterOrEqual(t, len(next.Items), 2)
			require.NotEmpty(t, next.Cautions)
			for _, it := range next.Items {
				require.NotEmpty(t, it.Success)
				require.NotEmpty(t, it.Reason)
			}
			limit := 5.0
			if d.Limits.Minutes > 0 {
				limit = min(limit, d.Limits.Minutes)
			}
			require.LessOrEqual(t, next.Minutes, limit)
		})
	}
}
