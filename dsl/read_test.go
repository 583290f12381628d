package dsl_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
	"example.com/rung/dsl"
)

func TestTenMistakesGiveTenReportsInOneRun(t *testing.T) {
	c, ds := dsl.ReadFS(os.DirFS("testdata"), "ten-mistakes.rung")
	require.Nil(t, c)
	var got []string
	for _, d := range ds {
		line, column := d.Source.Position(d.Span.From)
		got = append(got, fmt.Sprintf("%d:%d %s", line, column, d.Source.Text[d.Span.From:d.Span.To]))
		require.NotEmpty(t, d.Message.String())
		require.NotEmpty(t, d.Help.String()+fmt.Sprint(len(d.Edits)))
	}
	require.Equal(t, []string{
		"8:20 6", "9:19 three", `12:7 "mat`, "13:8 yess", "16:13 if", "20:33 m", "22:13 lurd", "29:32 120 deg", "30:38 turm", "36:9 5",
	}, got, ds.Text())
}

// With its first step lost, nobody can say which of the others comes first.
func TestAStepWithAReservedNameIsOneReport(t *testing.T) {
	_, ds := dsl.ReadString("a.rung", "rung 1\nbehaviour bow {\n  step first {\n    advance when 4 of last 5\n  }\n  step a {\n    skip when 3 in a row\n    advance when 4 of last 5\n  }\n}\n")
	require.Len(t, ds, 1, ds.Text())
	require.Equal(t, "R0318", ds[0].Code)
}

func TestOneMissingBraceOrQuoteIsOneReport(t *testing.T) {
	text, err := os.ReadFile("../examples/pindrift/common.rung")
	require.NoError(t, err)
	_, ds := dsl.ReadString("common.rung", string(text))
	require.False(t, ds.HasErrors(), ds.Text())
	for i, c := range string(text) {
		line := string(text[:i])
		if c != '{' && c != '}' && c != '"' || strings.Contains(line[strings.LastIndex(line, "\n")+1:], "#") {
			continue
		}
		// a } behind its { on one line closes an expression
		_, ds := dsl.ReadString("common.rung", string(text[:i])+string(text[i+1:]))
		errors := 0
		for _, d := range ds {
			if d.Severity == dsl.Error {
				errors++
			}
		}
		require.Equal(t, 1, errors, "without the %q at byte %d:\n%s", c, i, ds.Text())
	}
}

func TestACriterionByItself(t *testing.T) {
	house := &curriculum.Curriculum{
		Measures: []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}}, Places: []string{"lane"},
		Criteria: []curriculum.NamedCriterion{{Name: "steady", Is: curriculum.Window{K: 4, N: 5}}},
	}
	for _, text := range []string{
		"4 of last 5", "4 of each 5 twice in a row", "3 in a row", "80% of last 20", "at most 1 wrong of last 4", "3 misses of last 5", "2 silent in a row",
		"2 helped of last 5", "2 opt-outs in this session", "done 8 times", "4 of last 5 even helped", "4 of last 5 within 2 s", "4 of last 5 holding 5 s",
		"4 of last 5 where { turn > 45 }", `4 of last 5 among { place == "lane" }`, "4 of last 5 in this session", "steady in 3 sessions in a row", "steady in 2 places",
		"80% of a session of at least 10 trials", "80% of a session of at least 10 trials in 2 sessions in a row", "first trial in 3 sessions in a row",
		"at least 80% with 95% confidence of last 30", "sequential 60% against 90% wrongly up 5% wrongly down 10%", "median latency of last 5 successes <= 2 s",
		"best turn of last 3 successes >= 90 deg", "after 20 trials at this step", "after 3 sessions", "after 7 days", "eased twice", "eased 3 times", "{ turn > 45 }",
		"not (3 in a row)", "(4 of last 5 or 3 in a row) and not steady",
	} {
		c, ds := dsl.ParseCriterion(text, house)
		require.Empty(t, ds, text)
		again, ds := dsl.ParseCriterion(curriculum.CriterionNames(c), house)
		require.Empty(t, ds, curriculum.CriterionNames(c))
		ignore := cmp.FilterPath(func(p cmp.Path) bool { return p.Last().Type().String() == "curriculum.Pos" }, cmp.Ignore())
		require.Empty(t, cmp.Diff(c, again, ignore), "%s is written %s", text, curriculum.CriterionNames(c))
	}
	_, ds := dsl.ParseCriterion("steedy", house)
	require.Len(t, ds, 1)
	require.Equal(t, "R1101", ds[0].Code)
	_, ds = dsl.ParseCriterion("4 of last 5", nil)
	require.Empty(t, ds)
}

func TestFunctionsOfTheHostProgramAreKnown(t *testing.T) {
	text := "rung 1\ncriterion dry = 4 of last 5 among { not raining(place) }\n"
	_, ds := dsl.ReadString("x.rung", text)
	require.Len(t, ds, 1)
	_, ds = dsl.ReadString("x.rung", text, dsl.Functions(expression.Function{Name: "raining", Params: []expression.Type{expression.Text}, Returns: expression.Bool}))
	require.Empty(t, ds)
}

func TestReadFileFollowsUseFromItsOwnFolder(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "school", "shared"), 0o755))
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "school", name), []byte(text), 0o644))
	}
	write("house.rung", "rung 1\nuse \"shared/names.rung\"\nbehaviour sit {\n  step s {\n    place yard\n    advance when steady\n  }\n}\n")
	write("shared/names.rung", "rung 1\nuse \"../criteria.rung\"\nplace yard\n")
	write("criteria.rung", "rung 1\ncriterion steady = 4 of last 5\n")
	c, err := dsl.ReadFile(filepath.Join(dir, "school", "house.rung"))
	require.NoError(t, err)
	require.Equal(t, []string{"yard"}, c.Places)
	_, err = dsl.ReadFile(filepath.Join(dir, "nothing.rung"))
	require.ErrorContains(t, err, "there is no such file")
	var ds dsl.Diagnostics
	require.ErrorAs(t, err, &ds)
}

// A text of a few kilobytes must not cost much more than its length, whatever it names how often.
// A file without a text has no line to show.
func TestAFileThatCannotBeReadIsReportedWithoutAnEmptyLine(t *testing.T) {
	folder := t.TempDir()
	for name, why := range map[string]string{filepath.Join(folder, "gone.rung"): "there is no such file", folder: "it is a folder"} {
		_, ds := dsl.ReadFileDiagnostics(name)
		slashed := filepath.ToSlash(name)
		require.Equal(t, slashed+":1:1: error R1001: "+slashed+" cannot be read: "+why+"\n      = mind the spelling, the ending and the folder\n", ds.Text())
	}
}

func TestTextsThatGrowWhenResolvedAreStopped(t *testing.T) {
	var doubling, ladder, needs strings.Builder
	doubling.WriteString("rung 1\ncriterion c0 = 3 in a row\n")
	for i := 1; i <= 60; i++ {
		fmt.Fprintf(&doubling, "criterion c%d = c%d and c%d\n", i, i-1, i-1)
	}
	ladder.WriteString("rung 1\nladder l {\n")
	for i := range 500 {
		fmt.Fprintf(&ladder, "step s%d {\nramp duration 1 s to 5000 s by 1 s\nadvance when 3 in a row\n}\n", i)
	}
	ladder.WriteString("}\nbehaviour b {\n")
	for i := range 500 {
		fmt.Fprintf(&ladder, "climb l as p%d\n", i)
	}
	ladder.WriteString("}\n")
	needs.WriteString("rung 1\nbehaviour a {\nstep s {\nramp duration 1 s to 4000 s by 1 s\nramp distance 1 m to 4000 m by 1 m\nadvance when 3 in a row\n}\n}\nbehaviour b {\nstep s {\nadvance when 3 in a row\n}\n")
	for i := range 4000 {
		fmt.Fprintf(&needs, "needs a at s duration %d s, distance %d m\n", i+1, i+1)
	}
	needs.WriteString("}\n")
	for name, c := range map[string]struct {
		text string
		code string
	}{"criteria that double": {doubling.String(), "R1106"}, "ladders climbed often": {ladder.String(), "R1402"}, "needs at many levels": {needs.String(), ""}} {
		_, ds := dsl.ReadString("x.rung", c.text)
		if c.code != "" {
			require.True(t, ds.HasErrors(), name)
			require.Equal(t, c.code, ds[0].Code, name)
		}
	}
}

func TestFindingsBeyondTheLimitAreCounted(t *testing.T) {
	text := "rung 1\nbehaviour b {\n  step s {\n    advance when 3 in a row\n  }\n}\nsession {\n"
	for i := range 30 {
		text += fmt.Sprintf("  opens with b%dx\n", i)
	}
	_, ds := dsl.ReadString("x.rung", text+"}\n", dsl.MaxDiagnostics(5))
	require.Len(t, ds, 6)
	require.Equal(t, "R0004", ds[5].Code)
}

func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"testdata/*.rung", "../examples/*.rung", "../examples/*/*.rung"} {
		paths, err := filepath.Glob(pattern)
		require.NoError(f, err)
		for _, p := range paths {
			text, err := os.ReadFile(p)
			require.NoError(f, err)
			f.Add(string(text))
		}
	}
	for _, code := range dsl.Codes() {
		e, _ := dsl.Explain(code)
		f.Add(e.Faulty)
	}
	shared := &fstest.MapFile{Data: []byte("rung 1\ncriterion steady = 4 of last 5\nuse \"main.rung\"\n")}
	f.Fuzz(func(t *testing.T, text string) {
		fsys := fstest.MapFS{"main.rung": {Data: []byte(text)}, "common.rung": shared}
		c, ds := dsl.ReadFS(fsys, "main.rung")
		again, more := dsl.ReadFS(fsys, "main.rung")
		require.Equal(t, ds.Text(), more.Text())
		require.Equal(t, ds.HasErrors(), c == nil)
		for _, d := range ds {
			require.True(t, 0 <= d.Span.From && d.Span.From <= d.Span.To && d.Span.To <= len(d.Source.Text), "%v", d)
			require.NotEmpty(t, d.Code)
		}
		if c != nil {
			require.Equal(t, c.Fingerprint(), again.Fingerprint())
			for _, b := range c.Behaviours {
				require.NotEmpty(t, b.Steps)
				for _, s := range b.Steps {
					require.NotEmpty(t, s.Levels)
					for _, r := range s.Rules {
						require.NotNil(t, r.When)
						curriculum.CriterionText(r.When)
					}
				}
			}
		}
	})
}

func TestAStepOnTheBehavioursOwnLineIsNoPartOfItsName(t *testing.T) {
	_, ds := dsl.Parse("x.rung", []byte("rung 1\nbehaviour platform step hold { advance when 3 in a row } }\n"))
	for _, d := range ds {
		require.NotEqual(t, "R0315", d.Code, d.Text())
	}
	require.NotEmpty(t, ds)
}

func TestACriterionAloneGetsTheRightFormsThatAFileGets(t *testing.T) {
	for text, help := range map[string]string{
		"4 out of 5":                "write 4 of last 5",
		"three in a row":            "write 3",
		"80 percent of last 20":     "%",
		"4 of last 5 and":           "",
		"4 of last 5 or 3 of lst 5": "last",
		"(4 of last 5":              "",
		"":                          "",
	} {
		_, ds := dsl.ParseCriterion(text, nil)
		require.NotEmpty(t, ds, text)
		require.Len(t, ds, 1, text)
		d := ds[0]
		require.LessOrEqual(t, d.Span.From, d.Span.To, text)
		require.LessOrEqual(t, d.Span.To, len(text), text)
		require.Equal(t, text, d.Source.Text, text)
		require.Contains(t, d.Message.String()+" "+d.Help.String(), help, text)
		for _, e := range d.Edits {
			require.LessOrEqual(t, e.Span.To, len(text), text)
		}
	}
}
