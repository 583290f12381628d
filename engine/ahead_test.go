package engine_test

import (
	"bytes"
	"fmt"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/internal/naive/cases"
)

func TestAheadCountsDownToTheNextMove(t *testing.T) {
	t.Parallel()
	const two = "  step two {\n    prompt word\n    advance when 3 in a row\n  }\n"
	for _, c := range []struct {
		name, rule, book string
		more             int // -1 where nothing can be said
	}{
		{"nothing yet", "4 of last 5", "", 4},
		{"three of four", "4 of last 5", "spin: + + - +\n", 1},
		{"a miss has just come in", "4 of last 5", "spin: + + - -\n", 4},
		{"a run begins anew", "3 in a row", "spin: + + -\n", 3},
		{"the easier of two rules", "10 in a row\n    advance when 4 of last 5", "spin: + +\n", 2},
		{"a rule that waits for the dog", "3 in a row and { dog.age_months >= 12 }", "spin: + +\n", -1},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, entries := textual(t, "behaviour spin {\n  step one {\n    prompt word\n    advance when "+c.rule+"\n  }\n"+two+"}\n", "okapi 2026-03-02 17:10\n"+c.book)
			f := p.NewFold()
			for i := range entries {
				require.NoError(t, f.Take(&entries[i]))
			}
			if len(entries) == 0 {
				require.NoError(t, f.Note(takenNote("okapi", time.Date(2026, 3, 2, 17, 10, 0, 0, time.UTC))))
			}
			now := f.Now().Add(time.Minute)
			n, err := f.Ahead("okapi", "spin", now)
			require.NoError(t, err)
			toMove := f.Dog("okapi", now).Behaviours[0].ToMove
			if c.more < 0 {
				require.Nil(t, n)
				require.Equal(t, 1, toMove, "of the trials alone")
				return
			}
			require.Equal(t, c.more, toMove)
			require.Len(t, n.Trials, c.more)
			for i, next := range n.Trials { // so many move it, and one fewer does not
				require.Equal(t, "+", next.Mark)
				require.Equal(t, "one", placeOf(f, now), "before trial %d", i+1)
				require.NoError(t, f.Record(&curriculum.Trial{Dog: "okapi", Behaviour: "spin", At: now.Add(time.Duration(i) * time.Second), Outcome: curriculum.Success}))
			}
			require.Equal(t, "two", placeOf(f, now.Add(time.Hour)))
		})
	}
	p, _ := textual(t, "behaviour spin {\n"+two+"}\n", "okapi 2026-03-02 17:10\n")
	_, err := p.NewFold().Ahead("nobody", "spin", time.Now())
	require.ErrorAs(t, err, new(*engine.UnknownName))
}

// The view of a planner says without a search how many trials are missing: never more than the shortest run has, and of
// plain counts as many.
func TestWhatIsMissingIsNoMoreThanTheShortestRun(t *testing.T) {
	if testing.Short() {
		t.Skip("long: it looks for the shortest runs")
	}
	var same, all atomic.Int64
	eachProgram(t, 20, func(p *engine.Program, c *cases.Case) error {
		f := p.NewFold(c.Dogs...)
		for i := range c.Entries {
			_ = f.Take(&c.Entries[i])
		}
		now := c.Now.Add(time.Hour) // no session is open
		for _, d := range f.Standing(now).Dogs {
			v := f.Dog(d.Dog, now)
			for i := range v.Behaviours {
				b := &v.Behaviours[i]
				if b.Away != "" {
					continue // no run is looked for there
				}
				n, err := f.Ahead(d.Dog, b.Behaviour.Name, now)
				if err != nil {
					return err
				}
				if n == nil || len(n.Trials) == 0 {
					continue
				}
				if b.ToMove < 1 || b.ToMove > len(n.Trials) {
					return fmt.Errorf("%s, %s: %d missing, and %s moves it on", d.Dog, b.Behaviour.Name, b.ToMove, n.Marks)
				}
				if all.Add(1); b.ToMove == len(n.Trials) {
					same.Add(1)
				}
			}
		}
		return nil
	})
	t.Logf("%d runs, %d of them as long as what is missing", all.Load(), same.Load())
	require.Greater(t, same.Load(), all.Load()/2)
}

// A card is read in a field: what a rule asks of the dog's profile is no formula there.
func TestACardPutsTheProfileInWords(t *testing.T) {
	t.Parallel()
	for rule, want := range map[string]string{
		"3 in a row and { dog.age_months >= 12 }":                          "3 in a row and the dog at least 12 months old",
		"3 in a row and { dog.weight_kg <= 30 and not dog.neutered }":      "3 in a row and the dog at most 30 kg and not neutered",
		"3 in a row and { turn >= 45 }":                                    "3 in a row and { turn >= 45 }",
		"3 in a row and { dog.age_months >= 12 or dog.age_months < 4 }":    "3 in a row and { dog.age_months >= 12 or dog.age_months < 4 }",
		"{ dog.age_weeks > 20 } and (3 in a row or { dog.weight_kg > 8 })": "the dog more than 20 weeks old and (3 in a row or the dog more than 8 kg)",
	} {
		p, _ := textual(t, "measure turn in deg\nbehaviour spin {\n  step one {\n    prompt word\n    advance when "+rule+"\n  }\n}\n", "okapi 2026-03-02 17:10\n")
		f := p.NewFold()
		at := time.Date(2026, 3, 2, 17, 10, 0, 0, time.UTC)
		require.NoError(t, f.Note(takenNote("okapi", at)))
		require.Equal(t, want, f.Dog("okapi", at).Behaviours[0].Card.Advance[0].Text)
	}
}

func takenNote(dog string, at time.Time) *curriculum.Event {
	return &curriculum.Event{Dog: dog, At: at, Kind: curriculum.NoteTaken}
}

// placeOf is the step at which okapi's spin stands.
func placeOf(f *engine.Fold, now time.Time) string {
	return f.Standing(now).Dogs[0].Behaviours[0].Step
}

// A question changes nothing, also where other behaviours were worked in the session that is over by then.
func TestAskingWhyLeavesTheHistoryAsItIs(t *testing.T) {
	t.Parallel()
	one := "{\n  step one {\n    prompt word\n    advance when 4 of last 5\n    ease when 2 misses in a row\n  }\n}\n"
	for _, later := range []time.Duration{time.Minute, 24 * time.Hour} {
		p, entries := textual(t, "behaviour spin "+one+"behaviour settle "+one, "okapi 2026-03-02 17:10\nspin: + +\nsettle: + -\n")
		f := p.NewFold()
		for i := range entries {
			require.NoError(t, f.Take(&entries[i]))
		}
		var before, after bytes.Buffer
		require.NoError(t, f.Save(&before))
		for _, name := range []string{"spin", "settle"} {
			_, err := f.Why("okapi", name, f.Now().Add(later))
			require.NoError(t, err)
			_, err = f.Ahead("okapi", name, f.Now().Add(later))
			require.NoError(t, err)
		}
		require.NoError(t, f.Save(&after))
		require.Equal(t, before.String(), after.String(), "asked %v later", later)
	}
}
