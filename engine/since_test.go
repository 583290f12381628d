package engine_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

func nearAndFurther() *curriculum.Curriculum {
	rules := []curriculum.Rule{rule(curriculum.Advance, streak(3)), rule(curriculum.Ease, curriculum.Window{K: 2, N: 2, InARow: true, Count: curriculum.Misses})}
	return house(behaviour("touch", step("near", rules...), step("further", rules...), step("far", rules...)))
}

func standingOf(t *testing.T, p *engine.Program, entries []curriculum.Entry) *engine.Standing {
	f := p.Replay(entries, time.Time{})
	return f.Standing(f.Now())
}

// Taking the moves of the earlier standing and doing to them what the changes say gives the moves of the later one.
func TestTheChangesLeadFromOneStandingToTheOther(t *testing.T) {
	p := compile(t, nearAndFurther())
	rapid.Check(t, func(rt *rapid.T) {
		d := &diary{dog: "okapi", at: monday}
		marks := rapid.StringMatching(`([+\-0hx|D]){1,60}`).Draw(rt, "marks")
		d.tally("touch", marks)
		left := rapid.SliceOfN(rapid.Bool(), len(d.list), len(d.list)).Draw(rt, "late")
		var part []curriculum.Entry
		for i := range d.list {
			if !left[i] {
				part = append(part, d.list[i])
			}
		}
		then, now := standingOf(t, p, part), standingOf(t, p, d.list)
		ch, err := engine.Since(then, now)
		require.NoError(rt, err)
		if len(part) == 0 {
			return // the dog was not known
		}
		count := map[string]int{}
		name := func(m *engine.Move) string { return fmt.Sprint(m.Trial, m.Rule, m.From, m.To, m.Because, m.Trials) }
		for i := range then.Dogs[0].Behaviours[0].Moves {
			count[name(&then.Dogs[0].Behaviours[0].Moves[i])]++
		}
		for _, dog := range ch.Dogs {
			for _, b := range dog.Behaviours {
				for i, m := range b.Moves {
					require.Equal(rt, m.Kind != engine.MoveNew, m.Then != nil)
					require.Equal(rt, m.Kind != engine.MoveGone, m.Now != nil)
					if m.Then != nil {
						count[name(m.Then)]--
					}
					if m.Now != nil {
						count[name(m.Now)]++
					}
					require.Equal(rt, m.Kind == engine.MoveNew && m.Now.At.After(then.At), m.Later)
					if i > 0 {
						require.False(rt, when(m).Before(when(b.Moves[i-1])), "in the order of time")
					}
				}
			}
		}
		for i := range now.Dogs[0].Behaviours[0].Moves {
			count[name(&now.Dogs[0].Behaviours[0].Moves[i])]--
		}
		for k, n := range count {
			require.Zero(rt, n, k)
		}
		same, err := engine.Since(now, now)
		require.NoError(rt, err)
		require.Empty(rt, same.Dogs)
	})
}

func when(m engine.MoveChange) time.Time {
	if m.Now != nil {
		return *m.Now.At
	}
	return *m.Then.At
}

func TestStandingsOfTwoCurriculaAreNotCompared(t *testing.T) {
	_, err := engine.Since(compile(t, nearAndFurther()).NewFold().Standing(monday), compile(t, house(behaviour("touch", step("near")))).NewFold().Standing(monday))
	require.ErrorIs(t, err, engine.ErrOtherCurriculum)
}

func TestLocksThatCameAndWentAreChanges(t *testing.T) {
	p := compile(t, nearAndFurther())
	f := p.NewFold()
	quiet := func(name string) *engine.Standing {
		require.NoError(t, f.Note(&curriculum.Event{Dog: "okapi", At: monday, Kind: curriculum.EventKind(name), Sign: "growl", By: "Halla"}))
		return f.Standing(monday)
	}
	locked := quiet("sign")
	open := quiet("clear")
	ch, err := engine.Since(locked, open)
	require.NoError(t, err)
	require.Len(t, ch.Dogs, 1)
	require.Equal(t, "growl", ch.Dogs[0].Cleared[0].Sign)
	ch, err = engine.Since(open, locked)
	require.NoError(t, err)
	require.Equal(t, "growl", ch.Dogs[0].Locked[0].Sign)
}
