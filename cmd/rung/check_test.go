package main

import (
	"bytes"
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"github.com/owenrumney/go-sarif/v3/pkg/report/v210/sarif"
	"github.com/stretchr/testify/require"

	"example.com/rung/dsl"
	"example.com/rung/examples"
)

const faultyText = "rung 1\nbehaviour lie-down {\n  mark yess\n  step go {\n    advance when 4 out of 5\n  }\n}\n"

func TestColourChangesNoWordOfAFinding(t *testing.T) {
	_, found := dsl.ReadString("x.rung", faultyText)
	require.Len(t, found, 2)
	var plain, painted bytes.Buffer
	a, b := newOutput(&plain, false), newOutput(&painted, true)
	a.findings(found)
	b.findings(found)
	require.NoError(t, a.flush())
	require.NoError(t, b.flush())
	require.NotContains(t, plain.String(), "\x1b")
	require.Contains(t, painted.String(), "\x1b["+red+"m")
	require.Equal(t, plain.String(), regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAllString(painted.String(), ""))
}

func TestAFindingKeepsItsCaretsUnderThePiece(t *testing.T) {
	_, found := dsl.ReadString("x.rung", faultyText)
	var out bytes.Buffer
	o := newOutput(&out, false)
	o.findings(found)
	require.NoError(t, o.flush())
	lines := strings.Split(out.String(), "\n")
	for i, line := range lines {
		if at := strings.Index(line, "yess"); at >= 0 && strings.Contains(line, " | ") {
			require.Equal(t, strings.Index(line, "yess"), strings.Index(lines[i+1], "^"), out.String())
			return
		}
	}
	t.Fatal("the line is not shown:\n" + out.String())
}

// An offset found from a line and column is the place the reader meant, whatever the letters before it.
func TestOffsetOfFindsTheColumnInCharacters(t *testing.T) {
	text := "rung 1\n# Hundejahre über alles äöü\n  marker ja releases\n"
	require.Equal(t, strings.Index(text, "marker"), offsetOf(text, 3, 3))
	require.Equal(t, strings.Index(text, "alles"), offsetOf(text, 2, 19))
	require.Equal(t, 0, offsetOf(text, 1, 1))
	require.Equal(t, len(text), offsetOf(text, 9, 1))
	require.Equal(t, len(text)-1, offsetOf(text, 3, 99), "the end of the line")
	require.Equal(t, len("\ufeff"), offsetOf("\ufeff"+text, 1, 1))
	for line := range 12 {
		for column := range 40 {
			src := dsl.NewSource("x", text)
			if at := offsetOf(text, line+1, column+1); at < len(text) && text[at] != '\n' {
				gotLine, gotColumn := src.Position(at)
				require.Equal(t, [2]int{line + 1, column + 1}, [2]int{gotLine, gotColumn})
			}
		}
	}
}

// What the call prints for code hosts is valid under the schema that OASIS publishes, as an independent library holds it.
func TestFindingsForCodeHostsAreValid(t *testing.T) {
	draft, err := fs.ReadFile(examples.Files(), examples.Draft)
	require.NoError(t, err)
	for name, text := range map[string]string{"draft": string(draft), "faulty": faultyText, "sound": "rung 1\n", "empty": ""} {
		w, out, complaints := testWorld(text)
		files := []string{"-"}
		if name == "sound" {
			files = append(files, "nowhere.rung", "no where/ä.rung")
		}
		code := run(append([]string{"check", "--format", "sarif"}, files...), w)
		require.Equal(t, len(files) > 1, code == exitFailed, complaints.String())
		report, err := sarif.FromBytes(out.Bytes())
		require.NoError(t, err, name)
		require.NoError(t, report.Validate(), name)
		require.Len(t, report.Runs, 1)
		for _, r := range report.Runs[0].Results {
			require.NotNil(t, r.RuleIndex, "every finding has a page: %s", *r.RuleID)
		}
	}
}

// The codes of all findings share one namespace: rung explain takes any of them. What a plan leaves out may have the code
// of a report, as waiting has; then explain shows both pages.
func TestNoTwoPackagesShareACode(t *testing.T) {
	seen := map[string]string{}
	all := pages()
	for _, p := range all {
		if p.About == "plan" && seen[p.Code] != "" {
			found, err := pagesOf(all, []string{p.Code})
			require.NoError(t, err)
			require.Len(t, found, 1)
			require.Len(t, found[0].Also, 1, p.Code)
			continue
		}
		require.Empty(t, seen[p.Code], "%s is a code of %s and of %s", p.Code, seen[p.Code], p.About)
		seen[p.Code] = p.About
	}
}
