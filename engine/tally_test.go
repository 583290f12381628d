package engine_test

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"example.com/rung/curriculum"
	"example.com/rung/engine/internal/naive"
	"example.com/rung/engine/internal/naive/cases"
)

// tally counts, over all cases, what fired: a criterion when a move or a note was made with it, a rule or a way of
// deciding when a move was made by it, a door or a ramp when a behaviour that has it stands somewhere else than at its
// beginning.
type tally struct {
	mu sync.Mutex
	n  map[string]int
}

func newTally() *tally { return &tally{n: map[string]int{}} }

func (t *tally) add(f cases.Feature, when bool) {
	if when {
		t.n[string(f)]++
	}
}

func (t *tally) count(c *cases.Case, as []naive.Answer) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.n["cases"]++
	t.n["lines"] += len(c.Entries)
	for i := range c.Entries {
		t.line(c, &c.Entries[i])
	}
	for _, a := range as {
		t.n["locks"] += len(a.Locks)
		for _, s := range a.Behaviours {
			b := c.Curriculum.Behaviour(s.Behaviour)
			t.n["state "+string(s.State)]++
			for _, m := range s.Moves {
				t.move(b, m)
			}
			for _, n := range s.Noted {
				t.n["noted "+n.Rule]++
				t.add(cases.Stop, n.Rule == string(curriculum.StopToday))
				t.add(cases.Flag, n.Rule == string(curriculum.Flag))
				for _, f := range cases.FeaturesOf(n.When) {
					t.n[string(f)]++
				}
			}
			for _, v := range s.Reviews {
				t.add(cases.Review, true)
				t.n[map[bool]string{true: "review passed", false: "review missed"}[v.Passed]]++
			}
			if len(s.Moves) > 0 {
				t.doors(b)
			}
		}
	}
}

func (t *tally) move(b *curriculum.Behaviour, m naive.Move) {
	t.n["move "+m.Rule]++
	if m.To.Kept {
		t.n["move to kept"]++
	}
	for _, f := range cases.FeaturesOf(m.When) {
		t.n[string(f)]++
	}
	step := b.Steps[max(0, b.Step(m.From.Step))]
	for _, r := range step.Ramps {
		t.add(cases.Varied, r.Varied && m.Rule == string(curriculum.Advance))
	}
	t.add(cases.OneRamp, len(step.Ramps) == 1)
	t.add(cases.TwoRamps, len(step.Ramps) == 2)
	t.add(cases.Lowering, step.Raise.LowerBy > 0)
	t.add(cases.Chain, len(step.Chain) > 0)
	t.add(cases.DecideTrials, step.Decide.EveryTrials > 0 && m.Rule != "hand")
	t.add(cases.DecideSession, step.Decide.EachSession && m.Rule != "hand")
	t.add(cases.Away, m.Rule == string(curriculum.Ease) && m.When == nil)
	for _, r := range rulesOf(b) {
		if m.When == nil || r.Pos.Line != m.Line {
			continue
		}
		t.add(cases.Ease, r.Word == curriculum.Ease)
		t.add(cases.EaseTo, r.Word == curriculum.Ease && r.To != "")
		t.add(cases.EaseToFirst, r.Word == curriculum.Ease && r.ToFirst)
		t.add(cases.Split, r.Word == curriculum.Split)
		t.add(cases.SplitInto, len(r.Into) > 0)
		t.add(cases.Skip, r.Word == curriculum.Skip)
		t.add(cases.Lapse, r.Word == curriculum.Lapse)
	}
}

// doors counts the needs of a behaviour that got through them.
func (t *tally) doors(b *curriculum.Behaviour) {
	for _, n := range b.Needs {
		t.add(cases.NeedsFirmly, n.Firmly)
		t.add(cases.NeedsDog, n.Dog != nil)
		t.add(cases.NeedsKept, n.Other != "" && n.Step == "")
		t.add(cases.Needs, n.Step != "")
		t.add(cases.NeedsLevel, len(n.Level) > 0)
	}
}

// line counts what histories hold, whatever is switched off.
func (t *tally) line(c *cases.Case, e *curriculum.Entry) {
	if e.IsEvent {
		t.n["line "+string(e.Event.Kind)]++
		return
	}
	tr := &e.Trial
	t.n["line "+tr.Outcome.String()]++
	for name, yes := range map[string]bool{
		"early": tr.Early, "failed piece": tr.Failed != "", "helped": len(tr.Help) > 0, "with a level": len(tr.Level) > 0, "with a step": tr.Step != "", "without session": tr.Session == "",
	} {
		if yes {
			t.n["line "+name]++
		}
	}
	b := c.Curriculum.Behaviour(tr.Behaviour)
	if b == nil {
		return
	}
	i := b.Step(tr.Step)
	t.add(cases.Formerly, b.Name != tr.Behaviour || i >= 0 && b.Steps[i].Name != tr.Step)
}

func (t *tally) log(tb testing.TB) {
	var keys []string
	for k := range t.n {
		keys = append(keys, fmt.Sprintf("%s %d", k, t.n[k]))
	}
	slices.Sort(keys)
	tb.Logf("fired: %s", strings.Join(keys, "; "))
}
