package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// The logs in the tree are what the generator makes, byte for byte. Where this fails after a change of the curriculum,
// the engine or the generator that was meant: go run ./examples/pindrift/generate
func TestTheLogsInTheTreeAreWhatTheGeneratorMakes(t *testing.T) {
	logs, err := generate("..")
	require.NoError(t, err)
	require.Len(t, logs, 6)
	total := 0
	for _, l := range logs {
		t.Run(l.name, func(t *testing.T) {
			have, err := os.ReadFile(filepath.Join("..", "logs", l.name))
			require.NoError(t, err)
			require.Equal(t, string(l.data), string(have))
			require.Greater(t, l.lines, 100, "too short to show anything")
			require.Less(t, l.lines, 1600, "too long for a demo")
		})
		total += len(l.data)
	}
	require.Less(t, total, 1<<20, "the demo is to stay under a megabyte")
}
