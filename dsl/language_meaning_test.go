package dsl_test

import (
	"os"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"example.com/rung/dsl"
	"example.com/rung/engine"
)

// The examples of LANGUAGE.md are pieces of one school. What a piece names and another declares stands here.
const restOfTheSchool = `rung 1
criterion steady = 4 of last 5
criterion shaky = 3 misses of last 5
marker good keeps
equipment platform
caution slow "Low and slow while it grows."
measure turn in deg
place yard
handler owner
behaviour mat-work { step on-cue { prompt word } }
behaviour settle { step on-cue { prompt word } }
behaviour sit { step on-cue { prompt word } }
behaviour pivot { step word-only { prompt word } }
behaviour circle {
  step follow {
    prompt lure
    ramp turn 30 deg, 60 deg, 90 deg
  }
}
`

func TestEveryExampleOfThePageMeansSomethingToTheEngine(t *testing.T) {
	page, err := os.ReadFile("LANGUAGE.md")
	require.NoError(t, err)
	n := 0
	for _, m := range regexp.MustCompile("(?ms)^```(rung.*?)\n(.*?)^```").FindAllStringSubmatch(string(page), -1) {
		text := m[2]
		if m[1] != "rung" {
			text = "  " + strings.ReplaceAll(text, "\n", "\n  ")
		}
		switch m[1] {
		case "rung behaviour":
			text = "rung 1\nbehaviour whole {\nstep earlier {\nprompt lure\n}\nstep word-only {\nprompt word\n}\n" + text + "}\n"
		case "rung step":
			text = "rung 1\nbehaviour whole {\nstep earlier {\nprompt lure\n}\nstep here {\n" + text + "}\n}\n"
		case "rung criterion":
			for _, line := range strings.Split(strings.TrimSpace(m[2]), "\n") {
				_, ds := dsl.ParseCriterion(line, nil)
				require.False(t, ds.HasErrors(), line)
			}
			continue
		}
		n++
		c, ds := dsl.ReadFS(fstest.MapFS{"example.rung": {Data: []byte(withTheRest(text))}, "yard-common.rung": {Data: []byte("rung 1\n")}}, "example.rung")
		require.False(t, ds.HasErrors(), "%s\n%s", text, ds.Text())
		_, err := engine.Compile(c)
		require.NoError(t, err, text)
	}
	require.Greater(t, n, 10)
}

// withTheRest adds what a piece does not declare itself.
func withTheRest(text string) string {
	for _, s := range regexp.MustCompile(`(?m)^[a-z]+ [a-z-]+.*(\n  .*|\n})*\n`).FindAllString(strings.TrimPrefix(restOfTheSchool, "rung 1\n"), -1) {
		words := strings.Fields(s)
		if !regexp.MustCompile(`(?m)^` + words[0] + ` +([a-z-]+, *)*` + words[1] + `\b`).MatchString(text) {
			text += s
		}
	}
	return text
}
