package history

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares with a file in testdata, or writes it under -update.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, string(want), got)
}

func reportLines(reports []engine.Report) string {
	var b strings.Builder
	for _, r := range reports {
		kind := "mere"
		if r.Unusable {
			kind = "unusable"
		}
		fmt.Fprintf(&b, "%-8s %s\n", kind, ReportText(r))
	}
	return b.String()
}

// schoolNames are what the curriculum behind the pages declares.
var schoolNames = Options{
	Places: []string{"yard", "room-a"}, Handlers: []string{"owner", "junior"},
	Measures: []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}},
}

// Each file holds one slip a line. Its golden file holds what was read all the same, as JSON Lines, then the reports.
func TestEverySlipIsReportedAtItsPlaceAndTheRestIsRead(t *testing.T) {
	for _, name := range []string{"slips.jsonl", "slips.csv", "slips.tally"} {
		t.Run(name, func(t *testing.T) {
			b, err := os.ReadFile(filepath.Join("testdata", name))
			require.NoError(t, err)
			entries, reports, err := readAll(b, name, schoolNames)
			require.NoError(t, err)
			var out bytes.Buffer
			require.NoError(t, WriteJSONL(&out, entries))
			golden(t, name+".golden", out.String()+"\n"+reportLines(reports))
		})
	}
}

func TestEverySlipInProfilesIsReportedAtItsPlace(t *testing.T) {
	f, err := os.Open("testdata/slips.json")
	require.NoError(t, err)
	defer f.Close()
	dogs, reports, err := ReadDogs(f, "slips.json")
	require.NoError(t, err)
	var out strings.Builder
	for _, d := range dogs {
		fmt.Fprintf(&out, "%+v\n", d)
	}
	golden(t, "slips.json.golden", out.String()+"\n"+reportLines(reports))
}

func TestEveryCodeIsExplained(t *testing.T) {
	for _, name := range []string{"slips.jsonl.golden", "slips.csv.golden", "slips.tally.golden", "slips.json.golden"} {
		b, err := os.ReadFile(filepath.Join("testdata", name))
		require.NoError(t, err)
		for _, line := range strings.Split(string(b), "\n") {
			if i := strings.LastIndex(line, " ["); i > 0 && strings.HasSuffix(line, "]") && (strings.HasPrefix(line, "mere") || strings.HasPrefix(line, "unusable")) {
				_, ok := Explain(line[i+2 : len(line)-1])
				require.True(t, ok, line)
			}
		}
	}
	require.Len(t, Codes(), len(explained))
}

func TestWhatATallyBookWasUnderstoodAsIsEchoed(t *testing.T) {
	b, err := os.ReadFile("testdata/slips.tally")
	require.NoError(t, err)
	var out, again bytes.Buffer
	o := schoolNames
	o.Echo = &out
	entries, _, err := readAll(b, "slips.tally", o)
	require.NoError(t, err)
	Echo(&again, entries)
	require.Equal(t, out.String(), again.String())
	golden(t, "slips.tally.echo", out.String())
}

// readAll reads one source in the order of its lines.
func readAll(b []byte, name string, o Options) ([]curriculum.Entry, []engine.Report, error) {
	r := NewReader(bytes.NewReader(b), name, o)
	var out []curriculum.Entry
	var e curriculum.Entry
	for {
		err := r.Next(&e)
		if err != nil {
			if err.Error() == "EOF" {
				err = nil
			}
			return out, r.Reports(), err
		}
		out = append(out, Clone(&e))
	}
}

func TestAReportWithoutASourceBeginsWithItsWords(t *testing.T) {
	require.Equal(t, "no such dog [no-dog]", ReportText(engine.Report{Code: "no-dog", Text: "no such dog"}))
	require.Equal(t, "a.csv:3: no such dog [no-dog]", ReportText(engine.Report{Source: "a.csv", Line: 3, Code: "no-dog", Text: "no such dog"}))
}
