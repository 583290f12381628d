package engine_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine"
)

// whyOf folds a tally book of okapi's spin and asks why she stands where she does.
func whyOf(t *testing.T, steps, book string) (*engine.Fold, *engine.Why) {
	t.Helper()
	p, entries := textual(t, "measure turn in deg\nbehaviour spin {\n"+steps+"}\n", "okapi 2026-03-02 17:10\n"+book)
	f := p.NewFold()
	for i := range entries {
		require.NoError(t, f.Take(&entries[i]))
	}
	w, err := f.Why("okapi", "spin", f.Now())
	require.NoError(t, err)
	return f, w
}

func flat(text string) string { return strings.Join(strings.Fields(text), " ") }

func TestWhySaysWhatARuleDoesFromHere(t *testing.T) {
	t.Parallel()
	const ramped = "  step one {\n    prompt word\n    ramp turn 30 deg, 60 deg\n    split when 2 misses in a row\n    advance when 2 in a row\n  }\n"
	for _, c := range []struct{ name, steps, book, trainer, owner string }{
		{"a share that the session has already", "  step one {\n    prompt word\n    advance when 80% of a session of at least 5 trials\n  }\n", "spin: + + + + -\n",
			"no more trials: when the session is over, it is finished", "To go on: nothing more; once the session is over, then it is finished."},
		{"a rule of each session that the session has already", "  step one {\n    prompt word\n    decide each session\n    advance when 2 in a row\n  }\n", "spin: + +\n",
			"no more trials: when the session is over, it is finished", "To go on: nothing more; once the session is over, then it is finished."},
		{"a share that one more makes", "  step one {\n    prompt word\n    advance when 80% of a session of at least 5 trials\n  }\n", "spin: + + + +\n",
			"one more success and, when the session is over, it is finished", "To go on: one more that goes well; once the session is over, then it is finished."},
		{"blocks in a row", "  step one {\n    prompt word\n    advance when 2 of each 3 twice in a row\n  }\n", "spin: + + - +\n",
			"1 of 1 so far in this block, 2 of 3 needed; 2 of 3 in the one before", "To go on: two more that go well, one after the other; then it is finished."},
		{"a block that has just ended", "  step one {\n    prompt word\n    advance when 2 of each 3 twice in a row\n  }\n", "spin: - + +\n",
			"2 of 3 in the block that has just ended, 2 of 3 needed; no block before it", "To go on: three more that go well, one after the other; then it is finished."},
		{"a split without room", ramped, "spin: -\n",
			"one more miss and a senior trainer is asked to look: there is no room to split", "Ask your trainer to look when two go wrong or need help, one after the other."},
		{"a split with room", ramped, "spin: + +\nspin at one: -\n",
			"one more miss and the step is split: go on at a level half-way", "It is cut into smaller pieces after one more that goes wrong."},
		{"a skip rule of a later step", ramped + "  step two {\n    prompt word\n    ramp turn 30 deg, 90 deg\n    skip when 3 of last 4\n  }\n", "spin at two: + -\n",
			"skip when 3 of last 4 (school.rung, line 13) 3 of last 4: 1 of 2 so far, 3 of 4 needed two more in a row run at two turn 30 deg and it leaps to two turn 30 deg",
			"To leap ahead, try at once: two; turn 30 degrees. It takes two more that go well, one after the other."},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, w := whyOf(t, c.steps, c.book)
			require.Contains(t, flat(w.Text()), c.trainer)
			require.Contains(t, flat(w.Words(engine.ForOwner)), c.owner)
		})
	}
}

// What was said of the end of a session and of a leap happens.
func TestTheShortestWayOfASkipAndOfASessionsEndIsTrue(t *testing.T) {
	t.Parallel()
	f, w := whyOf(t, "  step one {\n    prompt word\n    advance when 80% of a session of at least 5 trials\n  }\n", "spin: + + + + +\n")
	require.Empty(t, w.Rules[0].Next.Trials)
	require.True(t, w.Rules[0].Next.Shortest)
	require.Empty(t, f.Standing(f.Now()).Dogs[0].Behaviours[0].Moves)
	require.Len(t, f.Standing(f.Now().Add(30 * time.Minute)).Dogs[0].Behaviours[0].Moves, 1)

	f, w = whyOf(t, "  step one {\n    prompt word\n    flag when 1 misses of last 2\n  }\n  step two {\n    prompt word\n    ramp turn 30 deg, 90 deg\n    skip when 3 of last 4 and after 4 trials\n  }\n", "spin: -\nspin at two: -\n")
	require.Len(t, w.Rules, 2)
	require.Equal(t, "+ + +", w.Rules[1].Next.Marks)
	at := f.Now()
	for i, n := range w.Rules[1].Next.Trials {
		require.Empty(t, f.Standing(at).Dogs[0].Behaviours[0].Moves)
		at = at.Add(20 * time.Second)
		trial := trialOf(n, "n"+string(rune('1'+i)), "okapi", "spin", at)
		require.NoError(t, f.Record(&trial))
	}
	moves := f.Standing(at).Dogs[0].Behaviours[0].Moves
	require.Len(t, moves, 1)
	require.Equal(t, "skip", moves[0].Rule)
	require.Equal(t, engine.Place{Step: "two", Level: map[string]string{"turn": "30 deg"}}, moves[0].To)
}

// Ramps stand in the order in which the author wrote them, not in that of their names.
func TestWhyNamesALevelInTheOrderOfTheText(t *testing.T) {
	_, w := whyOf(t, `
  step proof {
    prompt word
    ramp zigzag none, some
    ramp duration 2 s, 5 s
    ramp distance 0 m, 1 m
    raise one at a time
    advance when 1 of last 1
    ease when 1 miss of last 1
  }
`, "spin: + + + -\n")
	text := flat(w.Text())
	require.Contains(t, text, "at proof zigzag some, duration 5 s, distance 0 m")
	require.Contains(t, text, "last move: ease to proof zigzag some, duration 5 s, distance 0 m")
	owner := flat(w.Words(engine.ForOwner))
	require.Contains(t, owner, "Now: proof; zigzag some, duration 5 s, distance 0 m")
	require.Contains(t, owner, "then back to: zigzag some, duration 2 s, distance 0 m")
}
