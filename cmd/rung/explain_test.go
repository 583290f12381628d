package main

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

var codeInJSON = regexp.MustCompile(`"code": ?"([^"]+)"`)

// Whatever code the calls print in their archives, and the library in its golden files, has a page. Each package holds its
// own list to its own source; that no list is forgotten here is what this test is for.
func TestEveryCodeThatIsPrintedIsExplained(t *testing.T) {
	about := map[string][]string{}
	for _, p := range pages() {
		require.NotContains(t, about[p.Code], p.About)
		require.NotEmpty(t, p.Means, p.Code)
		require.NotEmpty(t, headings[p.About], p.About)
		about[p.Code] = append(about[p.Code], p.About)
	}
	seen := map[string]bool{}
	err := filepath.WalkDir(repoRoot(t), func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Base(filepath.Dir(path)) != "calls" && filepath.Base(filepath.Dir(path)) != "testdata" {
			return err
		}
		text, err := os.ReadFile(path)
		for _, m := range codeInJSON.FindAllSubmatch(text, -1) {
			code := string(m[1])
			seen[code] = true
			require.NotEmpty(t, about[code], "%s in %s", code, path)
		}
		return err
	})
	require.NoError(t, err)
	require.Greater(t, len(seen), 10)
	t.Log(seen)
}
