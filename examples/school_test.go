package examples_test

import (
	"fmt"
	"io/fs"
	"path"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/history"
	"example.com/rung/engine/plan"
	"example.com/rung/examples"
)

// Every file of the school can be read by itself, because each names the files it leans on.
func TestEveryFileOfTheSchoolReadsWithoutAFinding(t *testing.T) {
	for _, name := range []string{"common", "attention", "body", "care", "retrieve", "assistance", "tables", "house"} {
		t.Run(name, func(t *testing.T) {
			c, ds := dsl.ReadFS(examples.Files(), path.Join("pindrift", name+".rung"))
			require.Empty(t, ds.Text())
			_, err := engine.Compile(c)
			require.NoError(t, err)
		})
	}
}

func TestTheFirstStepsReadAndCompile(t *testing.T) {
	c, ds := dsl.ReadFS(examples.Files(), examples.FirstSteps)
	require.Empty(t, ds.Text())
	_, err := engine.Compile(c)
	require.NoError(t, err)
}

// The draft is faulty in what it means, not in how it is spelt: that is what makes it a good exercise.
func TestTheFaultyDraftReadsAndCompiles(t *testing.T) {
	c, ds := dsl.ReadFS(examples.Files(), examples.Draft)
	require.Empty(t, ds.Text())
	_, err := engine.Compile(c)
	require.NoError(t, err)
}

func TestTidyLeavesEveryFileAsItIs(t *testing.T) {
	names, err := fs.Glob(examples.Files(), "*/*.rung")
	require.NoError(t, err)
	require.Len(t, names, 9)
	for _, name := range append(names, examples.FirstSteps) {
		t.Run(name, func(t *testing.T) {
			src, err := fs.ReadFile(examples.Files(), name)
			require.NoError(t, err)
			tidied, err := dsl.Tidy(name, src)
			require.NoError(t, err)
			require.True(t, string(src) == string(tidied), "run: go run ./cmd/rung tidy --write examples/%s", name)
		})
	}
}

func TestTheHouseHoldsTheSixteenBehaviours(t *testing.T) {
	var have []string
	for _, b := range house(t).Curriculum().Behaviours {
		have = append(have, b.Name)
	}
	require.ElementsMatch(t, []string{
		"name-check", "hand-touch", "call-in", "mat-settle", "step-platform", "pivot-left", "pivot-right", "chin-rest",
		"nail-file", "basket-nose", "take", "give", "hold", "drawer-open", "drawer-shut", "bring-dropped",
	}, have)
}

func TestEverySheetCanBeJudgedAndPaid(t *testing.T) {
	for _, b := range house(t).Curriculum().Behaviours {
		for i, s := range b.Steps {
			sheet := b.SheetOf(i)
			require.NotEmptyf(t, sheet.Success, "%s at %s: what counts?", b.Name, s.Name)
			require.NotEmptyf(t, sheet.Do, "%s at %s: what to do?", b.Name, s.Name)
			require.NotEmptyf(t, sheet.Pay, "%s at %s: where to pay?", b.Name, s.Name)
			require.NotEmptyf(t, sheet.Mark, "%s at %s: which marker?", b.Name, s.Name)
		}
	}
}

// In care work every step on which a dog can leave eases at the first leave and ends at the second.
func TestInCareADogThatLeavesIsHeard(t *testing.T) {
	p := house(t)
	for _, b := range p.Curriculum().Behaviours {
		if !is(b, curriculum.Care) {
			continue
		}
		for i, s := range b.Steps {
			words := map[curriculum.RuleWord]bool{}
			for _, r := range s.Rules {
				words[r.Word] = true
			}
			counted := len(s.Rules) == 1 && s.Rules[0].Word == curriculum.Advance // pairing and first sniffs
			require.Truef(t, counted || words[curriculum.Ease] && words[curriculum.StopToday], "%s at %s (step %d)", b.Name, s.Name, i)
		}
	}
}

// ---- reading the school ------------------------------------------------------------------------------------

func house(t testing.TB) *engine.Program {
	t.Helper()
	p, err := readHouse()
	require.NoError(t, err)
	return p
}

var readHouse = sync.OnceValues(func() (*engine.Program, error) {
	c, ds := dsl.ReadFS(examples.Files(), examples.House)
	if len(ds) > 0 {
		return nil, ds
	}
	return engine.Compile(c)
})

func now(t testing.TB) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, examples.At)
	require.NoError(t, err)
	return at
}

func dogs(t testing.TB) []curriculum.Dog {
	t.Helper()
	f, err := examples.Files().Open(examples.Dogs)
	require.NoError(t, err)
	defer f.Close()
	ds, reports, err := history.ReadDogs(f, examples.Dogs)
	require.NoError(t, err)
	require.Empty(t, reports)
	return ds
}

func is(b *curriculum.Behaviour, k curriculum.Kind) bool {
	for _, x := range b.Kinds {
		if x == k {
			return true
		}
	}
	return false
}

// ---- the examples in the text ---------------------------------------------------------------------------------

// The authors' own examples hold, by recording their marks one by one.
func TestTheExamplesWrittenInTheTextHold(t *testing.T) {
	p := house(t)
	require.NotEmpty(t, p.Curriculum().Examples)
	for _, ex := range p.Curriculum().Examples {
		t.Run(ex.Name, func(t *testing.T) { runExample(t, p, ex) })
	}
}

func runExample(t *testing.T, p *engine.Program, ex curriculum.Example) {
	f := p.NewFold()
	at := time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)
	session, place, handler := 1, "", ""
	for _, it := range ex.Items {
		switch {
		case it.Session != nil:
			session++
			at = at.AddDate(0, 0, it.Session.AfterDays).Add(time.Hour)
			place, handler = it.Session.Place, it.Session.Handler
		case it.Trials != nil:
			for _, m := range it.Trials.Marks {
				tr := curriculum.Trial{Dog: "any", Behaviour: it.Trials.Behaviour, Step: it.Trials.Step, Level: it.Trials.Level, At: at,
					Session: fmt.Sprint(session), Place: place, Handler: handler, Outcome: m.Outcome, Measures: m.Measures}
				if m.Help != curriculum.NoHelp {
					tr.Help, tr.Early = []string{curriculum.UnnamedHelp}, m.Help == curriculum.EarlyHelp
				}
				require.NoError(t, f.Record(&tr))
				at = at.Add(10 * time.Second)
			}
		case it.Expect != nil && !it.Expect.Plan:
			expectStanding(t, f, at, it)
		case it.Expect != nil:
			expectPlan(t, p, f, at, it)
		}
	}
	require.Empty(t, f.Reports())
}

func expectStanding(t *testing.T, f *engine.Fold, at time.Time, it curriculum.ExampleItem) {
	e := it.Expect
	v := f.Dog("any", at)
	if v == nil { // no line yet: any dog is new
		require.NoError(t, f.Note(&curriculum.Event{Dog: "any", At: at, Kind: curriculum.NoteTaken}))
		v = f.Dog("any", at)
	}
	for _, b := range v.Behaviours {
		if b.Behaviour.Name != e.Behaviour {
			continue
		}
		if e.State != "" {
			require.Equal(t, e.State, b.State, "line %d", it.Pos.Line)
		}
		if e.Step != "" {
			require.Equal(t, e.Step, b.Behaviour.Steps[b.Step].Name, "line %d", it.Pos.Line)
			require.True(t, b.At.Meets(e.Level), "line %d: stands at %v", it.Pos.Line, b.At)
		}
		return
	}
	t.Fatalf("line %d: no %s", it.Pos.Line, e.Behaviour)
}

func expectPlan(t *testing.T, p *engine.Program, f *engine.Fold, at time.Time, it curriculum.ExampleItem) {
	next, err := plan.Next(p, f, plan.Request{Dog: "any", At: at.Add(time.Hour)})
	require.NoError(t, err)
	in := false
	for _, x := range next.Items {
		in = in || x.Behaviour == it.Expect.Behaviour
	}
	require.Equal(t, !it.Expect.LeftOut, in, "line %d", it.Pos.Line)
}
