package proof_test

import (
	"path"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/dsl"
	"example.com/rung/engine/proof"
	"example.com/rung/examples"
)

func checked(t testing.TB, name string) []proof.Finding {
	t.Helper()
	c, ds := dsl.ReadFS(examples.Files(), name)
	require.Empty(t, ds.Text())
	return proof.Check(compiled(t, c), proof.Options{})
}

func TestTheSchoolHasNoFinding(t *testing.T) {
	for _, name := range []string{"common", "attention", "body", "care", "retrieve", "assistance", "house"} {
		t.Run(name, func(t *testing.T) {
			found := checked(t, path.Join("pindrift", name+".rung"))
			require.Empty(t, linesOf(found))
		})
	}
}

func TestTheFirstStepsHaveNoFinding(t *testing.T) {
	require.Empty(t, linesOf(checked(t, examples.FirstSteps)))
}
