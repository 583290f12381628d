package expression_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum/expression"
)

func TestCutsAreTheNumbersFactsAreComparedWith(t *testing.T) {
	env := expression.Env{Functions: []expression.Function{{Name: "warm", Returns: expression.Bool}}}
	cut := func(fact string, at float64) expression.Cut { return expression.Cut{Fact: fact, At: at} }
	for _, c := range []struct {
		text string
		cuts []expression.Cut
		ok   bool
	}{
		{"latency <= 2", []expression.Cut{cut("latency", 2)}, true},
		{"1.5 < duration and duration != -3", []expression.Cut{cut("duration", 1.5), cut("duration", -3)}, true},
		{"latency in [1, 2]", []expression.Cut{cut("latency", 1), cut("latency", 2)}, true},
		{`place == "yard" or not rewarded`, nil, true},
		{"1 < 2", nil, true},
		{"dog.age_months >= 12", []expression.Cut{cut("dog.age_months", 12)}, true},
		{"2 * latency <= 3", nil, false},
		{"latency < duration", nil, false},
		{"place == handler", nil, false},
		{"warm()", nil, false},
		{"(rewarded ? latency : duration) < 2", nil, false},
	} {
		p, err := expression.Compile(c.text, env)
		require.NoError(t, err, c.text)
		cuts, ok := p.Cuts()
		require.Equal(t, c.cuts, cuts, c.text)
		require.Equal(t, c.ok, ok, c.text)
	}
}
