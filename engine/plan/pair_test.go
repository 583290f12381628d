package plan_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/plan"
)

// Opposites that are worked as a pair begin together. Where a session has room for one of them only, they take turns by
// sessions: each begins, and over seven days neither is more than two trials ahead.
func TestAPairThatIsTooMuchForASessionTakesTurnsBySessions(t *testing.T) {
	for _, k := range []struct {
		name  string
		rules func(*curriculum.Session)
	}{
		{"one new behaviour a session", func(s *curriculum.Session) { s.MaxNew = 1 }},
		{"one behaviour a session", func(s *curriculum.Session) { s.MaxBehaviours = 1 }},
		{"five trials a session", func(s *curriculum.Session) { s.MaxTrials = 5 }},
		{"half a minute", func(s *curriculum.Session) { s.Lasts = curriculum.Q(30, curriculum.Second) }},
	} {
		t.Run(k.name, func(t *testing.T) {
			s := &curriculum.Session{Lasts: curriculum.Q(5, curriculum.Minute)}
			k.rules(s)
			take := &curriculum.Behaviour{Name: "take", Steps: []*curriculum.Step{step("closes", "")}, Pairs: []curriculum.Pair{{Other: "give", Within: 2}}}
			give := &curriculum.Behaviour{Name: "give", Steps: []*curriculum.Step{step("opens", "")}}
			p := program(t, &curriculum.Curriculum{Name: "opposites", Sessions: []*curriculum.Session{s}, Behaviours: []*curriculum.Behaviour{take, give}})
			f := p.NewFold(curriculum.Dog{Name: "okapi"})
			had := map[string]int{}
			for day := range 7 {
				now := morning.AddDate(0, 0, day)
				next, err := plan.Next(p, f, plan.Request{Dog: "okapi", At: now})
				require.NoError(t, err)
				require.NotEmpty(t, next.Items, "day %d: %v", day, next.LeftOut)
				for i, it := range next.Items {
					for n := range it.Trials {
						tr := curriculum.Trial{Dog: "okapi", Behaviour: it.Behaviour, At: now.Add(time.Duration(60*i+n) * time.Second), Outcome: curriculum.Silent}
						if n%2 == 0 {
							tr.Outcome = curriculum.Success // neither moves on nor back for good
						}
						require.NoError(t, f.Record(&tr))
						had[it.Behaviour]++
					}
				}
				d := had["take"] - had["give"]
				require.True(t, -2 <= d && d <= 2, "day %d: %v", day, had)
			}
			require.Greater(t, min(had["take"], had["give"]), 6)
		})
	}
}
