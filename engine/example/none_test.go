package example_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine"
	"example.com/rung/engine/example"
)

func TestWithoutAProgramThereIsNothingToTry(t *testing.T) {
	for _, p := range []*engine.Program{nil, {}} {
		require.Equal(t, &example.Result{Cases: []example.Case{}}, example.Run(p, example.Options{}))
		require.Empty(t, example.Suggest(p, []example.Unfired{{}}, true))
		require.Empty(t, example.SuggestSides(p, []example.Side{{}}))
		require.Zero(t, example.Doubt(p, example.Options{}, nil).Changes)
	}
}
