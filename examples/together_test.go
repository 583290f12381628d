package examples

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/example"
	"example.com/rung/engine/history"
	"example.com/rung/engine/odds"
	"example.com/rung/engine/plan"
	"example.com/rung/engine/proof"
)

// What the packages say may be done from several goroutines at once is done so here; the race detector listens
// (.ci/run race), and every goroutine must come to the same bytes.

// atOnce runs work in several goroutines and requires one answer of all.
func atOnce(t *testing.T, work func() string) {
	t.Helper()
	got := make([]string, 6)
	var wg sync.WaitGroup
	for i := range got {
		wg.Go(func() { got[i] = work() })
	}
	wg.Wait()
	require.NotEmpty(t, got[0])
	for _, g := range got {
		require.Equal(t, got[0], g)
	}
}

// pindrift is the demo school: its curriculum, its dogs and all their logs.
func pindrift(t *testing.T) (*engine.Program, []curriculum.Dog, []curriculum.Entry) {
	t.Helper()
	c, found := dsl.ReadFS(Files(), House)
	require.NoError(t, found.Err())
	p, err := engine.Compile(c)
	require.NoError(t, err)
	src, err := Files().Open(Dogs)
	require.NoError(t, err)
	dogs, _, err := history.ReadDogs(src, Dogs)
	require.NoError(t, err)
	h, err := history.OpenFS(Files(), []string{Logs}, history.Options{}.For(c))
	require.NoError(t, err)
	entries, err := h.ReadAll()
	require.NoError(t, err)
	return p, dogs, entries
}

func TestOneProgramServesManyFoldsPlansAndQuestionsAtOnce(t *testing.T) {
	p, dogs, entries := pindrift(t)
	now, err := time.Parse(time.RFC3339, At)
	require.NoError(t, err)
	atOnce(t, func() string {
		var out strings.Builder
		f := p.Replay(entries, now, dogs...)
		var saved bytes.Buffer
		if err := f.Save(&saved); err != nil {
			return err.Error()
		}
		out.WriteString(saved.String())
		f, err := p.Resume(&saved, dogs...)
		if err != nil {
			return err.Error()
		}
		for _, d := range dogs {
			next, err := plan.Next(p, f, plan.Request{Dog: d.Name, At: now, Seed: 1})
			if err != nil {
				return err.Error()
			}
			out.WriteString(next.Text())
			if err := next.WriteHTML(&out, engine.ForOwner); err != nil {
				return err.Error()
			}
		}
		why, err := f.Why(dogs[0].Name, p.Curriculum().Behaviours[0].Name, now)
		return fmt.Sprintln(out.String(), why.Text(), err)
	})
}

func TestReadingCheckingTryingAndOddsMayRunAtOnce(t *testing.T) {
	c, found := dsl.ReadFS(Files(), FirstSteps)
	require.NoError(t, found.Err())
	p, err := engine.Compile(c)
	require.NoError(t, err)
	atOnce(t, func() string {
		again, found := dsl.ReadFS(Files(), FirstSteps)
		answer, err := odds.Of(c, "", "", odds.Question{})
		if err != nil {
			return err.Error()
		}
		tried := example.Run(p, example.Options{})
		told, err := json.Marshal([]any{proof.Check(p, proof.Options{}), tried, example.Suggest(p, tried.Rules.Unfired, false), example.Doubt(p, example.Options{}, nil)})
		return fmt.Sprintln(again.Fingerprint(), c.Fingerprint(), found, answer.Text(), string(told), err)
	})
}

// A copy answers in a goroutine of its own while the fold that it was made from goes on.
func TestACopyIsAFoldOfItsOwn(t *testing.T) {
	p, dogs, entries := pindrift(t)
	answer := func(f *engine.Fold) string {
		s, err := json.Marshal(f.Standing(f.Now()))
		if err != nil {
			return err.Error()
		}
		next, err := plan.Next(p, f, plan.Request{Dog: dogs[0].Name, At: f.Now().Add(time.Hour), Seed: 1})
		if err != nil {
			return err.Error()
		}
		return string(s) + next.Text()
	}
	const stops = 5
	whole, again := p.NewFold(dogs...), p.NewFold(dogs...)
	got := make([]string, stops)
	var wg sync.WaitGroup
	for i := range entries {
		if i%(len(entries)/stops+1) == 0 {
			at, own := i/(len(entries)/stops+1), whole.Copy()
			wg.Go(func() { got[at] = answer(own) })
		}
		_ = whole.Take(&entries[i])
	}
	wg.Wait()
	for i := range entries {
		if i%(len(entries)/stops+1) == 0 {
			require.Equal(t, answer(again), got[i/(len(entries)/stops+1)], "after %d of %d lines", i, len(entries))
		}
		_ = again.Take(&entries[i])
	}
	require.Equal(t, answer(again), answer(whole))
}
