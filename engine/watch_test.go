package engine_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/internal/naive/cases"
)

// tallyOfLooks counts, by the line of the rule, what a watcher is told.
type tallyOfLooks struct {
	p           *engine.Program
	held, fired map[int]int
	wrong       string
}

func (w *tallyOfLooks) rule(r engine.RuleAt) curriculum.Rule {
	b := w.p.Curriculum().Behaviours[r.Behaviour]
	if r.Step == len(b.Steps) {
		return b.Lapse[r.Rule]
	}
	return b.Steps[r.Step].Rules[r.Rule]
}

func (w *tallyOfLooks) Looked(r engine.RuleAt, parts []bool) {
	of := w.p.Parts(r)
	if len(of) != len(parts) {
		w.wrong = fmt.Sprintf("%v has %d parts and was told of %d", r, len(of), len(parts))
		return
	}
	if err := joins(of, parts); err != "" {
		w.wrong = fmt.Sprintf("%s: %s", curriculum.CriterionText(w.rule(r).When), err)
	}
	if parts[0] {
		w.held[w.rule(r).Pos.Line]++
	}
}

func (w *tallyOfLooks) Fired(r engine.RuleAt) { w.fired[w.rule(r).Pos.Line]++ }

// joins checks that what joins parts holds as its parts say.
func joins(of []curriculum.Criterion, parts []bool) (wrong string) {
	var walk func(i int) (next int)
	walk = func(i int) int {
		kids := 0
		all, any := true, false
		switch c := of[i].(type) {
		case curriculum.And:
			kids = len(c.All)
		case curriculum.Or:
			kids = len(c.Any)
		case curriculum.Not:
			kids = 1
		default:
			return i + 1
		}
		next := i + 1
		for range kids {
			all, any = all && parts[next], any || parts[next]
			next = walk(next)
		}
		want := all
		switch of[i].(type) {
		case curriculum.Or:
			want = any
		case curriculum.Not:
			want = !all
		}
		if parts[i] != want {
			wrong = fmt.Sprint(parts)
		}
		return next
	}
	if end := walk(0); end != len(of) {
		wrong = fmt.Sprintf("%d of %d parts belong to it", end, len(of))
	}
	return wrong
}

// What a watcher is told adds up: as many rules fired as moves and notes are listed, each held when it was looked at, and
// what is joined by and, or and not holds as its parts say.
func TestWhatAWatcherIsToldAddsUp(t *testing.T) {
	eachProgram(t, 500, func(p *engine.Program, c *cases.Case) error {
		w := &tallyOfLooks{p: p, held: map[int]int{}, fired: map[int]int{}}
		plain, watched := p.NewFold(c.Dogs...), p.NewFold(c.Dogs...)
		watched.Watch(w)
		for i := range c.Entries {
			if plain.Take(&c.Entries[i]) != nil {
				continue // a refused line may have closed a session on a copy
			}
			if err := watched.Take(&c.Entries[i]); err != nil {
				return err
			}
		}
		if w.wrong != "" {
			return fmt.Errorf("%s", w.wrong)
		}
		listed := map[int]int{}
		split := map[int]bool{}
		for _, b := range c.Curriculum.Behaviours {
			for _, s := range b.Steps {
				for _, r := range s.Rules {
					split[r.Pos.Line] = r.Word == curriculum.Split
				}
			}
		}
		now := watched.Now()
		standing := watched.Standing(now)
		watched.Watch(nil)
		for _, d := range standing.Dogs {
			for _, b := range d.Behaviours {
				if of, ok := watched.Of(d.Dog, b.Behaviour, now); !ok || len(of.Moves) != len(b.Moves) || of.Step != b.Step || of.State != b.State {
					return fmt.Errorf("%s in %s: Of says otherwise", d.Dog, b.Behaviour)
				}
				for _, m := range b.Moves {
					if m.Rule != "hand" && m.Rule != "ease" || m.Rule == "ease" && w.fired[m.Line] > 0 { // one after a long pause is no rule of a step
						listed[m.Line]++
					}
				}
				for _, n := range b.Noted {
					listed[n.Line]++
				}
			}
		}
		for line, n := range w.fired {
			if n > w.held[line] || !split[line] && n != listed[line] || n < listed[line] {
				return fmt.Errorf("line %d: fired %d times, held %d times, listed %d times", line, n, w.held[line], listed[line])
			}
		}
		for line, n := range listed {
			if w.fired[line] < n {
				return fmt.Errorf("line %d: listed %d times, fired %d", line, n, w.fired[line])
			}
		}
		return nil
	})
}

func TestNobodyIsKnownBeforeALineOrAProfile(t *testing.T) {
	p := compiled(t, &curriculum.Curriculum{Behaviours: []*curriculum.Behaviour{behaviour("spin", step("one", rule(curriculum.Advance, last(1, 1))))}})
	_, ok := p.NewFold().Of("okapi", "spin", noon)
	require.False(t, ok)
	f := p.NewFold(curriculum.Dog{Name: "okapi"})
	_, ok = f.Of("okapi", "spn", noon)
	require.False(t, ok)
	s, ok := f.Of("okapi", "spin", noon)
	require.True(t, ok)
	require.Equal(t, curriculum.Open, s.State)
	require.Nil(t, p.Parts(engine.RuleAt{Behaviour: 0, Step: 0, Rule: 1}))
}
