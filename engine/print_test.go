package engine_test

import (
	"bytes"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine"
)

func TestAHistorysFingerprintTellsHistoriesApart(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 1))
	p, err := engine.Compile(anyHouse(r))
	require.NoError(t, err)
	d := anyDiary(r, 40)
	f := p.NewFold()
	require.Empty(t, f.HistoryPrint(d.dog), "a dog without lines")
	seen := map[string]bool{}
	for i := range d.list {
		require.NoError(t, f.Take(&d.list[i]))
		print := f.HistoryPrint(d.dog)
		require.Regexp(t, `^[0-9a-f]{8}$`, print)
		require.False(t, seen[print], "line %d changes nothing", i)
		seen[print] = true
		require.Equal(t, print, f.HistoryPrint(d.dog), "asking changes nothing")
		again, err := p.Resume(bytes.NewReader(saved(t, f)))
		require.NoError(t, err)
		require.Equal(t, print, again.HistoryPrint(d.dog), "the same after a save")
	}
}
