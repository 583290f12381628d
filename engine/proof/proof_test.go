package proof_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/proof"
)

// program reads and compiles a text that has no fault of spelling.
func program(t testing.TB, text string) *engine.Program {
	t.Helper()
	c, ds := dsl.ReadString("a.rung", text)
	require.Empty(t, ds.Text(), text)
	return compiled(t, c)
}

func compiled(t testing.TB, c *curriculum.Curriculum) *engine.Program {
	t.Helper()
	p, err := engine.Compile(c)
	require.NoError(t, err)
	return p
}

func codesOf(fs []proof.Finding) []string {
	out := []string{}
	for _, f := range fs {
		out = append(out, f.Code)
	}
	return out
}

func linesOf(fs []proof.Finding) string {
	var b strings.Builder
	for _, f := range fs {
		fmt.Fprintf(&b, "%s:%d:%d %s %s: %s (%s)\n", f.Pos.File, f.Pos.Line, f.Pos.Column, f.Severity, f.Code, f.Text, f.Help)
	}
	return b.String()
}

func TestEachCodeHasAPageWhoseExamplesShowItAndItsRepair(t *testing.T) {
	for _, code := range proof.Codes() {
		t.Run(code, func(t *testing.T) {
			e, ok := proof.Explain(code)
			require.True(t, ok)
			require.NotEmpty(t, e.Title)
			require.NotContains(t, e.Title, ".")
			require.NotEmpty(t, e.Means)
			var o proof.Options
			severity := e.Severity
			if severity == proof.Off { // only for those who ask
				severity = proof.Note
				o.Severity = map[string]proof.Severity{code: severity}
			}
			found := proof.Check(program(t, e.Faulty), o)
			require.Equal(t, []string{code}, codesOf(found), linesOf(found))
			require.Equal(t, severity, found[0].Severity)
			found = proof.Check(program(t, e.Repaired), o)
			require.Empty(t, codesOf(found), linesOf(found))
		})
	}
}
