package plan_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine/plan"
)

// The constants are read from the source, so that a new one cannot be forgotten.
func TestEveryReasonForLeavingOutHasAPage(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "plan.go", nil, 0)
	require.NoError(t, err)
	var codes []plan.Code
	ast.Inspect(file, func(n ast.Node) bool {
		v, ok := n.(*ast.ValueSpec)
		if !ok {
			return true
		}
		if of, ok := v.Type.(*ast.Ident); ok && of.Name == "Code" {
			code, err := strconv.Unquote(v.Values[0].(*ast.BasicLit).Value)
			require.NoError(t, err)
			codes = append(codes, plan.Code(code))
		}
		return true
	})
	require.Greater(t, len(codes), 10)
	require.ElementsMatch(t, codes, plan.Codes())
	for _, code := range codes {
		text, ok := plan.Explain(code)
		require.True(t, ok)
		require.True(t, strings.HasSuffix(text, "."), text)
	}
	_, ok := plan.Explain("no-such-code")
	require.False(t, ok)
}
