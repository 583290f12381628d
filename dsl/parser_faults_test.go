package dsl

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The files in testdata/faults are curricula with faults. A remark behind a line says what must be reported on it,
//
//	# ERROR "R0301.*a step's name"
//
// one regular expression for each report, matched against the code and the message. Every other line must be free of
// reports, so that a cascade shows.
func TestEveryFaultIsReportedOnItsLineAndNoOther(t *testing.T) {
	files, err := filepath.Glob("testdata/faults/*.rung")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	cases := 0
	for _, name := range files {
		t.Run(filepath.Base(name), func(t *testing.T) {
			src, err := os.ReadFile(name)
			require.NoError(t, err)
			_, ds := Parse(name, src, MaxDiagnostics(10_000))
			found := map[int][]string{}
			for _, d := range ds {
				line, _ := d.Source.Position(d.Span.From)
				found[line] = append(found[line], d.Code+" "+d.Message.String())
			}
			for i, line := range strings.Split(string(src), "\n") {
				want := wantedReports(t, line)
				cases += len(want)
				got := found[i+1]
				require.Len(t, got, len(want), "line %d: %s\n%s", i+1, line, strings.Join(got, "\n"))
				for j, rx := range want {
					require.Regexp(t, regexp.MustCompile(rx), got[j], "line %d: %s", i+1, line)
				}
			}
		})
	}
	require.GreaterOrEqual(t, cases, 80)
}

func wantedReports(t *testing.T, line string) (out []string) {
	_, rest, ok := strings.Cut(line, "# ERROR ")
	for ok && rest != "" {
		q, err := strconv.QuotedPrefix(rest)
		require.NoError(t, err, line)
		rx, err := strconv.Unquote(q)
		require.NoError(t, err)
		out = append(out, rx)
		rest = strings.TrimSpace(rest[len(q):])
	}
	return out
}

func TestEachWordLeftOutIsReportedOnceAtMost(t *testing.T) {
	src, err := os.ReadFile("testdata/yard.rung")
	require.NoError(t, err)
	file, ds := Parse("yard.rung", src)
	require.Empty(t, ds)
	reports := map[int]int{}
	for _, tok := range file.tokens {
		s := spanOf(tok)
		if s.From == s.To {
			continue
		}
		_, ds := Parse("yard.rung", append(append([]byte{}, src[:s.From]...), src[s.To:]...))
		reports[len(ds)]++
		if len(ds) > 1 {
			t.Logf("without %q:\n%s", tok.Value, ds.Text())
		}
	}
	t.Logf("words left out, by number of reports: %v", reports)
	require.Greater(t, reports[1], 550, "most words cannot be left out")
	require.Equal(t, len(file.tokens), reports[0]+reports[1]+countEmpty(file), "never more than one report")
}

func TestEachLineLeftOutOrDoubledIsReportedOnceAtMost(t *testing.T) {
	src, err := os.ReadFile("testdata/yard.rung")
	require.NoError(t, err)
	lines := strings.SplitAfter(string(src), "\n")
	for i := range lines {
		for n, text := range map[string]string{
			"left out": strings.Join(append(append([]string{}, lines[:i]...), lines[i+1:]...), ""),
			"doubled":  strings.Join(append(append([]string{}, lines[:i+1]...), lines[i:]...), ""),
		} {
			_, ds := Parse("yard.rung", []byte(text))
			require.LessOrEqual(t, len(ds), 1, "line %d %s: %s\n%s", i+1, n, lines[i], ds.Text())
		}
	}
}

func countEmpty(f *File) (n int) {
	for _, tok := range f.tokens {
		if s := spanOf(tok); s.From == s.To {
			n++
		}
	}
	return n
}

func TestTenFaultsInTenStatementsGiveTenReports(t *testing.T) {
	src := `rung 1
curriculum "Pindrift draft" {
  edition 3
}
marker nice kepes
place room_a
criterion steady = four of last 5
behaviour sit {
  cue "sit"
  prompt word
  step on-cue {
    prompt word
    advance 4 of last 5
    ease to when 3 misses of last 5
    ramp duration 2 sec, 5 s
    reward every
  }
}
sesion {
  lasts 5 min
}
`
	_, ds := Parse("draft.rung", []byte(src))
	var lines []int
	for _, d := range ds {
		line, _ := d.Source.Position(d.Span.From)
		lines = append(lines, line)
	}
	require.Equal(t, []int{3, 5, 6, 7, 10, 13, 14, 15, 16, 19}, lines, ds.Text())
}

func TestOneMissingBraceOrQuoteIsReportedOnce(t *testing.T) {
	src, err := os.ReadFile("testdata/yard.rung")
	require.NoError(t, err)
	file, _ := Parse("yard.rung", src)
	inside := func(i int) bool { // quotes inside an expression are checked with the expression, by Resolve
		for _, tok := range file.tokens {
			if s := spanOf(tok); tok.Type == tBraces && s.From < i && i < s.To-1 {
				return true
			}
		}
		return false
	}
	n := 0
	for i, c := range src {
		if !strings.ContainsRune(`{}"()`, rune(c)) || inside(i) {
			continue
		}
		n++
		_, ds := Parse("yard.rung", append(append([]byte{}, src[:i]...), src[i+1:]...))
		require.Len(t, ds, 1, "without the %c at %d\n%s", c, i, ds.Text())
	}
	require.Greater(t, n, 80)
}
