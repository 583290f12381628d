package dsl

import (
	"os"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestManyMayReadAtOnce(t *testing.T) {
	src, err := os.ReadFile("testdata/faults/spelled.rung")
	require.NoError(t, err)
	good, err := os.ReadFile("testdata/yard.rung")
	require.NoError(t, err)
	texts, tidied := make([]string, 8), make([]string, 8)
	var wait sync.WaitGroup
	for i := range texts {
		wait.Go(func() {
			_, ds := Parse("spelled.rung", src)
			texts[i] = ds.Text()
			out, _ := Tidy("yard.rung", good)
			tidied[i] = string(out)
		})
	}
	wait.Wait()
	for i := range texts {
		require.Equal(t, texts[0], texts[i])
		require.Equal(t, string(good), tidied[i], "the test curriculum is tidy")
	}
}
