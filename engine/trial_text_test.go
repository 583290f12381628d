package engine_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine"
)

func TestAnIDThatWasMadeReadsAsATime(t *testing.T) {
	for id, want := range map[string]string{
		"okapi/spin/2026-03-02T17:10:05Z/0a46ba":      "2026-03-02 17:10:05",
		"okapi/spin/2026-03-02T17:10:05+02:00/0a46ba": "2026-03-02 17:10:05",
		"okapi/spin/2026-03-02T17:10:05.25Z/0a46ba#3": "2026-03-02 17:10:05 #3",
		"t1":                                     "t1",
		"a/b/c/d":                                "a/b/c/d",
		"okapi/spin/2026-03-02T17:10:05Z/0a46b":  "okapi/spin/2026-03-02T17:10:05Z/0a46b",
		"okapi/spin/2026-03-02T17:10:05Z/lesson": "okapi/spin/2026-03-02T17:10:05Z/lesson",
		"okapi/spin/monday/0a46ba":               "okapi/spin/monday/0a46ba",
	} {
		require.Equal(t, want, engine.TrialText(id))
	}
}

func TestWhyListsTrialsByTheirTimesAndReasons(t *testing.T) {
	_, w := whyOf(t, "  step one {\n    prompt word\n    advance when 9 of last 10\n  }\n",
		"spin: + - + - h e\nokapi 2026-03-03 08:00\nspin: + -\n")
	require.Contains(t, flat(w.Text()), "counts: 2026-03-02 17:10:00, 17:10:02, 2026-03-03 08:00:00 "+
		"does not: 2026-03-02 17:10:01, 17:10:03, 2026-03-03 08:00:01 (wrong); 2026-03-02 17:10:04 (helped); "+
		"2026-03-02 17:10:05 (helped before its chance: no evidence)")

	_, w = whyOf(t, "  step one {\n    prompt word\n    advance when 30 in a row\n  }\n", "spin: "+strings.Repeat("+ ", 15)+"\n")
	require.Contains(t, flat(w.Text()), "counts: 3 earlier, 2026-03-02 17:10:03, 17:10:04")
}
