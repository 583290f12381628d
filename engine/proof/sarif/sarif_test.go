package sarif_test

import (
	"bytes"
	"encoding/json"
	"os"
	"testing"

	published "github.com/owenrumney/go-sarif/v3/pkg/report/v210/sarif"
	"github.com/stretchr/testify/require"

	"example.com/rung/engine/proof/sarif"
)

var (
	rules = []sarif.Rule{
		{ID: "one-way", Title: "a step with no way back", Text: "It has neither an ease nor a flag.", Help: "Add `ease when ...`.", Level: sarif.Warning},
		{ID: "circle", Text: "They wait for each other.", Level: sarif.Error},
	}
	results = []sarif.Result{
		{Rule: "one-way", Level: sarif.Warning, Text: "push has no ease", Place: sarif.Place{File: "school/draft 0.rung", Line: 3, Column: 8, EndLine: 3, EndColumn: 12}, Properties: map[string]any{"history": []string{"+", "-"}}},
		{Rule: "circle", Level: sarif.Error, Text: "hold waits for bring", Place: sarif.Place{File: "a.rung", Line: 9, Column: 1}, Related: []sarif.Place{{File: "b.rung", Line: 2, Column: 3, Text: "bring waits here"}, {File: "c.rung", Text: "and all of this"}}},
		{Rule: "circle", Level: sarif.Note, Text: "a file as a whole", Place: sarif.Place{File: "/srv/a.rung"}},
		{Rule: "elsewhere", Level: sarif.Note, Text: "nowhere"},
	}
)

func written(t *testing.T, rules []sarif.Rule, results []sarif.Result, failures ...sarif.Failure) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, sarif.Write(&b, sarif.Tool{Name: "rung", Version: "1"}, rules, results, failures...))
	return b.Bytes()
}

// The schema is the one that OASIS publishes (SARIF 2.1.0, errata 01), as an independent library holds it. The library
// reads what was written into its own types, so a name that the format does not have would get lost: all that was
// written must come back, among what the library adds.
func TestWhatIsWrittenIsValidUnderThePublishedSchema(t *testing.T) {
	for name, text := range map[string][]byte{
		"some": written(t, rules, results), "none": written(t, nil, nil),
		"failed": written(t, nil, nil, sarif.Failure{File: "no where.rung", Text: "there is no such file."}),
	} {
		report, err := published.FromBytes(text)
		require.NoError(t, err, name)
		require.NoError(t, report.Validate(), name)
		var again bytes.Buffer
		require.NoError(t, report.Write(&again))
		var ours, theirs any
		require.NoError(t, json.Unmarshal(text, &ours))
		require.NoError(t, json.Unmarshal(again.Bytes(), &theirs))
		requireWithin(t, ours, theirs, name)
	}
}

// requireWithin requires that all of want is found in have.
func requireWithin(t *testing.T, want, have any, at string) {
	t.Helper()
	switch want := want.(type) {
	case map[string]any:
		have, ok := have.(map[string]any)
		require.True(t, ok, at)
		for k, v := range want {
			require.Contains(t, have, k, at)
			requireWithin(t, v, have[k], at+"."+k)
		}
	case []any:
		have, ok := have.([]any)
		require.True(t, ok, at)
		require.Len(t, have, len(want), at)
		for i, v := range want {
			requireWithin(t, v, have[i], at+"[]")
		}
	default:
		require.Equal(t, want, have, at)
	}
}

func TestPlacesAreRelativeURIsWithColumnsInCharacters(t *testing.T) {
	text := string(written(t, rules, results))
	require.Contains(t, text, `"uri": "school/draft%200.rung"`)
	require.Contains(t, text, `"uri": "file:///srv/a.rung"`)
	require.Contains(t, text, `"columnKind": "unicodeCodePoints"`)
}

func TestARunWithoutFindingsHasEmptyLists(t *testing.T) {
	text := string(written(t, nil, nil))
	require.Contains(t, text, `"results": []`)
	require.Contains(t, text, `"rules": []`)
}

func ExampleWrite() {
	_ = sarif.Write(os.Stdout, sarif.Tool{Name: "rung"}, []sarif.Rule{{ID: "circle", Text: "They wait for each other.", Level: sarif.Error}},
		[]sarif.Result{{Rule: "circle", Level: sarif.Error, Text: "hold waits for bring", Place: sarif.Place{File: "house.rung", Line: 9, Column: 3}}})
	// Output:
	// {
	//   "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
	//   "version": "2.1.0",
	//   "runs": [
	//     {
	//       "tool": {
	//         "driver": {
	//           "name": "rung",
	//           "language": "en-GB",
	//           "rules": [
	//             {
	//               "id": "circle",
	//               "fullDescription": {
	//                 "text": "They wait for each other."
	//               },
	//               "defaultConfiguration": {
	//                 "level": "error"
	//               }
	//             }
	//           ]
	//         }
	//       },
	//       "language": "en-GB",
	//       "columnKind": "unicodeCodePoints",
	//       "newlineSequences": [
	//         "\r\n",
	//         "\n"
	//       ],
	//       "results": [
	//         {
	//           "ruleId": "circle",
	//           "ruleIndex": 0,
	//           "level": "error",
	//           "message": {
	//             "text": "hold waits for bring"
	//           },
	//           "locations": [
	//             {
	//               "physicalLocation": {
	//                 "artifactLocation": {
	//                   "uri": "house.rung"
	//                 },
	//                 "region": {
	//                   "startLine": 9,
	//                   "startColumn": 3
	//                 }
	//               }
	//             }
	//           ]
	//         }
	//       ]
	//     }
	//   ]
	// }
}
