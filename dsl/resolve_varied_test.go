package dsl_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
)

func TestAnAdvanceOutOfALevelThatVariesAsksForTheFullValue(t *testing.T) {
	const added = " and 2 of last 3 at full value"
	for _, c := range []struct{ name, ramp, rule, want string }{
		{"one criterion", "duration 2 s, 5 s grain 1 s varied", "advance when 4 of last 5", "4 of last 5" + added},
		{"several", "duration 2 s, 5 s varied", "advance when 4 of last 5 and after 3 trials", "4 of last 5 and after 3 trials" + added},
		{"either", "duration 2 s, 5 s varied", "advance when 4 of last 5 or done 9 times", "(4 of last 5 or done 9 times)" + added},
		{"a name", "duration 2 s, 5 s varied", "advance when steady", "3 of last 4" + added},
		{"one that speaks of it", "duration 2 s, 5 s varied", "advance when 4 of last 5 and 1 of last 1 at full value", "4 of last 5 and 1 of last 1 at full value"},
		{"one that speaks of it in braces", "duration 2 s, 5 s varied", "advance when 4 of last 5 where { full_value or latency < 1 }", "4 of last 5 where { full_value or latency < 1 }"},
		{"the long spelling", "duration 2 s, 5 s varied", "advance when 4 of last 5 among { full_value }", "4 of last 5 at full value"},
		{"a name that speaks of it", "duration 2 s, 5 s varied", "advance when full", "2 in a row at full value"},
		{"an ease", "duration 2 s, 5 s varied", "ease when 4 misses of last 5", "4 misses of last 5"},
		{"a ramp that does not vary", "duration 2 s, 5 s", "advance when 4 of last 5", "4 of last 5"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := "rung 1\ncriterion steady = 3 of last 4\ncriterion full = 2 in a row at full value\nbehaviour mat {\n  step stay {\n    ramp " + c.ramp + "\n    " + c.rule + "\n  }\n}\n"
			cur, diags := dsl.ReadString("a.rung", text)
			require.NotNil(t, cur, "%v", diags)
			require.Equal(t, c.want, curriculum.CriterionText(cur.Behaviours[0].Steps[0].Rules[0].When))
			curriculum.AskFullValue(cur.Behaviours[0].Steps[0])
			require.Equal(t, c.want, curriculum.CriterionText(cur.Behaviours[0].Steps[0].Rules[0].When), "asked twice is asked once")
		})
	}
}
