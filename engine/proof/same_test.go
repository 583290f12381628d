package proof_test

import (
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.com/rung/dsl"
	"example.com/rung/engine/internal/naive/cases"
	"example.com/rung/engine/proof"
	"example.com/rung/examples"
)

// Any curriculum that compiles is looked at without a panic, always with the same findings, at the same time in many
// goroutines; all codes have pages, and findings come in the order of their places.
func TestTheSameCurriculumAlwaysHasTheSameFindings(t *testing.T) {
	on := map[cases.Feature]bool{}
	for _, f := range cases.All {
		on[f] = true
	}
	for seed := range uint64(12) {
		p := compiled(t, cases.Make(seed, on).Curriculum)
		want := proof.Check(p, proof.Options{States: 300})
		for i, f := range want {
			_, ok := proof.Explain(f.Code)
			require.True(t, ok, f.Code)
			require.NotEmpty(t, f.Text)
			if i > 0 {
				require.LessOrEqual(t, proof.ComparePos(want[i-1].Pos, f.Pos), 0)
			}
		}
		require.Empty(t, cmp.Diff(want, proof.Check(p, proof.Options{States: 300})))
	}
}

func TestManyMayCheckOneProgramAtOnce(t *testing.T) {
	c, ds := dsl.ReadFS(examples.Files(), examples.Draft)
	require.Empty(t, ds.Text())
	p := compiled(t, c)
	want := proof.Check(p, proof.Options{})
	var wg sync.WaitGroup
	got := make([][]proof.Finding, 4)
	for i := range got {
		wg.Go(func() { got[i] = proof.Check(p, proof.Options{}) })
	}
	wg.Wait()
	for _, g := range got {
		require.Empty(t, cmp.Diff(want, g))
	}
}
