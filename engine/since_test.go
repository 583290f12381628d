package engine_test

import (
	"fmt"
	"strings"
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
		ch, err := p.Since(then, now)
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
		same, err := p.Since(now, now)
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
	p := compile(t, house(behaviour("touch", step("near"))))
	_, err := p.Since(compile(t, nearAndFurther()).NewFold().Standing(monday), p.NewFold().Standing(monday))
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
	ch, err := p.Since(locked, open)
	require.NoError(t, err)
	require.Len(t, ch.Dogs, 1)
	require.Equal(t, "growl", ch.Dogs[0].Cleared[0].Sign)
	ch, err = p.Since(open, locked)
	require.NoError(t, err)
	require.Equal(t, "growl", ch.Dogs[0].Locked[0].Sign)
}

func TestWhatIsOnlySpelledOtherwiseOrRenamedIsNoChange(t *testing.T) {
	before := `
behaviour whirl {
  step begin {
    prompt word
    ramp   duration 60 s, 90 s
    advance when 3 in a row
    flag    when 2 misses in a row
  }
  step go-on {
    prompt word
    advance when 3 in a row
    ease    to begin when 2 misses in a row
  }
}
behaviour settle {
  needs whirl at go-on
  step lie {
    prompt word
  }
}
`
	after := strings.NewReplacer("60 s, 90 s", "1 min, 1.5 min", "3 in a row", "3 of last 3", "whirl {", "spin {\n  formerly whirl",
		"step begin {", "step opening {\n    formerly begin", "to begin", "to opening", "needs whirl", "needs spin").Replace(before)
	tally := "okapi 2026-03-02 17:10 yard Halla\nwhirl: + + + - - + + + - - + + +\n"
	old, entries := textual(t, before, tally)
	p, _ := textual(t, after, "")
	require.NotEqual(t, old.Fingerprint(), p.Fingerprint())
	then := old.Replay(entries, time.Time{}).Standing(monday)
	now := p.Replay(entries, time.Time{}).Standing(monday)
	require.NotEmpty(t, now.Dogs[0].Behaviours[0].Moves)
	require.NotEmpty(t, now.Dogs[0].Behaviours[0].Noted)
	changes, err := p.Since(then, now)
	require.NoError(t, err)
	require.Empty(t, changes.Dogs)
	again, err := p.Since(now, now)
	require.NoError(t, err)
	require.Empty(t, again.Dogs)

	// what did change bears the present names
	late := p.Replay(entries[:len(entries)-1], time.Time{}).Standing(monday)
	changes, err = p.Since(then, late)
	require.NoError(t, err)
	require.Equal(t, "spin", changes.Dogs[0].Behaviours[0].Behaviour)
	gone := changes.Dogs[0].Behaviours[0].Moves[0]
	require.Equal(t, engine.MoveGone, gone.Kind)
	require.Equal(t, "opening", gone.Then.From.Step)

	other, _ := textual(t, strings.Replace(after, "1.5 min", "2 min", 1), "")
	_, err = other.Since(then, other.NewFold().Standing(monday))
	require.ErrorIs(t, err, engine.ErrOtherCurriculum)
}
