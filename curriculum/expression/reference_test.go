package expression_test

import (
	"sync"
	"testing"

	"github.com/expr-lang/expr"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// wholeEnv is the same facts for the general expression language, which evaluates the same texts on its own machine.
var wholeEnv = map[string]any{
	"success": true, "wrong": false, "silent": false, "helped": false, "early": false, "rewarded": true,
	"place": "lane", "handler": "owner", "step": "follow",
	"latency": 1.4, "turn": 90.0, "ear_angle": 12.0,
	"dog": map[string]any{"age_months": 3.0, "weight_kg": 4.2, "neutered": false, "name": "okapi"},
}

func anyNumber(depth int) *rapid.Generator[string] {
	leaf := rapid.SampledFrom([]string{"latency", "turn", "ear_angle", "dog.age_months", "dog.weight_kg", "0", "1", "2", "3", "12", "90", "0.5", "1.4", "-1"})
	if depth == 0 {
		return leaf
	}
	return rapid.OneOf(leaf, rapid.Custom(func(t *rapid.T) string {
		x, y := anyNumber(depth-1).Draw(t, "x"), anyNumber(depth-1).Draw(t, "y")
		op := rapid.SampledFrom([]string{" + ", " - ", " * "}).Draw(t, "op")
		if rapid.Bool().Draw(t, "bracket") {
			return "(" + x + op + y + ")"
		}
		return x + op + y
	}))
}

func anyCondition(depth int) *rapid.Generator[string] {
	text := rapid.SampledFrom([]string{"place", "handler", "step", "dog.name", `"lane"`, `"owner"`, `'yard'`})
	leaf := rapid.OneOf(
		rapid.SampledFrom([]string{"success", "wrong", "early", "rewarded", "dog.neutered", "true", "false"}),
		rapid.Custom(func(t *rapid.T) string {
			op := rapid.SampledFrom([]string{"==", "!=", "<", "<=", ">", ">="}).Draw(t, "op")
			return anyNumber(2).Draw(t, "a") + " " + op + " " + anyNumber(2).Draw(t, "b")
		}),
		rapid.Custom(func(t *rapid.T) string {
			op := rapid.SampledFrom([]string{"==", "!="}).Draw(t, "op")
			return text.Draw(t, "a") + " " + op + " " + text.Draw(t, "b")
		}),
		rapid.Custom(func(t *rapid.T) string {
			op := rapid.SampledFrom([]string{" in ", " not in "}).Draw(t, "op")
			return text.Draw(t, "a") + op + "[" + text.Draw(t, "b") + ", " + text.Draw(t, "c") + "]"
		}),
	)
	if depth == 0 {
		return leaf
	}
	return rapid.OneOf(leaf, rapid.Custom(func(t *rapid.T) string {
		x, y := anyCondition(depth-1).Draw(t, "x"), anyCondition(depth-1).Draw(t, "y")
		switch rapid.IntRange(0, 4).Draw(t, "form") {
		case 0:
			return "not (" + x + ")"
		case 1:
			return "(" + x + ") ? (" + y + ") : (" + x + ")"
		case 2:
			return "(" + x + ") == (" + y + ")"
		case 3:
			return x + " and " + y
		}
		return "(" + x + " or " + y + ")"
	}))
}

// The general language's own machine is the slow reference for the small part.
func TestEveryConditionMeansWhatTheGeneralLanguageMeans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := anyCondition(3).Draw(t, "text")
		if len(expression.Check(text, env)) > 0 {
			// only a text beyond a limit may be refused: the generator makes nothing else
			require.Equal(t, expression.TooManyParts, expression.Check(text, env)[0].Kind, text)
			return
		}
		want, err := expr.Eval(text, wholeEnv)
		require.NoError(t, err, text)
		p, err := expression.Compile(text, env)
		require.NoError(t, err, text)
		require.Equal(t, want, p.Holds(&facts), text)
	})
}

func TestAProgramIsSafeForConcurrentUse(t *testing.T) {
	p, err := expression.Compile(`turn >= 60 and windy(place) == false and dog.age_months < 14`, env)
	require.NoError(t, err)
	var wg sync.WaitGroup
	for w := range 8 {
		wg.Go(func() {
			mine := facts
			mine.Trial = &curriculum.Trial{Place: "lane", Measures: []curriculum.MeasureValue{{Name: "turn", Value: float64(20 * w)}}}
			for range 1000 {
				if p.Holds(&mine) != (20*w >= 60) {
					t.Error("a program answered for another trial")
					return
				}
			}
		})
	}
	wg.Wait()
}

func TestEvaluationAllocatesNothing(t *testing.T) {
	p, err := expression.Compile(`latency <= 2 and place in ["lane", "yard"] and dog.age_months < 14`, env)
	require.NoError(t, err)
	require.Zero(t, testing.AllocsPerRun(100, func() { p.Holds(&facts) }))
}

func FuzzCheck(f *testing.F) {
	for _, s := range []string{`latency <= 2`, `not (place in ["a"])`, `dog.age_months < 14 ? success : wrong`, `"`, "`", `a ?? b`, `1..2`, `all([1], {# > 1})`, `b"x"`, `ear-angle > 1`, `/* x`, `let a = 1; a`, `::len("a")`, `0x`, `. .`, `dog.`, `x | y(z)`, `if a { b } else { c }`, "\xff", `"\u{110000}"`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		problems := expression.Check(text, env)
		require.Equal(t, problems, expression.Check(text, env))
		for i, p := range problems {
			require.True(t, 0 <= p.From && p.From <= p.To && p.To <= len(text), "%+v", p)
			require.NotEmpty(t, p.Message)
			if i > 0 {
				require.LessOrEqual(t, problems[i-1].From, p.From)
			}
		}
		if p, err := expression.Compile(text, env); err == nil {
			require.Empty(t, problems)
			p.Holds(&facts)
			p.Holds(&expression.Facts{})
		}
	})
}

func BenchmarkHolds(b *testing.B) {
	p, err := expression.Compile(`latency <= 2 and place == "lane" and turn > 45`, env)
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		p.Holds(&facts)
	}
}

// BenchmarkYardstick is the same condition written by hand in Go.
func BenchmarkYardstick(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		t := facts.Trial
		latency, ok1 := t.Measure("latency")
		turn, ok2 := t.Measure("turn")
		hold = ok1 && ok2 && t.Place != "" && latency <= 2 && t.Place == "lane" && turn > 45
	}
}

var hold bool
