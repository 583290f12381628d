package main

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"
)

// Four good ones of five move the dog on, so the plan is at the next step.
func TestItPrintsTheSessionAfterTheMove(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, run(&out, "../first-steps.rung"))
	for _, want := range []string{"okapi", "hand-touch", "15 cm", "nose touches the palm within 2 s"} {
		require.Contains(t, out.String(), want)
	}
}

func TestItSaysWhatIsWrongWithAFileThatIsNotThere(t *testing.T) {
	require.Error(t, run(&bytes.Buffer{}, "no-such.rung"))
}
