package engine

import (
	"go/ast"
	"go/parser"
	"go/token"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The constants are read from the source, so that a new one cannot be forgotten.
func TestEveryCodeHasAPage(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "report.go", nil, 0)
	require.NoError(t, err)
	var codes []string
	ast.Inspect(file, func(n ast.Node) bool {
		if v, ok := n.(*ast.ValueSpec); ok && strings.HasPrefix(v.Names[0].Name, "Code") {
			code, err := strconv.Unquote(v.Values[0].(*ast.BasicLit).Value)
			require.NoError(t, err)
			codes = append(codes, code)
		}
		return true
	})
	require.Greater(t, len(codes), 20)
	require.ElementsMatch(t, codes, Codes())
	for _, code := range codes {
		text, ok := Explain(code)
		require.True(t, ok)
		require.True(t, strings.HasSuffix(text, ".") || strings.HasSuffix(text, "?"), text)
	}
	_, ok := Explain("no-such-code")
	require.False(t, ok)
}
