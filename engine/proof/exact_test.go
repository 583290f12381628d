package proof

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/automaton"
	"example.com/rung/engine/internal/naive/cases"
)

// What the exact checks say is shown again with the engine, which reads the rules by itself: every history that is
// printed is recorded as trials, and must do what the finding says.

// player plays histories of one rung through the engine.
type player struct {
	rung
	c *curriculum.Curriculum
}

// happened is what came of a trial, by the rule's place in the step.
type happened struct {
	trial string
	rule  int
}

// play records a history at the rung, with some of its rules alone; the session is over in the end. It returns the
// moves and notes.
func (p player) play(history []int, m *automaton.Machine, keep ...int) (moves, notes []happened, last string, err error) {
	cur := (&cases.Case{Curriculum: p.c}).Clone().Curriculum
	cur.Sessions = nil
	b := cur.Behaviour(p.b.Name)
	for _, x := range cur.Behaviours {
		x.Needs, x.NeverWith, x.Pairs, x.Review = nil, nil, nil, nil
	}
	elsewhere := func(rules []curriculum.Rule) {
		for i := range rules {
			rules[i].Pos.Line = 0
		}
	}
	elsewhere(b.Lapse)
	for _, st := range b.Steps {
		elsewhere(st.Rules)
	}
	rules := &b.Lapse
	if p.step < len(b.Steps) {
		rules = &b.Steps[p.step].Rules
	}
	var at []int
	var kept []curriculum.Rule
	for i, r := range *rules {
		if len(keep) == 0 || slices.Contains(keep, i) {
			r.Pos.Line = len(kept) + 1 // engines answer with lines
			at, kept = append(at, i), append(kept, r)
		}
	}
	*rules = kept
	stands, leaps := p.step, len(keep) == 1 && kept[0].Word == curriculum.Skip
	if leaps {
		stands-- // a skip is of a dog that stands before
	}
	program, err := engine.Compile(cur)
	if err != nil {
		return nil, nil, "", err
	}
	f := program.NewFold()
	start := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	if !m.Entry().Fresh {
		before := curriculum.Trial{ID: "before", Dog: "okapi", Behaviour: b.Name, At: start, Session: "s1", Step: b.Steps[0].Name, Outcome: curriculum.Success,
			Level: curriculum.LevelRef{{Of: "duration", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(777, curriculum.Second)}}}}
		if err := f.Record(&before); err != nil {
			return nil, nil, "", err
		}
		move := curriculum.Event{ID: "move", Dog: "okapi", Behaviour: b.Name, At: start, Kind: curriculum.HandMove, By: "Halla", Kept: p.step == len(b.Steps)}
		if !move.Kept {
			at := p.level
			if leaps {
				at = 0
			}
			move.Step, move.Level = b.Steps[stands].Name, curriculum.LevelRef(b.Steps[stands].Levels[at].Values)
		}
		if err := f.Note(&move); err != nil {
			return nil, nil, "", err
		}
	}
	trials := m.Trials(history, "okapi", b.Name, start.Add(time.Minute))
	for i := range trials {
		if leaps {
			trials[i].Step, trials[i].Level = b.Steps[p.step].Name, curriculum.LevelRef(b.Steps[p.step].Levels[0].Values)
		}
		if err := f.Record(&trials[i]); err != nil {
			return nil, nil, "", err
		}
	}
	now := f.Now()
	closes := !m.Letters()[history[len(history)-1]].IsTrial()
	if closes {
		now = now.Add(time.Hour)
	}
	// what is done at the end of a session is done at its last evidence
	n := 0
	for _, li := range history {
		if l := m.Letters()[li]; l.IsTrial() {
			if !closes || l.Cases[0].Kind.Evidence() {
				last = trials[n].ID
			}
			n++
		}
	}
	for _, x := range f.Standing(now).Dogs[0].Behaviours {
		if x.Behaviour != b.Name {
			continue
		}
		for _, v := range x.Moves {
			if v.Rule != "hand" && v.Line > 0 {
				moves = append(moves, happened{v.Trial, at[v.Line-1]})
			}
		}
		for _, v := range x.Noted {
			if v.Line == 0 {
				continue
			}
			notes = append(notes, happened{v.Trial, at[v.Line-1]})
		}
	}
	return moves, notes, last, nil
}

// show plays the history of a verdict and says where the engine does not agree with it; shown is false where the
// history cannot be played.
func (p player) show(v verdict) (shown bool, err error) {
	if v.history == nil || len(v.machine.Opaque()) > 0 || v.machine.Entry().Eased+v.machine.Entry().StepTrials > 0 || v.machine.Entry().Pieced {
		return false, nil
	}
	for _, i := range []int{v.rule, v.other} {
		if i >= 0 && !v.instead && curriculum.AnyPart(p.stay.Rules[i].When, isEased) {
			return false, nil // it goes by the ease that is due, so it cannot be shown alone
		}
	}
	fires := func(rule int, keep ...int) error {
		moves, notes, last, err := p.play(v.history, v.machine, keep...)
		if err != nil {
			return err
		}
		if len(moves) > 1 && p.stay.Rules[rule].Word != curriculum.Split { // held back before by one without room
			return fmt.Errorf("moves before the end: %v", moves)
		}
		for _, h := range append(moves, notes...) {
			if early := v.code == codeBeaten || p.stay.Rules[rule].Word == curriculum.Split; h.rule == rule && (h.trial == last || early) { // behind another split without room
				return nil
			}
		}
		return fmt.Errorf("rule %d does not hold at %s: moves %v, notes %v", rule, last, moves, notes)
	}
	if v.instead {
		moves, _, last, err := p.play(v.history, v.machine)
		if err == nil && !slices.Equal(moves, []happened{{last, v.other}}) {
			err = fmt.Errorf("rule %d does not come first at %s: %v", v.other, last, moves)
		}
		return true, err
	}
	if v.beside {
		return true, p.beside(v)
	}
	switch v.code {
	case codeTogether:
		if err := fires(v.rule, v.rule); err != nil {
			return true, err
		}
		return true, fires(v.other, v.other)
	case codeFirst, codeBeaten:
		return true, fires(v.rule, v.rule)
	case codeOnAMiss:
		if p.stay.Rules[v.rule].Word == curriculum.Skip {
			return true, fires(v.rule, v.rule)
		}
		return true, fires(v.rule)
	}
	return true, fmt.Errorf("a history with %s", v.code)
}

// beside plays a rule and the one that is said to hold before it in its session, or with it.
func (p player) beside(v verdict) error {
	moves, notes, last, err := p.play(v.history, v.machine, v.rule, v.other)
	if err != nil {
		return err
	}
	first := len(v.machine.Trials(v.history, "okapi", p.b.Name, time.Time{}))
	held := false
	for _, h := range append(moves, notes...) {
		held = held || h == happened{last, v.rule}
		if h.rule == v.other {
			first = min(first, number(h.trial))
		}
	}
	if !held || first > number(last) {
		return fmt.Errorf("rule %d is not held at %s behind %d: moves %v, notes %v", v.rule, last, v.other, moves, notes)
	}
	return nil
}

func judged(t testing.TB, c *curriculum.Curriculum, r rung, x *machinery) []verdict {
	t.Helper()
	j := &judge{x: x, rung: r}
	require.NoError(t, j.rules())
	return j.found
}

// shownIn plays every history that the checks find in a curriculum.
func shownIn(t testing.TB, c *curriculum.Curriculum, budget int, tally map[string]int) {
	t.Helper()
	s := &subject{c: c}
	x := &machinery{c: c, budget: budget, made: map[string]*machines{}}
	for _, r := range s.rungs() {
		for _, v := range judged(t, c, r, x) {
			tally["found "+v.code]++
			shown, err := (player{r, c}).show(v)
			if shown {
				tally["shown "+v.code]++
			}
			if err != nil {
				t.Fatalf("%s at %s level %d, %+v: %s %s\nhistory %v\n%v\n%s", r.b.Name, r.name(), r.level, v.machine.Entry(), v.code, v.text, v.machine.Marks(v.history), err, &cases.Case{Curriculum: c})
			}
		}
	}
}

func TestEveryHistoryOfTheDraftAndThePagesIsShownByTheEngine(t *testing.T) {
	tally := map[string]int{}
	draft, err := dsl.ReadFile("../../examples/draft0/draft0.rung")
	require.NoError(t, err)
	shownIn(t, draft, DefaultStates, tally)
	for _, e := range exactCodes {
		c, ds := dsl.ReadString("page.rung", e.Faulty)
		require.Empty(t, ds.Text())
		shownIn(t, c, 5_000, tally)
	}
	for _, lines := range []string{
		"advance when after 5 trials\nease when 5 wrong in a row", "advance when done 8 times\nease when 3 misses of last 5",
		"skip when 3 misses in a row\nadvance when 4 of last 5\nease when 2 misses in a row",
	} {
		c, ds := dsl.ReadString("own.rung", "rung 1\nbehaviour settle {\n  step near {\n    advance when 4 of last 5\n    ease when 2 misses in a row\n  }\n  step far {\n"+lines+"\n  }\n}\n")
		require.Empty(t, ds.Text())
		shownIn(t, c, DefaultStates, tally)
	}
	require.Equal(t, 4, tally["shown "+codeTogether])
	require.Equal(t, 1, tally["shown "+codeFirst])
	require.Equal(t, 3, tally["shown "+codeOnAMiss])
}

// features are those of random rules whose machines are small.
func features() map[cases.Feature]bool {
	on := map[cases.Feature]bool{}
	for _, f := range cases.All {
		on[f] = true
	}
	for _, f := range []cases.Feature{cases.Away, cases.Long, cases.Chain, cases.Formerly, cases.TwoRamps} {
		on[f] = false
	}
	return on
}

// rulesets is how many random curricula a test looks at; RUNG_CASES sets another number.
func rulesets(t testing.TB, usual uint64) uint64 {
	if s := os.Getenv("RUNG_CASES"); s != "" {
		n, err := strconv.ParseUint(s, 10, 64)
		require.NoError(t, err)
		return n
	}
	return usual
}

func TestEveryHistoryOfRandomRulesIsShownByTheEngine(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	tally := map[string]int{}
	for seed := range rulesets(t, 30) {
		c := cases.Make(seed+1, features()).Curriculum
		c.Sessions = nil
		for _, b := range c.Behaviours {
			b.Needs = nil
		}
		shownIn(t, c, 1_500, tally)
	}
	t.Log(tally)
	for _, code := range []string{codeTogether, codeFirst, codeOnAMiss, codeBeaten} {
		require.Positive(t, tally["shown "+code], code)
	}
}

// A rule that is said never to hold, or never to make its move, does not in any history that the engine is shown:
// those of a random dog that does all there is to do.
func TestRulesThatNeverHoldNeverDo(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	never, played := 0, 0
	for seed := range rulesets(t, 12) {
		c := cases.Make(seed+1, features()).Curriculum
		c.Sessions = nil
		for _, b := range c.Behaviours {
			b.Needs = nil
		}
		s := &subject{c: c}
		x := &machinery{c: c, budget: 1_500, made: map[string]*machines{}}
		rnd := rand.New(rand.NewPCG(seed, 11))
		for _, r := range s.rungs() {
			dead := map[int]string{}
			for _, v := range judged(t, c, r, x) {
				if v.code == codeNever || (v.code == codeBeaten || v.code == codeIdleFlag) && !v.beside {
					if v.answer == Disproved && v.because == "" {
						dead[v.rule] = v.text
					}
				}
			}
			if len(dead) == 0 {
				continue
			}
			never += len(dead)
			m, err := automaton.Make(c, r.stay, automaton.Options{Budget: 50, Entry: automaton.Entry{Fresh: r.step == 0 && r.level == 0}})
			require.NoError(t, err)
			if len(m.Opaque()) > 0 {
				continue
			}
			for range 20 {
				played++
				var history []int
				skill := rnd.Float64()
				for range 25 {
					li := rnd.IntN(len(m.Letters()))
					if rnd.Float64() < skill {
						li = 0
					}
					if len(history) == 0 && !m.Letters()[li].IsTrial() {
						continue
					}
					history = append(history, li)
				}
				p := player{r, c}
				moves, notes, _, err := p.play(history, m)
				require.NoError(t, err)
				all := notes
				if len(moves) > 0 {
					all = append(all, moves[0]) // what comes behind is another stay
					all = slices.DeleteFunc(all, func(h happened) bool { return number(h.trial) > number(moves[0].trial) })
				}
				for _, h := range all {
					require.NotContains(t, dead, h.rule, "%s at %s, %v", r.b.Name, r.name(), m.Marks(history))
				}
			}
		}
	}
	t.Logf("%d rules, %d histories", never, played)
	require.Positive(t, played)
}

func number(trial string) (n int) {
	_, _ = fmt.Sscanf(trial, "t%d", &n)
	return n
}
