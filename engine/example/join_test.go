package example_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/example"
)

const sharedFile = `rung 1
behaviour spin {
  step one {
    prompt word
    advance when steady or 4 of last 5
    ease when 2 misses in a row
    flag when after 9 trials
  }
}
example "what both have" {
  spin: +
  expect spin at one
}
`

// resultsOf runs the examples of files that use a shared one, each with a criterion and lines of its own.
func resultsOf(t *testing.T, files ...string) (out []*example.Result) {
	for _, own := range files {
		c, ds := dsl.ReadFS(fstest.MapFS{"shared.rung": {Data: []byte(sharedFile)}, "main.rung": {Data: []byte("rung 1\nuse \"shared.rung\"\n" + own)}}, "main.rung")
		require.Empty(t, ds, ds.Text())
		p, err := engine.Compile(c)
		require.NoError(t, err)
		out = append(out, example.Run(p, example.Options{}))
	}
	return out
}

func TestWhatSeveralCurriculaShareCountsOnce(t *testing.T) {
	const three = "criterion steady = 3 in a row\n"
	on, back := three+"example \"on\" {\n  spin: + + +\n  expect spin is kept\n}\n", three+"\nexample \"back\" {\n  spin: - -\n  expect spin at one\n}\n"
	results := resultsOf(t, on, back)
	sum := example.Join(results...)
	require.Equal(t, []int{3, 0, 3}, []int{sum.Passed, sum.Failed, len(sum.Cases)})
	require.Equal(t, []int{3, 2, 3, 2}, []int{sum.Rules.Total, sum.Rules.Fired, sum.Rules.Lines, sum.Rules.InLines})
	require.Len(t, sum.Rules.Unfired, 1)
	require.Equal(t, "flag", sum.Rules.Unfired[0].Rule)
	require.Len(t, results[0].Rules.Unfired, 2, "the parts are left as they are")
	require.Equal(t, results[0], example.Join(results[0]), "one is its own sum")
	require.Equal(t, example.Join(results...), example.Join(append(results, results...)...))
	require.Equal(t, &example.Result{Cases: []example.Case{}, Rules: example.Rules{Unfired: []example.Unfired{}, Sides: []example.Side{}, Impossible: []example.Side{}}}, example.Join())

	// a side of a criterion that one of them shows is shown
	both := resultsOf(t, on, three+"example \"four\" {\n  spin: + + - + +\n  expect spin is kept\n}\n")
	require.Len(t, both[0].Rules.Sides, 1)
	require.Equal(t, "4 of last 5", both[0].Rules.Sides[0].Part)
	require.Empty(t, example.Join(both...).Rules.Sides)
}

// A shared example passes with one curriculum and fails with another: it has failed. Rules of one line that mean another
// thing in each are two.
func TestWhatFailsWithOneCurriculumHasFailed(t *testing.T) {
	results := resultsOf(t, "criterion steady = 3 in a row\n", "criterion steady = 1 in a row\n")
	for _, order := range [][]*example.Result{results, {results[1], results[0]}} {
		sum := example.Join(order...)
		require.Equal(t, []int{0, 1}, []int{sum.Passed, sum.Failed})
		require.NotEmpty(t, sum.Cases[0].Failures)
		require.Equal(t, 4, sum.Rules.Total)
		require.Equal(t, 3, sum.Rules.Lines)
	}
}
