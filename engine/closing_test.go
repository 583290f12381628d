package engine_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
)

func TestWhySaysHowFarASessionIsFromItsShare(t *testing.T) {
	share := func(n int) curriculum.SessionShare {
		return curriculum.SessionShare{Share: curriculum.Percent(80), MinTrials: 5, N: n}
	}
	for name, c := range map[string]struct {
		n     int
		tally string
		want  int
	}{
		"a session that began":           {1, "+ + -", 2},
		"a session that cannot be saved": {1, "- - - - -", 5},
		"a second session":               {2, "+ + + + + | +", 4},
		"two sessions":                   {2, "+", 9},
	} {
		t.Run(name, func(t *testing.T) {
			p := compile(t, house(behaviour("spin", step("follow", rule(curriculum.Advance, share(c.n))), step("next"))))
			d := okapi().tally("spin", c.tally)
			f := fold(t, p, d)
			w, err := f.Why("okapi", "spin", f.Now())
			require.NoError(t, err)
			r := w.Rules[0]
			require.Contains(t, r.Counts[0].Sentence, "asked when the session closes")
			require.NotNil(t, r.Next)
			require.Len(t, r.Next.Trials, c.want, r.Next.Marks)
			at := f.Now()
			for i, n := range r.Next.Trials {
				require.Equal(t, "follow", f.Standing(at.Add(time.Hour)).Dogs[0].Behaviours[0].Step, "not before the end")
				at = at.Add(20 * time.Second)
				if n.NewSession {
					at = at.Add(2 * time.Hour)
				}
				trial := trialOf(n, "n"+string(rune('a'+i)), "okapi", "spin", at)
				require.NoError(t, f.Record(&trial))
			}
			require.Equal(t, "follow", f.Standing(at).Dogs[0].Behaviours[0].Step, "the session is still open")
			closed := f.Standing(at.Add(time.Hour)).Dogs[0].Behaviours[0]
			require.Equal(t, "next", closed.Step)
			require.Equal(t, "n"+string(rune('a'+c.want-1)), closed.Moves[0].Trial)
			require.Equal(t, at, *closed.Moves[0].At)
			require.Equal(t, closed, f.Standing(at.Add(time.Hour)).Dogs[0].Behaviours[0], "an answer closes nothing in the fold")
			require.Equal(t, "follow", f.Standing(at).Dogs[0].Behaviours[0].Step)
		})
	}
}

// A session that is planned closes the one before, for the plan alone; what was stopped stays so while that one may go on.
func TestToPlanASessionClosesTheOneBefore(t *testing.T) {
	p, entries := textual(t, `sign pant ends the session
behaviour spin {
  step one {
    prompt word
    decide each session
    advance when 3 of last 4
    stop today when 1 silent in a row
  }
  step two {
    prompt word
  }
}
`, "okapi 2026-03-02 17:10\nspin: + + + 0\nsign pant by Dov\n")
	f := p.NewFold()
	for i := range entries {
		require.NoError(t, f.Take(&entries[i]))
	}
	for _, c := range []struct {
		after   time.Duration
		stopped bool
	}{{time.Minute, true}, {time.Hour, false}} {
		v := f.Dog("okapi", f.Now().Add(c.after))
		require.Equal(t, 1, v.Behaviours[0].Step, "planned at step two")
		require.Equal(t, "two", v.Standing.Behaviours[0].Step)
		require.Equal(t, c.stopped, v.Behaviours[0].Stopped)
		require.Equal(t, c.stopped, v.SessionEnded)
	}
	require.Equal(t, "one", f.Standing(f.Now()).Dogs[0].Behaviours[0].Step, "to the record it goes on")
}
