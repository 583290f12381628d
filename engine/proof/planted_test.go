package proof

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/dsl"
	"example.com/rung/engine"
)

// Three drafts with slips of all kinds, found by hand: the remark behind a line names what is found there. Nothing else
// is, each finding says what to change, and the engine shows each history.
func TestWhatWasPlantedIsFoundAndNothingElse(t *testing.T) {
	files, err := filepath.Glob("testdata/*.rung")
	require.NoError(t, err)
	require.Len(t, files, 3)
	tally := map[string]int{}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".rung"), func(t *testing.T) {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			var want, have []string
			for i, line := range strings.Split(string(text), "\n") {
				if _, codes, planted := strings.Cut(line, "  # "); planted {
					for _, code := range strings.Split(codes, ", ") {
						want = append(want, fmt.Sprintf("%d %s", i+1, code))
					}
				}
			}
			c, err := dsl.ReadFile(file)
			require.NoError(t, err)
			p, err := engine.Compile(c)
			require.NoError(t, err)
			for _, f := range Check(p, Options{}) {
				have = append(have, fmt.Sprintf("%d %s", f.Pos.Line, f.Code))
				require.NotEmpty(t, f.Help, f.Text)
			}
			require.Equal(t, want, have)
			shownIn(t, c, DefaultStates, tally)
		})
	}
	require.Equal(t, 4, tally["shown "+codeBeaten])
	require.Equal(t, 2, tally["shown "+codeTogether])
}
