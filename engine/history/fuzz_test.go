package history

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
)

func FuzzJSONLines(f *testing.F) { fuzzFormat(f, "slips.jsonl", JSONLines) }
func FuzzTally(f *testing.F)     { fuzzFormat(f, "slips.tally", Tally) }

func FuzzCSV(f *testing.F) {
	f.Add([]byte("dog,behaviour,at,outcome,level.pa\xf1use\nokapi,settle,2026-03-02T10:00:00Z,success,5 s\n"))
	fuzzFormat(f, "slips.csv", CSV)
}

// fuzzFormat reads anything at all. Whatever was understood can be written as JSON Lines and is then understood the
// same; reports have a source, a line within the text, a known code and words; and reading twice gives the same.
func fuzzFormat(f *testing.F, corpus string, format Format) {
	b, err := os.ReadFile(filepath.Join("testdata", corpus))
	require.NoError(f, err)
	f.Add(b)
	lines := bytes.SplitAfter(b, []byte("\n"))
	for i := range lines {
		// the first line is a heading in two of the formats
		f.Add(append(bytes.Clone(lines[min(3, i)]), lines[i]...))
		f.Add(append(bytes.Clone(lines[0]), lines[i]...))
	}
	o := schoolNames
	o.Format, o.MaxLine = format, 4096
	f.Fuzz(func(t *testing.T, text []byte) {
		entries, reports, err := readAll(text, "x", o)
		require.NoError(t, err)
		again, _, _ := readAll(text, "x", o)
		require.Empty(t, cmp.Diff(entries, again, entryOptions))
		for _, r := range reports {
			require.Equal(t, "x", r.Source)
			require.LessOrEqual(t, r.Line, bytes.Count(text, []byte("\n"))+1)
			require.NotEmpty(t, r.Text)
			require.Contains(t, explained, r.Code)
		}
		var out bytes.Buffer
		require.NoError(t, WriteJSONL(&out, entries))
		back, reports, err := readAll(out.Bytes(), "x", Options{Format: JSONLines})
		require.NoError(t, err)
		for _, r := range reports {
			require.False(t, r.Unusable, ReportText(r))
		}
		require.Empty(t, cmp.Diff(canonical(entries), canonical(back), entryOptions))
	})
}

// canonical puts measures into the order in which they are written.
func canonical(entries []curriculum.Entry) []curriculum.Entry {
	for i := range entries {
		t := &entries[i].Trial
		var first, rest []curriculum.MeasureValue
		for _, m := range t.Measures {
			if m.Name == "latency" || m.Name == "duration" || m.Name == "distance" {
				first = append(first, m)
			} else {
				rest = append(rest, m)
			}
		}
		t.Measures = append(first, rest...)
	}
	return placeless(entries)
}

func FuzzDogs(f *testing.F) {
	b, err := os.ReadFile("testdata/slips.json")
	require.NoError(f, err)
	f.Add(b)
	f.Add([]byte(`[]`))
	f.Add([]byte(`[{"dog":"okapi"},{"dog":"okapi"}]`))
	f.Fuzz(func(t *testing.T, text []byte) {
		dogs, reports, err := ReadDogs(bytes.NewReader(text), "x")
		require.NoError(t, err)
		names := map[string]bool{}
		for _, d := range dogs {
			require.NotEmpty(t, d.Name)
			require.False(t, names[d.Name], "two profiles of one dog")
			names[d.Name] = true
		}
		for _, r := range reports {
			require.NotEmpty(t, r.Text)
			require.Contains(t, explained, r.Code)
		}
	})
}
