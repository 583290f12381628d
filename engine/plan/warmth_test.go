package plan_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/plan"
)

// That lively work stops where it is warm, and that a sheet warns from 20 degrees on, is common practice of the trade;
// each dog's own limit is for those who know the dog to set.
func TestWhereItIsWarmNothingLivelyIsPlanned(t *testing.T) {
	degrees := func(n float64) *float64 { return &n }
	for _, k := range []struct {
		name       string
		house, own int
		warmth     *float64
		out        string // why call-in, the lively one, is out
		warned     bool
		note       string
	}{
		{"nobody has set a limit", 0, 0, degrees(30), "", true, ""},
		{"below the house's limit", 22, 0, degrees(19.9), "", false, ""},
		{"the house's limit itself is still allowed, and warned of", 22, 0, degrees(22), "", true, ""},
		{"above it", 22, 0, degrees(22.5), "too warm for lively work: it is 22.5 degrees, and the session rules say nothing lively above 22", true, ""},
		{"the profile may say less", 22, 16, degrees(17), "too warm for lively work: it is 17 degrees, and gantry's profile says nothing lively above 16", true, ""},
		{"but not more", 22, 30, degrees(24), "too warm for lively work: it is 24 degrees, and the session rules say nothing lively above 22", true, ""},
		{"frost", 22, 16, degrees(-3), "", false, ""},
		{"nobody said how warm it is", 22, 16, nil, "", false, "How warm it is was not said, and gantry's profile says nothing lively above 16 degrees: where it is warmer, leave out call-in."},
		{"and nobody has set a limit", 0, 0, nil, "", false, ""},
	} {
		t.Run(k.name, func(t *testing.T) {
			c := yard()
			c.Sessions[0].LivelyUpTo, c.Sessions[0].Lasts = k.house, curriculum.Q(15, curriculum.Minute)
			v := gantry(c)
			v.Dog.Limits.LivelyUpTo = k.own
			p := plannedOf(t, c, v, plan.Request{Place: "yard", Celsius: k.warmth})
			require.Contains(t, names(p), "settle")
			if k.out != "" {
				require.NotContains(t, names(p), "call-in")
				require.Equal(t, plan.LeftOut{Behaviour: "call-in", Code: plan.TooWarm, Reason: k.out}, out(t, p, "call-in"))
			} else {
				require.Contains(t, names(p), "call-in")
			}
			require.Equal(t, k.warned, strings.Contains(strings.Join(p.Cautions, "\n"), "heat can kill"))
			if k.note != "" {
				require.Contains(t, p.Notes, k.note)
			} else {
				require.NotContains(t, strings.Join(p.Notes, "\n"), "How warm")
			}
		})
	}
	for _, bad := range []float64{-61, 61, 300, math.NaN(), math.Inf(1)} {
		_, err := plan.ForView(program(t, yard()), gantry(yard()), plan.Request{Dog: "gantry", At: morning, Celsius: &bad})
		var asked *plan.RequestError
		require.ErrorAs(t, err, &asked)
		require.Equal(t, "celsius", asked.Field)
	}
}
