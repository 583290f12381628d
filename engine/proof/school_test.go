package proof_test

import (
	"fmt"
	"io/fs"
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/dsl"
	"example.com/rung/engine/proof"
	"example.com/rung/examples"
)

func checked(t testing.TB, name string) []proof.Finding {
	t.Helper()
	c, ds := dsl.ReadFS(examples.Files(), name)
	require.Empty(t, ds.Text())
	return proof.Check(compiled(t, c), proof.Options{})
}

func TestTheSchoolHasNoFinding(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	for _, name := range []string{"common", "attention", "body", "care", "retrieve", "assistance", "house"} {
		t.Run(name, func(t *testing.T) {
			found := checked(t, path.Join("pindrift", name+".rung"))
			require.Empty(t, linesOf(found))
		})
	}
}

func TestTheFirstStepsHaveNoFinding(t *testing.T) {
	require.Empty(t, linesOf(checked(t, examples.FirstSteps)))
}

// The draft is written to be found out: each slip that trainers make on a Friday afternoon, and no other.
func TestTheDraftHasEachOfItsFaultsAndNoOther(t *testing.T) {
	want := []struct {
		line int
		code string
		text string // what stands there
	}{
		{10, "course-too-short", `course lasts 2 weeks, 1 session a week`},
		{26, "over-full", `at most 8 trials, 4 new behaviours, 10 behaviours`},
		{26, "too-much-new", `at most 8 trials, 4 new behaviours, 10 behaviours`},
		{33, "vague", `success "dog is doing it nicely"`},
		{38, "out-of-reach", `advance when 9 of last 10 in this session`},
		{43, "big-jump", `ramp duration 5 s, 15 s, 45 s`},
		{45, "both-at-once", `advance when 3 of last 5`},
		{56, "cues-alike", `cue "map"`},
		{66, "no-chance", `advance when 4 of last 5`},
		{72, "unmeasured", `advance when 8 of last 10 within 1.5 s among { handler == "owner" }`},
		{89, "cues-alike", `cue "toes"`},
		{99, "body-unguarded", `behaviour pivot-left "hind feet walk round"`},
		{99, "one-sided", `behaviour pivot-left "hind feet walk round"`},
		{107, "too-fine", `ramp turn 10 deg, 15 deg, 20 deg`},
		{115, "guessable", `advance when 4 of each 5`},
		{123, "circle", `needs bring at alone`},
		{149, "needs-against-never", `never with drawer-shut until seated`},
		{168, "one-way", `step push`},
		{184, "care-without-stop", `step strokes`},
		{187, "care-hurried", `reward best 60% of last 10 for latency`},
		{200, "long-unpaid", `thin variable ratio 4, 6`},
		{200, "safety-thinned", `thin variable ratio 4, 6`},
		{200, "thin-too-soon", `thin variable ratio 4, 6`},
	}
	found := checked(t, examples.Draft)
	src, err := fs.ReadFile(examples.Files(), examples.Draft)
	require.NoError(t, err)
	lines := strings.Split(string(src), "\n")
	var expected, have []string
	for _, w := range want {
		require.Contains(t, lines[w.line-1], w.text, w.code)
		expected = append(expected, fmt.Sprint(w.line, " ", w.code))
	}
	for _, f := range found {
		have = append(have, fmt.Sprint(f.Pos.Line, " ", f.Code))
	}
	require.Equal(t, expected, have, linesOf(found))
}
