package proof

import (
	"fmt"
	"math/big"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/internal/naive/cases"
)

func subjectOf(t testing.TB, text string) *subject {
	t.Helper()
	c, ds := dsl.ReadString("a.rung", text)
	require.Empty(t, ds.Text(), text)
	p, err := engine.Compile(c)
	require.NoError(t, err)
	return &subject{program: p, c: c}
}

// perfect is how many sessions a dog that never makes a mistake needs for the first behaviour, by the real engine:
// sessions as often as the course has them, each as long as its limit of trials.
func perfect(t *testing.T, s *subject, trials int) int {
	t.Helper()
	f := s.program.NewFold()
	b := s.c.Behaviours[0]
	gap := 7 * 24 * time.Hour / time.Duration(s.c.Course.Sessions)
	start := time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)
	n := 0
	for session := 1; session <= 400; session++ {
		at := start.Add(time.Duration(session-1) * gap)
		for range trials {
			n++
			require.NoError(t, f.Record(&curriculum.Trial{ID: fmt.Sprint(n), Dog: "okapi", Behaviour: b.Name, At: at, Session: fmt.Sprint(session), Outcome: curriculum.Success}))
			at = at.Add(10 * time.Second)
			if f.Dog("okapi", at).Behaviours[0].State == curriculum.Kept {
				return session
			}
		}
		if f.Dog("okapi", at.Add(time.Hour)).Behaviours[0].State == curriculum.Kept { // a rule that is looked at when the session closes
			return session
		}
	}
	t.Fatal("never kept")
	return 0
}

func TestTheFewestSessionsAreThoseOfAPerfectDog(t *testing.T) {
	for _, c := range []struct {
		rules  []string
		week   int // sessions a week
		trials int // a session
		want   int
	}{
		{[]string{"4 of last 5"}, 1, 10, 1},
		{[]string{"4 of last 5", "4 of last 5", "4 of last 5"}, 1, 4, 3},
		{[]string{"4 of last 5 in 3 days"}, 1, 10, 3},
		{[]string{"4 of last 5 in 3 days"}, 3, 10, 3},
		{[]string{"4 of last 5 in 2 sessions", "4 of last 5 in 2 sessions"}, 2, 10, 3},
		{[]string{"8 of each 10 twice in a row and after 1 day"}, 1, 30, 2},
		{[]string{"8 of each 10 twice in a row and after 1 day"}, 1, 8, 3},
		{[]string{"after 15 days and 4 of last 5"}, 1, 10, 4},
		{[]string{"80% of a session of at least 5 trials in 2 sessions in a row"}, 1, 10, 2},
		{[]string{"4 of last 5 or done 12 times"}, 1, 6, 1},
	} {
		text := fmt.Sprintf("rung 1\ncurriculum \"x\" {\n  course lasts 50 weeks, %d sessions a week\n}\nsession {\n  at most %d trials\n}\nbehaviour settle {\n", c.week, c.trials)
		for i, r := range c.rules {
			text += fmt.Sprintf("  step s%d {\n    advance when %s\n  }\n", i, r)
		}
		s := subjectOf(t, text+"}\n")
		k := &calendar{s: s, perDay: big.NewRat(int64(c.week), 7), memo: map[stage]way{}}
		got := k.upTo(s.c.Behaviours[0], len(c.rules)).sessions
		require.Equal(t, c.want, got, "%v", c.rules)
		real := perfect(t, s, c.trials)
		require.LessOrEqual(t, got, real, "%v: no dog can be faster than the bound", c.rules)
		require.LessOrEqual(t, real, got+1, "%v: the bound is near", c.rules)
	}
}

// No rule of a random curriculum ever made a move after fewer trials than fewest says.
func TestNoRuleHoldsAfterFewerTrialsThanTheFewest(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	on := map[cases.Feature]bool{}
	for _, f := range cases.All {
		on[f] = true
	}
	moves := 0
	for seed := range uint64(500) {
		c := cases.Make(seed, on)
		p, err := engine.Compile(c.Curriculum)
		require.NoError(t, err)
		rules := map[int]*curriculum.Rule{}
		for _, b := range c.Curriculum.Behaviours {
			for _, st := range b.Steps {
				for i := range st.Rules {
					rules[st.Rules[i].Pos.Line] = &st.Rules[i]
				}
			}
		}
		f := p.NewFold(c.Dogs...)
		since := map[[2]string]int{} // trials of a dog's behaviour since its last move
		seen := map[[2]string]int{}  // its moves
		for i := range c.Entries {
			e := &c.Entries[i]
			if e.IsEvent {
				_ = f.Note(&e.Event)
			} else if tr := &e.Trial; f.Record(tr) == nil {
				if b := c.Curriculum.Behaviour(tr.Behaviour); b != nil { // by a former name too
					since[[2]string{tr.Dog, b.Name}]++
				}
			}
			for _, d := range f.Standing(e.At()).Dogs {
				for _, b := range d.Behaviours {
					k := [2]string{d.Dog, b.Behaviour}
					n := len(b.Moves)
					if n <= seen[k] { // fewer, where the answer before closed a session that the record did not
						continue
					}
					if m := b.Moves[n-1]; n == seen[k]+1 && rules[m.Line] != nil && (m.Rule == "advance" || m.Rule == "ease") {
						require.GreaterOrEqual(t, since[k], fewest(rules[m.Line].When), "seed %d: %s", seed, curriculum.CriterionText(rules[m.Line].When))
						moves++
					}
					seen[k], since[k] = n, 1 // the trial that closed a session belongs to the new level
				}
			}
		}
	}
	require.Greater(t, moves, 300, "the cases are to make moves")
}

func TestASkipShortensTheWay(t *testing.T) {
	long := func(skip string) string {
		return "rung 1\ncurriculum \"x\" {\n  course lasts 50 weeks, 1 session a week\n}\nbehaviour settle {\n" +
			"  step slow {\n    advance when 4 of last 5 in 9 days\n  }\n  step last-one {\n    advance when 4 of last 5 in 2 days\n" + skip + "  }\n}\n"
	}
	for skip, want := range map[string]int{"": 10, "    skip when 5 in a row\n": 2} {
		s := subjectOf(t, long(skip))
		k := &calendar{s: s, perDay: big.NewRat(1, 7), memo: map[stage]way{}}
		require.Equal(t, want, k.upTo(s.c.Behaviours[0], 2).sessions)
	}
}

// A limit in one step only says nothing about the trials of the others.
func TestStepsWithoutALimitAreNotCounted(t *testing.T) {
	s := subjectOf(t, "rung 1\ncurriculum \"x\" {\n  course lasts 50 weeks, 1 session a week\n}\nbehaviour settle {\n"+
		"  step a {\n    advance when 40 in a row\n  }\n  step b {\n    at most 4 trials a session\n    advance when 4 in a row\n  }\n}\n")
	k := &calendar{s: s, perDay: big.NewRat(1, 7), memo: map[stage]way{}}
	require.Equal(t, 1, k.upTo(s.c.Behaviours[0], 2).sessions)
}
