package dsl

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// explainOptions make small texts too large for the pages about limits.
var explainOptions = map[string][]Option{
	"R0001": {MaxFileBytes(40)}, "R0002": {MaxNesting(3)}, "R0003": {MaxExpressionBytes(40)}, "R0004": {MaxDiagnostics(1)},
}

func TestEveryPageShowsItsFaultAndARepairWithoutIt(t *testing.T) {
	for _, c := range syntaxCodes {
		t.Run(c.Code, func(t *testing.T) {
			e, ok := Explain(c.Code)
			require.True(t, ok)
			require.NotEmpty(t, e.Title)
			require.NotEmpty(t, e.Means)
			require.NotContains(t, e.Title, ".")
			opts := explainOptions[c.Code]
			_, ds := Parse("faulty.rung", []byte(e.Faulty), opts...)
			codes := []string{}
			for _, d := range ds {
				codes = append(codes, d.Code)
			}
			if c.Code == "R0004" {
				codes = codes[1:] // the finding before the count
			}
			require.Equal(t, []string{c.Code}, codes, ds.Text())
			_, ds = Parse("repaired.rung", []byte(e.Repaired), opts...)
			require.Empty(t, ds, ds.Text())
		})
	}
}

func TestCodesAndKeysStandInOneTableOnly(t *testing.T) {
	codes, keys := map[string]bool{}, map[string]bool{}
	for _, table := range codeTables() {
		for _, c := range table {
			require.Regexp(t, regexp.MustCompile(`^R\d{4}$`), c.Code)
			require.False(t, codes[c.Code], c.Code)
			codes[c.Code] = true
			require.NotEmpty(t, c.Messages, c.Code)
			for _, m := range c.Messages {
				require.False(t, keys[m.Key], m.Key)
				keys[m.Key] = true
				require.NotContains(t, m.Text, "%v", m.Key)
			}
		}
	}
	require.True(t, slices.IsSorted(Codes()))
	require.Len(t, Codes(), len(codes))
	_, ok := Explain("R9999")
	require.False(t, ok)
}

// An edit repairs its fault: that is what it is for.
func TestEditsRepairWhatTheyBelongTo(t *testing.T) {
	repaired := 0
	for _, c := range syntaxCodes {
		_, ds := Parse("faulty.rung", []byte(c.Faulty))
		for _, d := range ds {
			if len(d.Edits) == 0 || d.Code == "R0104" && d.Message.Key == "minus" {
				continue
			}
			_, again := Parse("edited.rung", []byte(applyEdits(c.Faulty, d.Edits)))
			require.Less(t, len(again), len(ds), "%s\n%s\n%s", c.Code, applyEdits(c.Faulty, d.Edits), again.Text())
			repaired++
		}
	}
	require.Greater(t, repaired, 20)
}

func applyEdits(text string, edits []Edit) string {
	edits = slices.Clone(edits)
	slices.SortFunc(edits, func(a, b Edit) int { return b.Span.From - a.Span.From })
	for _, e := range edits {
		text = text[:e.Span.From] + e.Text + text[e.Span.To:]
	}
	return text
}

func TestAMessageTakesItsArgumentsInAnyOrder(t *testing.T) {
	require.Equal(t, "a b", fill("%s %s", []string{"a", "b", "c"}))
	require.Equal(t, "b a", fill("%[2]s %[1]s", []string{"a", "b"}))
	require.Equal(t, "100% a", fill("100% %s", []string{"a"}))
	require.Equal(t, " ", fill("%s %s", nil))
	require.Equal(t, "80%", fill("%s", []string{"80%"}))
	require.True(t, strings.HasSuffix(fill("%s", []string{strings.Repeat("é", 1000)}), "é..."))
}
