package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func demoOutput(t *testing.T, args ...string) string {
	w, stdout, stderr := testWorld("")
	require.Equal(t, exitFine, run(append([]string{"demo"}, args...), w), stderr.String())
	require.Empty(t, stderr.String())
	return stdout.String()
}

func TestTheDemoShowsEveryPartAndNoLineTooLong(t *testing.T) {
	text := demoOutput(t)
	for _, want := range []string{
		"$ rung check house.rung\nhouse.rung: no faults found.", // a sound curriculum
		"= write 4 of last 5", "      |        ^^^^\n", // a faulty one, with carets and a repair
		"\nokapi\n", "advance from", // standing and moves
		"okapi, pivot-left: working", "and it moves on to", // why, and what would move it
		"Session for okapi", "Counts ", "LEFT OUT", // a plan
		"Session for thimble", "NO TRAINING", "veterinarian", // a lock
	} {
		require.Contains(t, text, want)
	}
	for _, line := range strings.Split(text, "\n") {
		require.LessOrEqual(t, columns(line), width, line)
	}
	require.NotContains(t, text, os.TempDir(), "no path of this machine")
}

func TestTheDemoAlwaysPrintsTheSame(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	require.Equal(t, demoOutput(t), demoOutput(t))
}

// What is shown can be typed again in the folder that --out writes, and prints what was shown.
func TestTheDemosCallsCanBeTypedAgain(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	dir := filepath.Join(t.TempDir(), "yard")
	require.Contains(t, demoOutput(t, "--out", dir), "The school's files are in")
	var played struct{ Stages []stage }
	require.NoError(t, json.Unmarshal([]byte(demoOutput(t, "--format", "json")), &played))
	require.Len(t, played.Stages, len(tour()))
	for _, s := range played.Stages {
		cmd := exec.Command("sh", "-c", s.Call+" 2>&1")
		cmd.Dir = dir
		out, _ := cmd.Output()
		require.Equal(t, s.Output, string(out), s.Call)
		require.Equal(t, s.Exit, cmd.ProcessState.ExitCode(), s.Call)
	}
}

func TestTheDemoDoesNotWriteOverAnythingInItsWay(t *testing.T) {
	dir := t.TempDir()
	mine := filepath.Join(dir, "house.rung")
	require.NoError(t, os.WriteFile(mine, []byte("mine"), 0o644))
	w, _, stderr := testWorld("")
	require.Equal(t, exitFailed, run([]string{"demo", "--out", dir}, w))
	require.Contains(t, stderr.String(), "there is something in")
	text, err := os.ReadFile(mine)
	require.NoError(t, err)
	require.True(t, bytes.Equal([]byte("mine"), text))
}

func TestShellLinesBreakBeforeAFlag(t *testing.T) {
	require.Equal(t, "$ rung check a.rung", shellLines("$ rung check a.rung"))
	long := "$ rung plan a.rung --log " + strings.Repeat("l", 30) + " --dogs " + strings.Repeat("d", 30) + " --at x"
	require.Equal(t, "$ rung plan a.rung --log "+strings.Repeat("l", 30)+" \\\n    --dogs "+strings.Repeat("d", 30)+" --at x", shellLines(long))
}
