package expression_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

var env = expression.Env{
	Measures: []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}, {Name: "ear-angle", Unit: curriculum.Degree}, {Name: "count", Unit: curriculum.NoUnit}},
	Functions: []expression.Function{
		{Name: "windy", Params: []expression.Type{expression.Text}, Returns: expression.Bool, Call: func(a []expression.Value) expression.Value {
			return expression.Value{Type: expression.Bool, Bool: a[0].Text == "yard"}
		}},
		{Name: "max", Params: []expression.Type{expression.Number, expression.Number}, Returns: expression.Number, Call: func(a []expression.Value) expression.Value {
			return expression.Value{Type: expression.Number, Number: max(a[0].Number, a[1].Number)}
		}},
	},
}

var facts = expression.Facts{
	Trial: &curriculum.Trial{
		Place: "lane", Handler: "owner", Rewarded: curriculum.Yes,
		Measures: []curriculum.MeasureValue{{Name: "latency", Value: 1.4}, {Name: "turn", Value: 90}, {Name: "ear-angle", Value: 12}},
	},
	Kind: expression.Success,
	Step: "follow",
	Dog:  &curriculum.Dog{Name: "okapi", Born: time.Date(2025, 12, 20, 0, 0, 0, 0, time.UTC), WeightKg: 4.2, AdultWeightKg: 11, Neutered: curriculum.No},
	Day:  time.Date(2026, 3, 20, 0, 0, 0, 0, time.UTC),
}

func TestHolds(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       bool
	}{
		{"a comparison of a measure", "latency <= 1.4", true},
		{"a comparison just missed", "latency < 1.4", false},
		{"a place", `place == "lane"`, true},
		{"a place from a list", `place in ["yard", "lane"]`, true},
		{"not in a list", `place not in ["yard", "lane"]`, false},
		{"the kind of trial", "success and not wrong and not silent and not helped", true},
		{"the present step", `step == "follow"`, true},
		{"a measure with a hyphen", "ear_angle == 12", true},
		{"arithmetic binds as on paper", "turn + 2 * ear_angle - 14 == 100", true},
		{"a chain of comparisons", "80 < turn <= 90", true},
		{"a choice", `(place == "lane" ? turn : latency) == 90`, true},
		{"age in months changes on the day", "dog.age_months == 3", true},
		{"age in weeks and days", "dog.age_weeks == 12 and dog.age_days == 90", true},
		{"weights", "dog.weight_kg < 0.5 * dog.adult_weight_kg", true},
		{"a yes-or-no fact of the dog", "not dog.neutered", true},
		{"the dog's name", `dog.name != "thimble"`, true},
		{"a paid trial", "rewarded and not early", true},
		{"a host function", `windy(place)`, false},
		{"a host function with a built-in's name", `max(turn, 100) == 100`, true},
		{"a fact not recorded makes it not hold", "distance >= 0", false},
		{"a fact not recorded makes its negation not hold", "not (distance >= 0)", false},
		{"a fact not recorded counts in a branch not taken", "true or distance > 1", false},
		{"a minus sign", "-turn < 0", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := expression.Compile(c.text, env)
			require.NoError(t, err)
			require.Equal(t, c.want, p.Holds(&facts))
		})
	}
}

func TestEveryFactIsUnrecordedInEmptyFacts(t *testing.T) {
	for _, name := range env.Names() {
		text := name
		switch {
		case strings.HasPrefix(name, "windy") || strings.HasPrefix(name, "max"):
			continue
		}
		for _, form := range []string{"%s == %s", "%s != %s", "not (%s == %s)"} {
			p, err := expression.Compile(fmt.Sprintf(form, text, text), env)
			require.NoError(t, err)
			require.False(t, p.Holds(&expression.Facts{}), "%s in %s", name, form)
			require.Equal(t, []string{name}, p.Reads())
		}
	}
}

func TestAFunctionThatPanicsIsToldOfAndNothingHolds(t *testing.T) {
	boom := errors.New("no gauge")
	env := expression.Env{Functions: []expression.Function{
		{Name: "dry", Returns: expression.Bool, Call: func([]expression.Value) expression.Value { panic(boom) }},
		{Name: "warm", Returns: expression.Bool, Call: func([]expression.Value) expression.Value { return expression.Value{Bool: true} }},
	}}
	facts := expression.Facts{Trial: &curriculum.Trial{}, Kind: expression.Success}
	holds := func(text string) bool {
		p, err := expression.Compile(text, env)
		require.NoError(t, err)
		return p.Holds(&facts)
	}
	for _, text := range []string{"dry()", "not dry()", "warm() and not dry()", "dry() ? success : success"} {
		require.False(t, holds(text), text)
		require.ErrorIs(t, facts.Fault, boom, text)
		require.Equal(t, "dry", facts.Fault.Function)
	}
	require.True(t, holds("warm()"))
	require.Nil(t, facts.Fault, "the next call begins anew")
	require.False(t, (*expression.Program)(nil).Holds(&facts))
	require.False(t, new(expression.Program).Holds(&facts))
}
