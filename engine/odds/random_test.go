package odds_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/internal/naive/cases"
	"example.com/rung/engine/odds"
)

// Random rules of every kind: the chances are those of all histories of successes and misses through the engine, in
// sessions of three trials a day, at the places and with the handlers that the answer says.
func TestRandomRulesMoveTheEngineAsOftenAsTheOddsSay(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	on := map[cases.Feature]bool{}
	for _, f := range cases.All {
		on[f] = true
	}
	on[cases.Long], on[cases.Away], on[cases.Chain] = false, false, false
	on[cases.Varied] = false // the ramps are taken off
	const n, right = 7, .625
	asked, moved, stopsAndFlags, uncertain := 0, 0, 0, 0
	for seed := range uint64(36) {
		all := cases.Make(seed, on).Curriculum
		for _, b := range all.Behaviours {
			step := *b.Steps[0]
			step.Ramps, step.Levels, step.Raise = nil, curriculum.LayOut(nil, curriculum.Raise{}), curriculum.Raise{}
			c := &curriculum.Curriculum{Name: "one", Places: all.Places, Handlers: all.Handlers, Measures: all.Measures, Criteria: all.Criteria,
				Behaviours: []*curriculum.Behaviour{{Name: b.Name, Steps: []*curriculum.Step{&step}}}}
			p, err := engine.Compile(c)
			require.NoError(t, err, "seed %d", seed)
			a, err := odds.Of(c, "", "", odds.Question{Chances: []float64{right}, By: n, Sessions: odds.Sessions{Trials: 3}})
			if errors.Is(err, odds.ErrTooMany) {
				continue // several windows of places, days and measures in one rule
			}
			require.NoError(t, err, "seed %d", seed)
			if strings.Contains(strings.Join(a.Steps[0].Notes, ""), "taken") || strings.Contains(strings.Join(a.Steps[0].Notes, ""), "worked out") {
				continue // conditions that the engine knows better
			}
			asked++
			want, noted, inFirst := map[string]float64{}, map[int]float64{}, map[int]float64{}
			for run := range 1 << n {
				weight := 1.0
				f := p.NewFold()
				rule, seen := "", map[int]int{}
				for i := range n {
					trial := trialOf(c, &a.Steps[0], b.Name, i)
					if weight *= 1 - right; run>>i&1 == 1 {
						trial.Outcome = curriculum.Success
						weight *= right / (1 - right)
					}
					require.NoError(t, f.Record(&trial))
					now := trial.At
					if i%3 == 2 {
						now = now.Add(time.Hour)
					}
					stands := f.Standing(now).Dogs[0].Behaviours[0]
					for _, note := range stands.Noted {
						if rule == "" && seen[note.Line] == 0 {
							seen[note.Line] = i + 1
						}
					}
					if moves := stands.Moves; rule == "" && len(moves) > 0 {
						rule = moves[0].Rule
					}
				}
				want[rule] += weight
				for line, trial := range seen {
					noted[line] += weight
					if trial <= 3 {
						inFirst[line] += weight
					}
				}
			}
			row := a.Rows[0]
			require.InDelta(t, want["advance"], row.Advance, 2e-12, "seed %d, %s: %v", seed, b.Name, a.Steps[0])
			require.InDelta(t, want["ease"], row.Ease, 2e-12, "seed %d, %s: %v", seed, b.Name, a.Steps[0])
			require.InDelta(t, want["split"], row.Split, 2e-12, "seed %d, %s: %v", seed, b.Name, a.Steps[0])
			if row.Advance+row.Ease+row.Split > 0 {
				moved++
			}
			require.Len(t, row.Rules, len(step.Rules))
			for i, rule := range row.Rules {
				require.Equal(t, step.Rules[i].Pos.Line, rule.Line)
				switch {
				case rule.Rule != "stop" && rule.Rule != "flag":
					continue
				case rule.Unknown > 0, strings.Contains(strings.Join(rule.Notes, ""), "taken"), strings.Contains(strings.Join(rule.Notes, ""), "worked out"), !slices.Equal(rule.Places, a.Steps[0].Places), !slices.Equal(rule.Handlers, a.Steps[0].Handlers):
					continue // it asks for places of its own
				}
				stopsAndFlags++
				require.InDelta(t, noted[rule.Line], rule.By, 2e-12, "seed %d, %s: %v", seed, b.Name, rule)
				if rule.Rule == "stop" {
					require.InDelta(t, inFirst[rule.Line], *rule.InSession, 2e-12, "seed %d, %s: %v", seed, b.Name, rule)
				}
				if rule.By > 0 && rule.By < 1 {
					uncertain++
				}
			}
		}
	}
	require.Greater(t, asked, 60)
	require.Greater(t, moved, 40)
	require.Greater(t, stopsAndFlags, 30)
	require.Greater(t, uncertain, 15)
	t.Logf("%d sets of rules, %d of them moved; %d stops and flags, %d of them at times", asked, moved, stopsAndFlags, uncertain)
}

// trialOf is the i-th trial, a miss, as the answer takes it for granted: whatever is measured is as good as can be.
func trialOf(c *curriculum.Curriculum, s *odds.Step, behaviour string, i int) curriculum.Trial {
	day := i / 3
	trial := curriculum.Trial{Dog: "bisk", Behaviour: behaviour, Outcome: curriculum.Wrong, Session: string(rune('a' + day)),
		At: time.Date(2026, 3, 2, 12, 0, 10*i, 0, time.UTC).AddDate(0, 0, day)}
	if len(s.Places) > 0 {
		trial.Place = s.Places[day%len(s.Places)]
	}
	if len(s.Handlers) > 0 {
		trial.Handler = s.Handlers[day%len(s.Handlers)]
	}
	trial.Measures = []curriculum.MeasureValue{{Name: "latency", Value: 1e-6}, {Name: "duration", Value: 1e6}, {Name: "distance", Value: 1e6}}
	for _, m := range c.Measures {
		v := 1e6
		if m.SmallerIsBetter {
			v = 1e-6
		}
		trial.Measures = append(trial.Measures, curriculum.MeasureValue{Name: m.Name, Value: v})
	}
	return trial
}
