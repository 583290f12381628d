package proof

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
)

// What is said of rules that others always come before is held against every history of a few trials, played through the
// engine: the slow reading beside the machines.

// played is one history as the engine saw it: by trial, the lines of the rules that moved or were noted, and its session.
type played struct {
	lines   [][]int
	session []int
}

// playAll plays every history of so many marks of + - and | in the first behaviour of a curriculum.
func playAll(t *testing.T, c *curriculum.Curriculum, marks int) []played {
	t.Helper()
	program, err := engine.Compile(c)
	require.NoError(t, err)
	var out []played
	for n, all := 0, pow(3, marks); n < all; n++ {
		f := program.NewFold()
		at := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
		var p played
		session := 0
		for k, rest := 0, n; k < marks; k, rest = k+1, rest/3 {
			outcome := curriculum.Success
			switch rest % 3 {
			case 1:
				outcome = curriculum.Wrong
			case 2:
				session++
				at = at.Add(time.Hour)
				continue
			}
			at = at.Add(time.Second)
			require.NoError(t, f.Record(&curriculum.Trial{ID: fmt.Sprint("t", len(p.session)), Dog: "okapi", Behaviour: c.Behaviours[0].Name, At: at, Session: fmt.Sprint("s", session), Outcome: outcome}))
			p.lines, p.session = append(p.lines, nil), append(p.session, session)
		}
		if len(p.session) == 0 {
			continue
		}
		b := f.Standing(f.Now()).Dogs[0].Behaviours[0]
		for _, x := range b.Moves {
			p.lines[number(x.Trial)] = append(p.lines[number(x.Trial)], x.Line)
		}
		for _, x := range b.Noted {
			p.lines[number(x.Trial)] = append(p.lines[number(x.Trial)], x.Line)
		}
		out = append(out, p)
	}
	return out
}

func pow(a, n int) int {
	out := 1
	for range n {
		out *= a
	}
	return out
}

// heldBefore reports whether one of some rules moved or was noted in the session of a trial before it (or at it).
func (p *played) heldBefore(trial int, lines []int, orAt bool) bool {
	for k := trial; k >= 0 && p.session[k] == p.session[trial]; k-- {
		if (k < trial || orAt) && slices.ContainsFunc(p.lines[k], func(l int) bool { return slices.Contains(lines, l) }) {
			return true
		}
	}
	return false
}

// alone reports whether a rule of some line ever has its turn where nothing of others came before.
func alone(all []played, line int, others []int, orAt bool) bool {
	return slices.ContainsFunc(all, func(p played) bool {
		for k := range p.lines {
			if slices.Contains(p.lines[k], line) && !p.heldBefore(k, others, orAt) {
				return true
			}
		}
		return false
	})
}

// pick takes n different ones of a list.
func pick(rnd *rand.Rand, of []string, n int) []string {
	of = slices.Clone(of)
	rnd.Shuffle(len(of), func(i, j int) { of[i], of[j] = of[j], of[i] })
	return of[:n]
}

// idleIn are the lines of rules that are said to be idle beside others, in the last step of a text, and the lines of its
// rules of one word.
func idleIn(t *testing.T, text string, word curriculum.RuleWord) (c *curriculum.Curriculum, idle, lines []int) {
	t.Helper()
	c, ds := dsl.ReadString("a.rung", text)
	require.Empty(t, ds.Text(), text)
	s := &subject{c: c}
	rungs := s.rungs()
	r := rungs[len(rungs)-1]
	j := &judge{x: &machinery{c: c, budget: DefaultStates, made: map[string]*machines{}}, rung: r}
	require.NoError(t, j.rules())
	for _, v := range j.found {
		if v.beside {
			_, err := (player{r, c}).show(v)
			require.NoError(t, err, text)
			idle = append(idle, r.stay.Rules[v.rule].Pos.Line)
		}
	}
	for _, x := range r.stay.Rules {
		if x.Word == word {
			lines = append(lines, x.Pos.Line)
		}
	}
	return c, idle, lines
}

// smallCounts tell successes and misses apart, and no more.
var smallCounts = []string{
	"2 misses in a row", "3 misses in a row", "2 misses of last 3", "3 misses of last 4", "2 in a row", "2 of last 3", "3 of last 3",
	"2 misses in this session", "3 misses in this session", "2 misses of each 3", "at most 1 misses of last 3", "2 in a row or 2 misses in a row", "2 misses in a row and 3 misses in this session",
}

func oneStep(rules string) string {
	return "rung 1\nbehaviour settle {\n  step go {\n" + rules + "  }\n}\n"
}

func TestAStopIsIdleWhereOthersHaveAlwaysEndedTheDay(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 1))
	found := 0
	for range 40 {
		text := oneStep("    stop today when " + strings.Join(pick(rnd, smallCounts, 2+rnd.IntN(2)), "\n    stop today when ") + "\n")
		c, idle, stops := idleIn(t, text, curriculum.StopToday)
		found += len(idle)
		all := playAll(t, c, 7)
		for _, line := range stops {
			require.Equal(t, slices.Contains(idle, line), !alone(all, line, except(stops, append(idle, line)...), true), "line %d of\n%s", line, text)
		}
	}
	require.Greater(t, found, 10)
}

// The step before has no stop, so what came there in the same session was not stopped.
func TestAStopThatTheEvidenceOfAnotherStepBringsIsNotIdle(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 2))
	found := 0
	for range 40 {
		text := "rung 1\nbehaviour settle {\n  step near {\n    advance when done " + fmt.Sprint(1+rnd.IntN(3)) + " times\n  }\n" +
			strings.TrimPrefix(oneStep("    stop today when "+strings.Join(pick(rnd, smallCounts, 2+rnd.IntN(2)), "\n    stop today when ")+"\n"), "rung 1\nbehaviour settle {\n")
		c, idle, stops := idleIn(t, text, curriculum.StopToday)
		found += len(idle)
		all := playAll(t, c, 7)
		for _, line := range idle {
			require.False(t, alone(all, line, except(stops, append(idle, line)...), true), "line %d of\n%s", line, text)
		}
	}
	require.Greater(t, found, 5)
}

func TestWhatCountsInASessionIsIdleWhereStopsHaveAlwaysEndedIt(t *testing.T) {
	counts := []string{"2 misses in this session", "3 misses in this session", "2 in a row in this session", "3 in a row in this session", "3 misses in a row in this session", "2 misses of last 3 in this session"}
	growing := []string{"1 misses in a row", "2 misses in a row", "2 misses in this session", "2 in a row", "2 misses of last 3"}
	rnd := rand.New(rand.NewPCG(5, 3))
	found := 0
	for range 40 {
		word := []curriculum.RuleWord{curriculum.Advance, curriculum.Ease, curriculum.Flag}[rnd.IntN(3)]
		text := oneStep(fmt.Sprintf("    %s when %s\n    stop today when %s\n", word, pick(rnd, counts, 1)[0], pick(rnd, growing, 1)[0]))
		c, idle, stops := idleIn(t, text, curriculum.StopToday)
		found += len(idle)
		line := c.Behaviours[0].Steps[0].Rules[0].Pos.Line
		require.Equal(t, len(idle) > 0, !alone(playAll(t, c, 7), line, stops, false), text)
	}
	require.Greater(t, found, 10)
}

func TestAFlagIsIdleWhereAnotherAlwaysBeginsWithIt(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 4))
	flags := append(slices.Clone(smallCounts), "3 misses of last 3", "2 of last 2", "after 3 trials", "2 misses in a row and after 2 trials", "3 misses of last 3 or 3 of last 3")
	found := 0
	for range 60 {
		text := oneStep("    flag when " + strings.Join(pick(rnd, flags, 2+rnd.IntN(2)), "\n    flag when ") + "\n")
		c, idle, lines := idleIn(t, text, curriculum.Flag)
		found += len(idle)
		all := playAll(t, c, 7)
		for _, line := range lines {
			others := except(lines, append(idle, line)...)
			single := slices.ContainsFunc(all, func(p played) bool {
				return slices.ContainsFunc(p.lines, func(at []int) bool {
					return slices.Contains(at, line) && !slices.ContainsFunc(others, func(o int) bool { return slices.Contains(at, o) })
				})
			})
			require.Equal(t, slices.Contains(idle, line), !single, "line %d of\n%s", line, text)
		}
	}
	require.Positive(t, found)
}
