package engine_test

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/history"
	"example.com/rung/engine/internal/naive/cases"
)

// A curriculum and a history changed in a way that must not matter give the same answers, with every feature of the
// generated cases switched on.

func TestRenamingWithFormerlyChangesNothing(t *testing.T) {
	eachProgram(t, 400, func(p *engine.Program, c *cases.Case) error {
		after, err := engine.Compile(renamed(c.Curriculum))
		if err != nil {
			return fmt.Errorf("renamed, the engine refuses it: %w", err)
		}
		was := p.Replay(c.Entries, c.Now, c.Dogs...).Standing(c.Now)
		is := after.Replay(c.Entries, c.Now, c.Dogs...).Standing(c.Now)
		changes, err := after.Since(was, is)
		if err != nil {
			return err
		}
		if len(changes.Dogs) > 0 {
			return fmt.Errorf("changes are listed: %+v", changes.Dogs)
		}
		want, wantLocks := ofEngine(was)
		got, gotLocks := ofEngine(is)
		for i := range got {
			got[i] = oldNames(got[i])
		}
		for i := range gotLocks {
			for j, name := range gotLocks[i].Behaviours {
				gotLocks[i].Behaviours[j] = strings.TrimPrefix(name, renaming)
			}
		}
		if d := cmp.Diff(want, got) + cmp.Diff(wantLocks, gotLocks); d != "" {
			return fmt.Errorf("before (-) and after the renaming (+):\n%s", d)
		}
		return nil
	})
}

// renaming stands before every name that was changed.
const renaming = "new-"

// renamed is the curriculum with every behaviour and step under a new name, the old one told by `formerly`.
func renamed(c *curriculum.Curriculum) *curriculum.Curriculum {
	out := *c
	out.Behaviours, out.Signs = nil, slices.Clone(c.Signs)
	behaviours := map[string]bool{}
	for _, b := range c.Behaviours {
		behaviours[b.Name] = true
	}
	each := func(list []string) []string {
		list = slices.Clone(list)
		for i, name := range list {
			if behaviours[name] {
				list[i] = renaming + name
			}
		}
		return list
	}
	for i := range out.Signs {
		out.Signs[i].Only = each(out.Signs[i].Only)
	}
	rules := func(list []curriculum.Rule) []curriculum.Rule {
		list = slices.Clone(list)
		for i := range list {
			if list[i].To != "" {
				list[i].To = renaming + list[i].To
			}
		}
		return list
	}
	for _, old := range c.Behaviours {
		b := *old
		b.Name, b.Formerly = renaming+old.Name, append(slices.Clone(old.Formerly), old.Name)
		b.Needs, b.Lapse, b.Steps = slices.Clone(old.Needs), rules(old.Lapse), nil
		for i := range b.Needs {
			if n := &b.Needs[i]; n.Other != "" {
				n.Other = renaming + n.Other
				if n.Step != "" {
					n.Step = renaming + n.Step
				}
			}
		}
		for _, oldStep := range old.Steps {
			s := *oldStep
			s.Name, s.Formerly = renaming+oldStep.Name, append(slices.Clone(oldStep.Formerly), oldStep.Name)
			s.Chain, s.Rules = each(oldStep.Chain), rules(oldStep.Rules)
			b.Steps = append(b.Steps, &s)
		}
		out.Behaviours = append(out.Behaviours, &b)
	}
	return &out
}

// oldNames is an answer under the names before the renaming.
func oldNames(p plain) plain {
	old := func(name string) string { return strings.TrimPrefix(name, renaming) }
	p.Behaviour, p.Step = old(p.Behaviour), old(p.Step)
	p.Failed, p.Before = strings.ReplaceAll(p.Failed, renaming, ""), strings.ReplaceAll(p.Before, renaming, "")
	p.Moves = slices.Clone(p.Moves)
	for i := range p.Moves {
		m := &p.Moves[i]
		m.FromStep, m.ToStep = old(m.FromStep), old(m.ToStep)
	}
	return p
}

func TestALogSplitOverFilesAndFormatsChangesNothing(t *testing.T) {
	eachProgram(t, 150, func(p *engine.Program, c *cases.Case) error {
		whole, err := inOneBook(c)
		if err != nil {
			return err
		}
		now := c.Now.Add(24 * time.Hour)
		want := p.Replay(whole, now, c.Dogs...).Standing(now)
		for _, split := range []func(*cases.Case, []curriculum.Entry) (fstest.MapFS, error){linesApart, sittingsApart} {
			files, err := split(c, whole)
			if err != nil {
				return err
			}
			h, err := history.OpenFS(files, slices.Sorted(maps.Keys(files)), history.Options{}.For(c.Curriculum))
			if err != nil {
				return err
			}
			read, err := h.ReadAll()
			if err != nil {
				return err
			}
			_ = h.Close()
			if len(read) != len(whole) {
				return fmt.Errorf("%d lines of %d came back: %v", len(read), len(whole), h.Reports())
			}
			fold := p.NewFold(c.Dogs...)
			for i := range read {
				_ = fold.Take(&read[i])
			}
			if err := sameStanding(want, fold.Standing(now)); err != nil {
				return fmt.Errorf("split over %v: %w", slices.Sorted(maps.Keys(files)), err)
			}
		}
		return nil
	})
}

// inOneBook is the history of a case as a tally book holds it, a book for each dog: no line without outcome and measure,
// the ids that the reader gives, a second between marks, no two lines of one moment.
func inOneBook(c *cases.Case) ([]curriculum.Entry, error) {
	var out []curriculum.Entry
	for _, dog := range dogsOf(c.Entries) {
		var own []curriculum.Entry
		for i := range c.Entries {
			e := c.Entries[i]
			if e.Dog() != dog || !e.IsEvent && e.Trial.Outcome == curriculum.NoOutcome && len(e.Trial.Measures) == 0 {
				continue
			}
			later := time.Duration(2*len(own)) * time.Second
			e.Trial.At, e.Event.At = e.Trial.At.Add(later), e.Event.At.Add(later)
			noSchedule := func(v curriculum.NamedValue) bool { return v.Of == curriculum.ThinRamp && v.Thin == nil }
			if !e.IsEvent && !slices.ContainsFunc(e.Trial.Level, noSchedule) || e.IsEvent && written(&e.Event) {
				own = append(own, e)
			}
		}
		read, err := reread(c, own, "book.tally")
		if err != nil {
			return nil, err
		}
		if len(read) != len(own) {
			return nil, fmt.Errorf("%d of %d lines of a tally book came back", len(read), len(own))
		}
		out = append(out, read...)
	}
	return out, nil
}

// written reports whether a book can hold an event: it needs what the event is about.
func written(e *curriculum.Event) bool {
	switch e.Kind {
	case curriculum.HandMove:
		return e.Behaviour != "" && (e.Kept || e.Step != "")
	case curriculum.SignCleared:
		return e.By != ""
	}
	return true
}

func dogsOf(entries []curriculum.Entry) []string {
	var out []string
	for i := range entries {
		out = append(out, entries[i].Dog())
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func reread(c *cases.Case, entries []curriculum.Entry, name string) ([]curriculum.Entry, error) {
	text, err := inFormat(entries, name)
	if err != nil {
		return nil, err
	}
	h, err := history.OpenReader(bytes.NewReader(text), name, history.Options{}.For(c.Curriculum))
	if err != nil {
		return nil, err
	}
	return h.ReadAll()
}

func inFormat(entries []curriculum.Entry, name string) ([]byte, error) {
	var text bytes.Buffer
	var err error
	switch {
	case strings.HasSuffix(name, ".tally"):
		err = history.WriteTally(&text, entries, nil)
	case strings.HasSuffix(name, ".csv"):
		err = history.WriteCSV(&text, entries)
	default:
		err = history.WriteJSONL(&text, entries)
	}
	return text.Bytes(), err
}

// linesApart writes each line into one of four files.
func linesApart(c *cases.Case, whole []curriculum.Entry) (fstest.MapFS, error) {
	r := rand.New(rand.NewPCG(c.Seed, 17))
	parts := map[string][]curriculum.Entry{}
	for _, e := range whole {
		name := []string{"a.jsonl", "b.csv", "c.jsonl", "d.csv"}[r.IntN(4)]
		parts[name] = append(parts[name], e)
	}
	return filesOf(parts)
}

// sittingsApart writes each run of lines of one session into a table, a file of JSON Lines or a tally book of its own; what
// lies beside the trials goes with those before it.
func sittingsApart(c *cases.Case, whole []curriculum.Entry) (fstest.MapFS, error) {
	r := rand.New(rand.NewPCG(c.Seed, 19))
	parts := map[string][]curriculum.Entry{}
	name, before := "", ""
	for i, e := range whole {
		session := e.Dog() + "/" + e.Trial.Session
		if name == "" || session != before && !e.IsEvent || !strings.HasPrefix(before, e.Dog()+"/") {
			name = []string{"a.jsonl", "b.csv", fmt.Sprintf("sitting-%d.tally", i)}[r.IntN(3)]
			before = session
		}
		parts[name] = append(parts[name], e)
	}
	return filesOf(parts)
}

func filesOf(parts map[string][]curriculum.Entry) (fstest.MapFS, error) {
	files := fstest.MapFS{}
	for name, entries := range parts {
		text, err := inFormat(entries, name)
		if err != nil {
			return nil, err
		}
		files[name] = &fstest.MapFile{Data: text}
	}
	return files, nil
}

func TestAFoldHandedOnAtEveryLineAnswersAlike(t *testing.T) {
	eachProgram(t, 60, func(p *engine.Program, c *cases.Case) error {
		one, many := p.NewFold(c.Dogs...), p.NewFold(c.Dogs...)
		for i := range c.Entries {
			_, _ = one.Take(&c.Entries[i]), many.Take(&c.Entries[i])
			var saved, again bytes.Buffer
			err := many.Save(&saved)
			if err != nil {
				return err
			}
			text := saved.String()
			if many, err = p.Resume(&saved, c.Dogs...); err != nil {
				return fmt.Errorf("after %d lines: %w", i+1, err)
			}
			if err := many.Save(&again); err != nil {
				return err
			}
			if text != again.String() {
				return fmt.Errorf("after %d lines what was saved is saved otherwise:\n%s", i+1, cmp.Diff(text, again.String()))
			}
		}
		return sameStanding(one.Standing(c.Now), many.Standing(c.Now))
	})
}
