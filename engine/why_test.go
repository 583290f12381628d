package engine_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// trialOf is a continuation's trial as a trainer would record it.
func trialOf(n engine.NextTrial, id, dog, behaviour string, at time.Time) curriculum.Trial {
	t := curriculum.Trial{ID: id, Dog: dog, Behaviour: behaviour, At: at, Place: n.Place, Handler: n.Handler, Step: n.Step}
	for of, text := range n.Level {
		v, _ := curriculum.ParseLevelValue(of, text)
		t.Level = append(t.Level, curriculum.NamedValue{Of: of, LevelValue: v})
	}
	switch n.Mark {
	case "+":
		t.Outcome = curriculum.Success
	case "-":
		t.Outcome = curriculum.Wrong
	case "0":
		t.Outcome = curriculum.Silent
	case "h", "e":
		t.Outcome, t.Help, t.Early = curriculum.Success, []string{curriculum.UnnamedHelp}, n.Mark == "e"
	case "o!":
		t.Outcome = curriculum.OptOut
	}
	for name, v := range n.Measures {
		t.Measures = append(t.Measures, curriculum.MeasureValue{Name: name, Value: v})
	}
	if n.Rewarded != nil {
		t.Rewarded = curriculum.No
		if *n.Rewarded {
			t.Rewarded = curriculum.Yes
		}
	}
	return t
}

// fires replays a continuation through Record and requires the rule to fire at its end and nothing to move before.
func fires(t *testing.T, p *engine.Program, d *diary, r engine.RuleWhy) {
	t.Helper()
	f := p.NewFold()
	for i := range d.list {
		require.NoError(t, f.Take(&d.list[i]))
	}
	before := f.Standing(f.Now()).Dogs[0].Behaviours[0]
	at := f.Now()
	for i, n := range r.Next.Trials {
		at = at.Add(20 * time.Second)
		if n.NextDay {
			at = at.Add(24 * time.Hour)
		} else if n.NewSession {
			at = at.Add(2 * time.Hour)
		}
		trial := trialOf(n, fmt.Sprintf("n%d", i+1), d.dog, before.Behaviour, at)
		require.NoError(t, f.Record(&trial))
		now := f.Standing(at).Dogs[0].Behaviours[0]
		firedNow := ""
		for _, m := range now.Moves[len(before.Moves):] {
			require.Equal(t, len(r.Next.Trials), i+1, "moved before the end of %s by %s", r.Next.Marks, m.Rule)
			if m.Line == r.Line {
				firedNow = m.Trial
			}
		}
		for _, m := range now.Noted[len(before.Noted):] {
			if m.Line == r.Line {
				require.Equal(t, len(r.Next.Trials), i+1, "noted before the end of %s", r.Next.Marks)
				firedNow = m.Trial
			}
		}
		if i+1 == len(r.Next.Trials) {
			require.Equal(t, trial.ID, firedNow, "%s does not fire %s when %s after %d trials", r.Next.Marks, r.Rule, r.Criterion, len(d.list))
		}
	}
}

// anyCriterion is a random criterion of the kinds a rule of that word may hold.
func anyCriterion(r *rand.Rand, depth int) curriculum.Criterion {
	latency := curriculum.Q(2, curriculum.Second)
	switch n := 1 + r.IntN(5); r.IntN(17) {
	case 0, 1, 2:
		return last(1+r.IntN(n), n)
	case 3, 4:
		return missesOf(1+r.IntN(n), n)
	case 5:
		return streak(n)
	case 6:
		return curriculum.Window{K: 1 + r.IntN(n), N: n, Each: true, Twice: r.IntN(3) == 0}
	case 7:
		return curriculum.Window{K: r.IntN(n), N: n, AtMost: true, Count: curriculum.WrongOnes}
	case 8:
		return curriculum.InSessionCount{N: n, Count: curriculum.OptOuts}
	case 9:
		return curriculum.Done{N: n}
	case 10:
		return curriculum.After{N: n, Unit: curriculum.AfterUnit(r.IntN(3))}
	case 11:
		return curriculum.InSession{Is: last(1+r.IntN(n), n)}
	case 12:
		return curriculum.Window{K: 1 + r.IntN(n), N: n, Qualify: curriculum.Qualifiers{Within: &latency}}
	case 13:
		return curriculum.Window{K: 1 + r.IntN(n), N: n, Qualify: curriculum.Qualifiers{Among: &curriculum.Expression{Text: `place == "yard"`}}}
	case 14:
		return curriculum.Window{K: 1 + r.IntN(n), N: n, Qualify: curriculum.Qualifiers{Where: &curriculum.Expression{Text: `turn >= 45 and handler != "owner"`}}}
	case 15:
		return curriculum.Repeated{Is: last(1+r.IntN(n), n), N: 2, Over: curriculum.Over(r.IntN(4)), InARow: r.IntN(2) == 0}
	default:
		if depth > 1 {
			return curriculum.Holds{Expr: &curriculum.Expression{Text: "success"}}
		}
		list := []curriculum.Criterion{anyCriterion(r, depth+1), anyCriterion(r, depth+1)}
		switch r.IntN(3) {
		case 0:
			return curriculum.And{All: list}
		case 1:
			return curriculum.Or{Any: list}
		}
		return curriculum.And{All: []curriculum.Criterion{list[0], curriculum.Not{Is: list[1]}}}
	}
}

func anyHouse(r *rand.Rand) *curriculum.Curriculum {
	line := 0
	with := func(word curriculum.RuleWord) curriculum.Rule {
		line++
		return curriculum.Rule{Word: word, When: anyCriterion(r, 0), Pos: curriculum.Pos{File: "house.rung", Line: line}}
	}
	steps := []*curriculum.Step{step("follow", with(curriculum.Advance), with(curriculum.Ease)), step("pair", with(curriculum.Advance), with(curriculum.Ease))}
	turning(steps[0], 30, 60)
	if r.IntN(2) == 0 {
		steps[0].Rules = append(steps[0].Rules, with(curriculum.StopToday))
		steps[1].Rules = append(steps[1].Rules, with(curriculum.StopToday), with(curriculum.Flag))
	}
	return house(behaviour("spin", steps...))
}

func anyDiary(r *rand.Rand, n int) *diary {
	d := okapi()
	for range n {
		switch r.IntN(12) {
		case 0:
			d.at = d.at.Add(2 * time.Hour)
		case 1:
			d.at = d.at.Add(24 * time.Hour)
		}
		t := d.mark("spin", []rune("+++++--0heox")[r.IntN(12)])
		t.Place = []string{"", "yard", "room-a"}[r.IntN(3)]
		t.Handler = []string{"", "owner", "senior"}[r.IntN(3)]
		if r.IntN(2) == 0 {
			t.Measures = append(t.Measures, curriculum.MeasureValue{Name: "latency", Value: float64(r.IntN(4))})
		}
		if r.IntN(2) == 0 {
			t.Measures = append(t.Measures, curriculum.MeasureValue{Name: "turn", Value: float64(30 * r.IntN(4))})
		}
	}
	return d
}

func TestTheContinuationOfEveryRuleFiresItAtItsEndAndNotBefore(t *testing.T) {
	t.Parallel()
	found, rules := 0, 0
	for seed := range uint64(caseCount(t, 150)) {
		r := rand.New(rand.NewPCG(seed, 7))
		p := compile(t, anyHouse(r))
		d := anyDiary(r, r.IntN(25))
		if len(d.list) == 0 {
			d.tally("spin", "x")
		}
		f := p.NewFold()
		for i := range d.list {
			require.NoError(t, f.Take(&d.list[i]))
		}
		w, err := f.Why("okapi", "spin", f.Now())
		require.NoError(t, err)
		for _, rw := range w.Rules {
			rules++
			if rw.Next != nil {
				found++
				fires(t, p, d, rw)
			}
		}
		require.NotEmpty(t, w.Text())
	}
	t.Logf("%d rules, a continuation for %d", rules, found)
	require.Greater(t, found, rules/2)
}

func TestTheContinuationIsTheShortest(t *testing.T) {
	for name, c := range map[string]struct {
		rules   []curriculum.Rule
		history string
		want    string
	}{
		"two more after a miss":             {[]curriculum.Rule{rule(curriculum.Advance, last(4, 5))}, "+ - +", "+ +"},
		"round a nearer ease":               {[]curriculum.Rule{rule(curriculum.Advance, missesOf(2, 5)), rule(curriculum.Ease, missesOf(2, 2))}, "- +", "-"},
		"a miss must leave the window":      {[]curriculum.Rule{rule(curriculum.Advance, streak(3))}, "+ + -", "+ + +"},
		"past a stretch that would ease":    {[]curriculum.Rule{rule(curriculum.Advance, missesOf(2, 4)), rule(curriculum.Ease, curriculum.Window{K: 2, N: 2, InARow: true, Count: curriculum.Misses})}, "+", "- + -"},
		"the rest of a block":               {[]curriculum.Rule{rule(curriculum.Advance, curriculum.Window{K: 2, N: 4, Each: true})}, "- -", "+ +"},
		"a block that is lost":              {[]curriculum.Rule{rule(curriculum.Advance, curriculum.Window{K: 4, N: 4, Each: true})}, "-", "+ + + + + + +"},
		"sixty trials without being passed": {[]curriculum.Rule{rule(curriculum.Flag, curriculum.After{N: 60}), rule(curriculum.Advance, last(2, 2))}, "-", ""},
	} {
		t.Run(name, func(t *testing.T) {
			p := compile(t, house(behaviour("spin", step("follow", c.rules...), step("next"))))
			d := okapi().tally("spin", c.history)
			f := p.NewFold()
			for i := range d.list {
				require.NoError(t, f.Take(&d.list[i]))
			}
			w, err := f.Why("okapi", "spin", f.Now())
			require.NoError(t, err)
			next := w.Rules[0].Next
			require.NotNil(t, next)
			fires(t, p, d, w.Rules[0])
			if c.want != "" {
				require.Equal(t, c.want, next.Marks)
				require.True(t, next.Shortest)
			}
		})
	}
}

func TestTheContinuationHasNoMoreBreaksThanAreNeeded(t *testing.T) {
	block, days := curriculum.Window{K: 8, N: 10, Each: true}, curriculum.Repeated{Is: last(4, 5), N: 2, Over: curriculum.Days}
	for name, c := range map[string]struct {
		when          curriculum.Criterion
		history, want string
	}{
		"one other day, and not a session for each trial until midnight": {curriculum.And{All: []curriculum.Criterion{block, days}}, "+ + + + + + - -", "|| + + + + + + + + + + + +"},
		"one more day":         {days, "+ + + +", "|| + + + +"},
		"two more days":        {curriculum.Repeated{Is: last(2, 2), N: 3, Over: curriculum.Days}, "+ +", "|| + + || + +"},
		"one more session":     {curriculum.Repeated{Is: last(2, 2), N: 2, Over: curriculum.Sessions}, "+ +", "| + +"},
		"sessions are counted": {curriculum.And{All: []curriculum.Criterion{curriculum.After{N: 3, Unit: curriculum.AfterSessions}, last(2, 2)}}, "+ -", "| + | + | +"},
	} {
		t.Run(name, func(t *testing.T) {
			flag := rule(curriculum.Flag, curriculum.After{N: 8, Unit: curriculum.AfterSessions}) // so that sessions are among what is tried
			p := compile(t, house(behaviour("spin", step("follow", rule(curriculum.Advance, c.when), flag), step("next"))))
			d := okapi().tally("spin", c.history)
			f := p.NewFold()
			for i := range d.list {
				require.NoError(t, f.Take(&d.list[i]))
			}
			w, err := f.Why("okapi", "spin", f.Now())
			require.NoError(t, err)
			require.NotNil(t, w.Rules[0].Next)
			fires(t, p, d, w.Rules[0])
			require.Equal(t, c.want, w.Rules[0].Next.Marks)
		})
	}
}
