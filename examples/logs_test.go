package examples_test

import (
	"errors"
	"io"
	"io/fs"
	"path"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/history"
	"example.com/rung/engine/plan"
	"example.com/rung/examples"
)

func entriesOf(t testing.TB) []curriculum.Entry {
	t.Helper()
	es, err := readLogs()
	require.NoError(t, err)
	return es
}

var readLogs = sync.OnceValues(func() ([]curriculum.Entry, error) {
	list, err := fs.ReadDir(examples.Files(), examples.Logs)
	if err != nil {
		return nil, err
	}
	p, err := readHouse()
	if err != nil {
		return nil, err
	}
	var out []curriculum.Entry
	for _, file := range list {
		if history.FormatOf(file.Name()) == history.Auto {
			continue
		}
		in, err := examples.Files().Open(path.Join(examples.Logs, file.Name()))
		if err != nil {
			return nil, err
		}
		r := history.NewReader(in, file.Name(), history.Options{}.For(p.Curriculum()))
		for {
			var e curriculum.Entry
			err := r.Next(&e)
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				return nil, err
			}
			out = append(out, history.Clone(&e))
		}
		for _, bad := range r.Reports() {
			return nil, errors.New(history.ReportText(bad))
		}
		if err := in.Close(); err != nil {
			return nil, err
		}
	}
	return out, nil
})

func replay(t testing.TB, p *engine.Program) *engine.Fold {
	t.Helper()
	return p.Replay(entriesOf(t), now(t), dogs(t)...)
}

// standing is one dog's standing in one behaviour at the demo's moment.
func standing(t testing.TB, p *engine.Program, dog, behaviour string) engine.BehaviourStanding {
	t.Helper()
	for _, d := range replay(t, p).Standing(now(t)).Dogs {
		for _, b := range d.Behaviours {
			if d.Dog == dog && b.Behaviour == behaviour {
				return b
			}
		}
	}
	t.Fatalf("no standing of %s in %s", dog, behaviour)
	return engine.BehaviourStanding{}
}

// planFor plans from what had been recorded by then.
func planFor(t testing.TB, p *engine.Program, dog string, at time.Time, r plan.Request) *plan.Plan {
	t.Helper()
	r.Dog, r.At = dog, at
	next, err := plan.Next(p, p.Replay(until(t, dog, at), at, dogs(t)...), r)
	require.NoError(t, err)
	return next
}

func leftOut(t testing.TB, p *plan.Plan, behaviour string) plan.LeftOut {
	t.Helper()
	for _, l := range p.LeftOut {
		if l.Behaviour == behaviour {
			return l
		}
	}
	require.Failf(t, "planned after all", "%s is not among those left out", behaviour)
	return plan.LeftOut{}
}

func day(t time.Time) time.Time { return t.Truncate(24 * time.Hour) }

// until is what had been recorded of one dog by a moment.
func until(t testing.TB, dog string, at time.Time) []curriculum.Entry {
	t.Helper()
	var known []curriculum.Entry
	for _, e := range entriesOf(t) {
		if e.Dog() == dog && !e.At().After(at) {
			known = append(known, e)
		}
	}
	return known
}

// viewOf is one behaviour of a dog as a fold sees it.
func viewOf(t testing.TB, f *engine.Fold, dog, behaviour string, at time.Time) engine.BehaviourView {
	t.Helper()
	v := f.Dog(dog, at)
	require.NotNil(t, v)
	for _, b := range v.Behaviours {
		if b.Behaviour.Name == behaviour {
			return b
		}
	}
	t.Fatalf("no %s", behaviour)
	return engine.BehaviourView{}
}

// stepOf is the name of the step a dog stands at.
func stepOf(t testing.TB, f *engine.Fold, dog, behaviour string, at time.Time) string {
	t.Helper()
	for _, d := range f.Standing(at).Dogs {
		for _, b := range d.Behaviours {
			if d.Dog == dog && b.Behaviour == behaviour {
				return b.Step
			}
		}
	}
	t.Fatalf("no %s", behaviour)
	return ""
}

// record takes marks (+ - o) of one behaviour at the dog's present level, ten seconds apart, and returns the time after.
func record(t testing.TB, f *engine.Fold, tr curriculum.Trial, marks string) time.Time {
	t.Helper()
	outcomes := map[rune]curriculum.Outcome{'+': curriculum.Success, '-': curriculum.Wrong, 'o': curriculum.OptOut}
	for _, m := range marks {
		tr.Outcome = outcomes[m]
		one := tr
		require.NoError(t, f.Record(&one))
		tr.At = tr.At.Add(10 * time.Second)
	}
	return tr.At
}

func clock(t testing.TB, s string) time.Time {
	t.Helper()
	at, err := time.Parse("2006-01-02 15:04", s)
	require.NoError(t, err)
	return at
}
