package plan_test

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
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

func TestAHotDayOfSeveralLosesItsLivelyWorkAndACoolOneKeepsIt(t *testing.T) {
	c := yard()
	c.Sessions[0].LivelyUpTo, c.Sessions[0].Lasts = 22, curriculum.Q(15, curriculum.Minute)
	c.Sessions[0].MaxNew = 0
	for _, b := range c.Behaviours {
		b.Needs, b.NeverWith, b.Caps, b.Pairs = nil, nil, nil, nil
	}
	p, f := fresh(t, c)
	lively := func(d *plan.Days) (on []string) {
		for _, s := range d.Sessions {
			if slices.Contains(names(s), "call-in") {
				on = append(on, s.At.Format("2"))
			}
		}
		return on
	}
	ahead := func(r plan.Request, days, sessions int) *plan.Days {
		r.Dog, r.At, r.Place, r.Favour = "gantry", morning, "yard", []string{"call-in"}
		d, err := plan.Ahead(p, f, r, days, sessions)
		require.NoError(t, err)
		return d
	}
	require.Equal(t, []string{"3", "4", "5"}, lively(ahead(plan.Request{}, 3, 0)))
	d := ahead(plan.Request{DaysCelsius: []float64{18, 26, 21}}, 3, 0)
	require.Equal(t, []string{"3", "5"}, lively(d))
	require.Equal(t, []string{"3", "3", "5", "5"}, lively(ahead(plan.Request{DaysCelsius: []float64{18, 26, 21}}, 3, 6)), "several sessions a day")
	hot := 26.0
	require.Empty(t, lively(ahead(plan.Request{Celsius: &hot}, 3, 0)), "one figure is every day's")

	const warns = "Wednesday 4 March, 26 degrees: heat can kill"
	require.Contains(t, d.Text(), "celsius          18      26      21\n")
	require.Contains(t, d.Text(), "STOP AND MIND\n  - "+warns)
	require.Contains(t, d.Markdown(), "\n| celsius | 18 | 26 | 21 |\n")
	require.Contains(t, d.Markdown(), "- "+warns)
	var page bytes.Buffer
	require.NoError(t, d.WriteHTML(&page, engine.ForTrainer))
	require.Contains(t, page.String(), "<p><b>"+warns)
	require.Equal(t, 1, strings.Count(page.String(), "heat can kill"), "that of the warmest day")
	for _, degrees := range []string{"; 18 degrees", "; 26 degrees", "; 21 degrees"} {
		require.Equal(t, 1, strings.Count(page.String(), degrees))
	}
	require.NotContains(t, ahead(plan.Request{DaysCelsius: []float64{8, 9, 10}}, 3, 0).Text(), "heat can kill")

	for _, bad := range []plan.Request{{DaysCelsius: []float64{18, 20}}, {DaysCelsius: []float64{18, math.NaN(), 20}}} {
		bad.Dog, bad.At = "gantry", morning
		_, err := plan.Ahead(p, f, bad, 3, 0)
		var asked *plan.RequestError
		require.ErrorAs(t, err, &asked)
		require.Equal(t, "celsius", asked.Field)
	}
	_, err := plan.Next(p, f, plan.Request{Dog: "gantry", At: morning, DaysCelsius: []float64{18}})
	require.ErrorContains(t, err, "celsius of several days: not usable here")
}
