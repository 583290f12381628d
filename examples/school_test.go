package examples_test

import (
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
