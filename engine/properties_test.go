package engine_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/internal/naive"
	"example.com/rung/engine/internal/naive/cases"
)

// Properties that need no second reader: a history changed in a way that must not matter gives the same answer.

func TestReplaySortsWhatCameInAnyOrder(t *testing.T) {
	eachProgram(t, 200, func(p *engine.Program, c *cases.Case) error {
		// lines of one moment keep their order, the moments are shuffled
		r := rand.New(rand.NewPCG(c.Seed, 11))
		key := map[int64]int{}
		for _, e := range c.Entries {
			key[e.At().UnixNano()] = r.Int()
		}
		shuffled := slices.Clone(c.Entries)
		slices.SortStableFunc(shuffled, func(a, b curriculum.Entry) int { return key[a.At().UnixNano()] - key[b.At().UnixNano()] })
		return sameStanding(p.Replay(c.Entries, c.Now, c.Dogs...).Standing(c.Now), p.Replay(shuffled, c.Now, c.Dogs...).Standing(c.Now))
	})
}

func TestALineThatCameTwiceIsReadOnce(t *testing.T) {
	eachProgram(t, 200, func(p *engine.Program, c *cases.Case) error {
		r := rand.New(rand.NewPCG(c.Seed, 13))
		var doubled []curriculum.Entry
		different := 0
		for _, e := range c.Entries {
			doubled = append(doubled, e)
			if r.IntN(4) == 0 {
				twin := e
				if r.IntN(2) == 0 && !twin.IsEvent { // the first stands
					twin.Trial.Outcome, twin.Trial.Note = curriculum.Void, "another"
					different++
				}
				doubled = append(doubled, twin)
			}
		}
		f := p.Replay(doubled, c.Now, c.Dogs...)
		if err := sameStanding(p.Replay(c.Entries, c.Now, c.Dogs...).Standing(c.Now), f.Standing(c.Now)); err != nil {
			return err
		}
		reported := 0
		for _, rep := range f.Reports() {
			if rep.Code == engine.CodeTwin {
				reported++
			}
		}
		if reported < different {
			return fmt.Errorf("%d different twins, %d reported", different, reported)
		}
		return nil
	})
}

func TestRecordReplayAndResumeGiveTheSameStanding(t *testing.T) {
	eachProgram(t, 300, func(p *engine.Program, c *cases.Case) error {
		fold := p.NewFold(c.Dogs...)
		cut := int(c.Seed) % (len(c.Entries) + 1)
		resumed := fold
		for i := range c.Entries {
			if i == cut {
				var saved bytes.Buffer
				err := fold.Save(&saved)
				if err != nil {
					return err
				}
				if resumed, err = p.Resume(&saved, c.Dogs...); err != nil {
					return fmt.Errorf("taken up again after %d lines: %w", cut, err)
				}
			}
			_ = fold.Take(&c.Entries[i])
			if resumed != fold {
				_ = resumed.Take(&c.Entries[i])
			}
		}
		want, err := json.MarshalIndent(fold.Standing(c.Now), "", " ")
		if err != nil {
			return err
		}
		for name, f := range map[string]*engine.Fold{"replayed": p.Replay(c.Entries, c.Now, c.Dogs...), "saved and taken up again": resumed} {
			got, err := json.MarshalIndent(f.Standing(c.Now), "", " ")
			if err != nil {
				return err
			}
			if !bytes.Equal(got, want) {
				return fmt.Errorf("recorded (-) and %s (+, cut %d) part:\n%s", name, cut, cmp.Diff(string(want), string(got)))
			}
		}
		return nil
	})
}

func TestAVoidBetweenTwoTrialsOfASessionChangesNoMove(t *testing.T) {
	eachProgram(t, 400, func(p *engine.Program, c *cases.Case) error {
		plainFold, spoiled := p.NewFold(c.Dogs...), p.NewFold(c.Dogs...)
		last := map[string]*curriculum.Trial{}
		for i := range c.Entries {
			e := &c.Entries[i]
			if before := last[e.Trial.Dog]; !e.IsEvent && before != nil && before.Session == e.Trial.Session && e.Trial.At.Sub(before.At) < naive.Gap {
				v := curriculum.Trial{ID: fmt.Sprint("void-", i), Dog: before.Dog, Behaviour: e.Trial.Behaviour, At: before.At, Session: before.Session, Outcome: curriculum.Void}
				_ = spoiled.Record(&v)
			}
			if plainFold.Take(e) == nil && !e.IsEvent {
				last[e.Trial.Dog] = &e.Trial
			}
			if e.IsEvent {
				delete(last, e.Event.Dog) // the engine refuses a trial earlier than an event
			}
			_ = spoiled.Take(e)
		}
		want, _ := ofEngine(plainFold.Standing(c.Now))
		got, _ := ofEngine(spoiled.Standing(c.Now))
		if d := cmp.Diff(want, got); d != "" {
			return fmt.Errorf("without voids (-) and with them (+):\n%s", d)
		}
		return nil
	})
}

func TestDogsDoNotDisturbEachOther(t *testing.T) {
	eachProgram(t, 200, func(p *engine.Program, c *cases.Case) error {
		together := p.NewFold(c.Dogs...)
		alone := map[string]*engine.Fold{}
		for i := range c.Entries {
			e := &c.Entries[i]
			name := e.Dog()
			if alone[name] == nil {
				alone[name] = p.NewFold(c.Dogs...)
			}
			_ = together.Take(e)
			_ = alone[name].Take(e)
		}
		all, locks := ofEngine(together.Standing(c.Now))
		for name, f := range alone {
			mine := func(p plain) bool { return p.Dog != name }
			mineLock := func(l plainLock) bool { return l.Dog != name }
			own, ownLocks := ofEngine(f.Standing(c.Now))
			d := cmp.Diff(slices.DeleteFunc(slices.Clone(own), mine), slices.DeleteFunc(slices.Clone(all), mine)) +
				cmp.Diff(slices.DeleteFunc(ownLocks, mineLock), slices.DeleteFunc(slices.Clone(locks), mineLock), cmpopts.EquateEmpty())
			if d != "" {
				return fmt.Errorf("%s alone (-) and in the kennel (+):\n%s", name, d)
			}
		}
		return nil
	})
}

func TestEveryMoveBearsItsReason(t *testing.T) {
	eachProgram(t, 300, func(p *engine.Program, c *cases.Case) error {
		fold := p.NewFold(c.Dogs...)
		number := map[string]int{} // by id
		var trials []curriculum.Trial
		for i := range c.Entries {
			if e := &c.Entries[i]; fold.Take(e) == nil && !e.IsEvent {
				number[e.Trial.ID] = len(trials)
				trials = append(trials, e.Trial)
			}
		}
		for _, d := range fold.Standing(c.Now).Dogs {
			for _, b := range d.Behaviours {
				for _, m := range b.Moves {
					if err := reasonFits(c, d.Dog, b.Behaviour, m, number, trials); err != nil {
						return fmt.Errorf("%s, %s, %s at %s: %w", d.Dog, b.Behaviour, m.Rule, m.Trial, err)
					}
				}
			}
		}
		return nil
	})
}

// reasonFits checks what can be said of any move: the trials it names are this dog's, of this behaviour, oldest first,
// none later than the trial that made it, and its criterion is the one written in the line it names.
func reasonFits(c *cases.Case, dog, behaviour string, m engine.Move, number map[string]int, trials []curriculum.Trial) error {
	if m.Rule == "hand" {
		if m.Trial != "" || m.At == nil {
			return fmt.Errorf("a move by hand bears a time and no trial: %+v", m)
		}
		return nil
	}
	at, ok := number[m.Trial]
	if !ok || trials[at].Dog != dog {
		return fmt.Errorf("no such trial")
	}
	if m.Because == "" {
		return fmt.Errorf("no reason")
	}
	last := -1
	for _, id := range m.Trials {
		i, ok := number[id]
		if !ok || trials[i].Dog != dog || c.Curriculum.Behaviour(trials[i].Behaviour).Name != behaviour {
			return fmt.Errorf("names %q, which is none of its trials", id)
		}
		// a move at a close bears the session's last evidence; what counts beside evidence may come after it
		beside := trials[i].Early || trials[i].Outcome == curriculum.OptOut
		if i <= last || i > at && !beside {
			return fmt.Errorf("trials out of order: %v", m.Trials)
		}
		last = i
	}
	for _, rule := range rulesOf(c.Curriculum.Behaviour(behaviour)) {
		if rule.Pos.Line != m.Line || m.File != rule.Pos.File {
			continue
		}
		w, plainWindow := rule.When.(curriculum.Window)
		if plainWindow && !w.AtMost && !w.Twice && len(m.Trials) < w.K {
			return fmt.Errorf("%s names %d trials", curriculum.CriterionText(w), len(m.Trials))
		}
		if string(rule.Word) != m.Rule {
			return fmt.Errorf("line %d holds %s", m.Line, rule.Word)
		}
		return nil
	}
	for _, s := range c.Curriculum.Sessions {
		for _, a := range s.Away {
			if a.Pos.Line == m.Line {
				return nil
			}
		}
	}
	return fmt.Errorf("no rule in line %d", m.Line)
}

func rulesOf(b *curriculum.Behaviour) []curriculum.Rule {
	all := slices.Clone(b.Lapse)
	for _, s := range b.Steps {
		all = append(all, s.Rules...)
	}
	return all
}

func TestALineEarlierThanTheLastIsRefusedAndChangesNothing(t *testing.T) {
	p := compiled(t, oneRule(advance(ofLast(2, 2))))
	f := p.NewFold()
	trial := func(at time.Time) *curriculum.Trial {
		return &curriculum.Trial{Dog: "okapi", Behaviour: "spin", At: at, Outcome: curriculum.Success}
	}
	require.NoError(t, f.Record(trial(noon)))
	require.ErrorIs(t, f.Record(trial(noon.Add(-time.Second))), engine.ErrEarlier)
	require.Equal(t, 1, f.Standing(noon).Dogs[0].Behaviours[0].Trials)
	require.NoError(t, f.Record(trial(noon)), "a tie is taken in record order")
	require.Equal(t, curriculum.Kept, f.Standing(noon).Dogs[0].Behaviours[0].State)
	other := trial(noon.Add(-naive.Gap))
	other.Dog = "thimble"
	require.NoError(t, f.Record(other), "only the same dog's last line counts")
}
