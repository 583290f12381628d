package history

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
)

func TestALongStandardInputGoesThroughATemporaryFile(t *testing.T) {
	const n = 50_000 // some 11 MB
	src := &endless{n: n, e: benchEntries{r: rand.New(rand.NewPCG(5, 6)), at: time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)}}
	h, err := Open([]string{"-"}, src, Options{})
	require.NoError(t, err)
	_, total := h.Progress()
	require.Greater(t, total, int64(spoolInMemory))
	var e curriculum.Entry
	count := 0
	for ; ; count++ {
		if err := h.Next(&e); err == io.EOF {
			break
		}
		require.NoError(t, err)
	}
	require.Equal(t, n, count)
	require.NoError(t, h.Close())
	require.NoError(t, h.Close(), "closing twice does no harm")
}

func TestPeopleWriteTallyBooksInManyWays(t *testing.T) {
	for text, want := range map[string]string{
		"settle:+++":                                 `{"behaviour":"settle"} success success success`,
		"settle: + (latency 1 s) -":                  `{"behaviour":"settle"} success wrong`,
		"settle : + O":                               `{"behaviour":"settle"} success silent`,
		"settle: ++ # and so on: + +":                `{"behaviour":"settle"} success success`,
		"“give up” at “step one”: +":                 `{"behaviour":"give up","step":"step one"} success`,
		`"a: b" at s2: -`:                            `{"behaviour":"a: b","step":"s2"} wrong`,
		"settle duration 5 s: +":                     `{"behaviour":"settle","level":{"duration":"5 s"}} success`,
		"settle at proof, duration 5s: +":            `{"behaviour":"settle","step":"proof","level":{"duration":"5 s"}} success`,
		`settle at proof piece "one paw": x`:         `{"behaviour":"settle","step":"proof","level":{"piece":"one paw"}} void`,
		"settle at paid thin variable ratio 1.5: o!": `{"behaviour":"settle","step":"paid","level":{"thin":"variable ratio 1.5"}} opt-out`,
		"sign: +":       `{"behaviour":"sign"} success`,
		"move at s1: +": `{"behaviour":"move","step":"s1"} success`,
	} {
		entries, reports, err := openFiles(t, Options{}, "a.tally", "okapi 2026-03-02 10:00\n"+text+"\n")
		require.NoError(t, err)
		require.Empty(t, reports, text)
		got, outcomes := "", ""
		for _, e := range entries {
			outcomes += " " + e.Trial.Outcome.String()
			b, err := AppendJSON(nil, &curriculum.Entry{Trial: curriculum.Trial{Behaviour: e.Trial.Behaviour, Step: e.Trial.Step, Level: e.Trial.Level}})
			require.NoError(t, err)
			got = strings.Replace(string(b), `"at":"0001-01-01T00:00:00Z",`, "", 1)
			got = strings.Replace(got, `,"at":"0001-01-01T00:00:00Z"`, "", 1)
		}
		require.Equal(t, want, got+outcomes, text)
	}
}

func TestHeadingsOfATallyBook(t *testing.T) {
	type head struct{ dog, at, place, handler, session string }
	for text, want := range map[string]head{
		"okapi 2026-03-02 17:10":                          {"okapi", "2026-03-02T17:10:00Z", "", "", "okapi/2026-03-02T17:10:00Z"},
		"okapi 2026-03-02 7:10 owner":                     {"okapi", "2026-03-02T07:10:00Z", "", "owner", "okapi/2026-03-02T07:10:00Z"},
		"okapi 2026-03-02 17:10 owner yard":               {"okapi", "2026-03-02T17:10:00Z", "yard", "owner", "okapi/2026-03-02T17:10:00Z"},
		"okapi 2026-03-02 17:10-03:30 yard by Dov":        {"okapi", "2026-03-02T17:10:00-03:30", "yard", "Dov", "okapi/2026-03-02T17:10:00-03:30"},
		"okapi 2026-03-02 17:10 +01:00 session s1":        {"okapi", "2026-03-02T17:10:00+01:00", "", "", "s1"},
		"okapi 2026-03-02 17:10Z":                         {"okapi", "2026-03-02T17:10:00Z", "", "", "okapi/2026-03-02T17:10:00Z"},
		`"Okapi II" 2026-03-02 17:10 "the yard" by owner`: {"Okapi II", "2026-03-02T17:10:00Z", "the yard", "owner", "Okapi II/2026-03-02T17:10:00Z"},
	} {
		entries, reports, err := openFiles(t, schoolNames, "a.tally", text+"\nsettle: +\n")
		require.NoError(t, err)
		for _, r := range reports {
			require.False(t, r.Unusable, ReportText(r))
		}
		require.Len(t, entries, 1, text)
		tr := entries[0].Trial
		require.Equal(t, want, head{tr.Dog, tr.At.Format(time.RFC3339), tr.Place, tr.Handler, tr.Session}, text)
	}
	for _, text := range []string{"okapi 2026-03-02 17:10 by", "okapi 2026-03-02 17:10 session a session b", "okapi 2026-03-02 24:00", "okapi 2026-02-29 10:00", "okapi 2026-03-02 17:10 \"yard"} {
		entries, reports, err := openFiles(t, Options{}, "a.tally", text+"\nsettle: +\n")
		require.NoError(t, err)
		if text == "okapi 2026-03-02 17:10 by" { // a place may be called by
			require.Len(t, entries, 1)
			continue
		}
		require.Empty(t, entries, text)
		require.Len(t, reports, 1, text)
	}
}

func TestAPageThatGoesOnUnderTheSameHeadingKeepsItsOrder(t *testing.T) {
	page := "okapi 2026-03-02 17:10\nsettle: + -\n"
	entries, reports, err := openFiles(t, Options{}, "a.tally", page+page)
	require.NoError(t, err)
	require.Equal(t, "a.tally:3:log-page-twice", codes(reports), "both are counted, and somebody is told")
	var times []string
	for _, e := range entries {
		times = append(times, e.At().Format("05")+e.Trial.Outcome.String())
	}
	require.Equal(t, []string{"00success", "01wrong", "02success", "03wrong"}, times)
}

func TestHintsNameWhatWasProbablyMeant(t *testing.T) {
	for outcome, want := range map[string]string{"miss": "wrong, or silent", "correct": `"success"`, "no-response": `"silent"`, "aborted": `"void"`, "optout": `"opt-out"`, "xyzzy": ""} {
		_, bad := outcomeOf([]byte(outcome), 0)
		require.NotNil(t, bad)
		require.Contains(t, bad.text, want)
	}
	require.Equal(t, "behaviour", nearest("behavior", fieldNames[1:]))
	require.Equal(t, "weight_kg", nearest("weight", []string{"dog", "weight_kg"}))
	require.Equal(t, "", nearest(strings.Repeat("x", 100), fieldNames[1:]))
}

func TestAPageThatStandsInTheBookTwiceIsMentioned(t *testing.T) {
	const head, page = "okapi 2026-03-02 17:10 yard owner\n", "settle at s: + - +  # soft ground\nnote \"wet\"\n\n"
	for _, c := range []struct {
		name, book string
		twice      int // the line of the second
		trials     int
	}{
		{"one after the other", head + page + head + page, 5, 6},
		{"spaced otherwise, and another page between them", head + page + "bisk 2026-03-02 17:10\nsettle: +\n" + "okapi  2026-03-02 17:10 yard by owner\n  settle at s: + - +\nnote \"wet\"", 7, 7},
		{"more marks under the same heading", head + page + head + "settle at s: +\n", 0, 4},
		{"the same marks a minute later", head + page + "okapi 2026-03-02 17:11 yard owner\n" + page, 0, 6},
		{"the same marks with another handler", head + page + "okapi 2026-03-02 17:10 yard junior\n" + page, 0, 6},
		{"a heading alone", head + head, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			entries, reports, err := openFiles(t, Options{}, "a.tally", c.book)
			require.NoError(t, err)
			trials := 0
			for i := range entries {
				if !entries[i].IsEvent {
					trials++
				}
			}
			require.Equal(t, c.trials, trials)
			if c.twice == 0 {
				require.Empty(t, reports)
				return
			}
			require.Equal(t, fmt.Sprintf("a.tally:%d:log-page-twice", c.twice), codes(reports))
			require.False(t, reports[0].Unusable)
			require.Contains(t, reports[0].Text, "the page of line 1 once more")
		})
	}
}

func TestAProfileIsReadWhole(t *testing.T) {
	text := `[{"dog":"okapi","born":"2025-12-20","weight_kg":4.2,"adult_weight_kg":11,"neutered":true,"daily_kcal":420.5,
		"avoid":["chicken"],"clearances":["hips"],"equipment":["platform"],"cues":["word"],"notes":"naps","limits":null}]`
	dogs, reports, err := ReadDogs(strings.NewReader(string(bom)+text), "dogs.json")
	require.NoError(t, err)
	require.Empty(t, reports)
	require.Empty(t, cmp.Diff([]curriculum.Dog{{Name: "okapi", Born: time.Date(2025, 12, 20, 0, 0, 0, 0, time.UTC), WeightKg: 4.2, AdultWeightKg: 11,
		Neutered: curriculum.Yes, DailyKcal: 420.5, Avoid: []string{"chicken"}, Clearances: []string{"hips"}, Equipment: []string{"platform"},
		Cues: []string{"word"}, Notes: "naps"}}, dogs))
}

func TestAWeightThatNoDogHasIsRefusedWithItsUnit(t *testing.T) {
	dogs, reports, err := ReadDogs(strings.NewReader(`[{"dog":"okapi","weight_kg":4200},{"dog":"bisk","weight_kg":0.05,"adult_weight_kg":150,"daily_kcal":10}]`), "dogs.json")
	require.NoError(t, err)
	require.Len(t, dogs, 1, "bounds are allowed")
	require.Len(t, reports, 1)
	require.Equal(t, "weight_kg is 4200, and no dog's is below 0.05 or above 150; write it in kg", reports[0].Text)
}

func TestAProfileWithAnyFaultIsNotAmongTheDogs(t *testing.T) {
	for field, code := range map[string]string{
		`"notes":1`: codeType, `"avoid":[1]`: codeType, `"avoid":[""]`: codeName, `"avoid":[" x"]`: codeName, `"limits":[]`: codeType,
		`"limits":{"behaviours":[]}`: codeType, `"limits":{"behaviours":{"a":1}}`: codeType, `"limits":{"behaviours":{"a":{},"a":{}}}`: codeTwice,
		`"limits":{"behaviours":{"a":{"level":[]}}}`: codeType, `"limits":{"trials":"3"}`: codeType, `"limits":{"behaviours":{"a":{"level":{"turn":"90 degrees"}}}}`: codeLevel,
		`"neutered":"no"`: codeType, `"born":"2025-02-30"`: codeTime, `"weight_kg":1e999`: codeNumber,
		`"weight_kg":0`: codeNumber, `"weight_kg":4200`: codeNumber, `"weight_kg":0.04`: codeNumber, `"adult_weight_kg":151`: codeNumber, `"daily_kcal":90000`: codeNumber, `"notes":"` + "\x01" + `"`: codeJSON, `"born":`: codeJSON,
	} {
		dogs, reports, err := ReadDogs(strings.NewReader(`[{"dog":"okapi",`+field+`}]`), "dogs.json")
		require.NoError(t, err)
		require.Empty(t, dogs, field)
		require.NotEmpty(t, reports, field)
		require.Equal(t, code, reports[0].Code, field)
		require.True(t, reports[0].Unusable, field)
	}
	for text, code := range map[string]string{`{"dog":"okapi"}`: codeJSON, "": codeJSON, "[] []": codeJSON, "\xff\xfe[": codeNotText, strings.Repeat(" ", maxProfiles+1): codeLong} {
		dogs, reports, err := ReadDogs(strings.NewReader(text), "dogs.json")
		require.NoError(t, err)
		require.Empty(t, dogs)
		require.Equal(t, code, reports[0].Code)
	}
	_, _, err := ReadDogs(iotest.ErrReader(errBroken), "dogs.json")
	require.ErrorIs(t, err, errBroken)
}

func TestNamesAreTakenFromTheCurriculum(t *testing.T) {
	c := &curriculum.Curriculum{Places: []string{"yard"}, Handlers: []string{"owner"}, Measures: []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}}}
	csv := "dog,behaviour,at,outcome,turn\nokapi,settle,2026-03-02T10:00:00Z,,45\n"
	entries, reports, err := openFiles(t, Options{}.For(c), "a.csv", csv)
	require.NoError(t, err)
	require.Empty(t, reports)
	v, ok := entries[0].Trial.Measure("turn")
	require.True(t, ok)
	require.Equal(t, 45.0, v)
	// without the curriculum the column is unknown, and nothing decides the trial
	_, reports, err = openFiles(t, Options{}, "a.csv", csv)
	require.NoError(t, err)
	require.Equal(t, "a.csv:1:log-field-unknown a.csv:2:log-field-missing", codes(reports))
}

func TestFormatsAreToldByEndingOrFirstLine(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       Format
	}{
		{"a.JSONL", "", JSONLines}, {"a.ndjson", "", JSONLines}, {"a.csv", "{", CSV}, {"a.tally", "{", Tally},
		{"a", "\n# x\n {\"dog\":1}", JSONLines}, {"a.txt", "[", JSONLines}, {"a.txt", "at;dog;outcome\n", CSV}, {"a", "\"dog\",\"at\"\n", CSV},
		{"a", "okapi 2026-03-02 10:00\n", Tally}, {"a", "", Tally},
	} {
		require.Equal(t, c.want.String(), NewReader(strings.NewReader(c.text), c.name, Options{}).Format().String(), c)
	}
	require.Equal(t, CSV, NewReader(strings.NewReader("{"), "a.jsonl", Options{Format: CSV}).Format())
}

func TestALineErrorIsItsReport(t *testing.T) {
	_, _, err := openFiles(t, Options{Strict: true}, "a.jsonl", "\n nothing\n")
	require.EqualError(t, err, "a.jsonl:2:2: a line is one JSON object, in braces [log-json]")
	var le *LineError
	require.True(t, errors.As(err, &le))
}

// A reference apart from the scanner: the line is read with encoding/json and put together by hand.
func TestALineIsWhatEncodingJSONSaysItIs(t *testing.T) {
	g := &benchEntries{r: rand.New(rand.NewPCG(7, 8)), at: time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)}
	for range 500 {
		b, err := AppendJSON(nil, g.next())
		require.NoError(t, err)
		var want struct {
			ID, Dog, Behaviour, Session, Place, Handler, Outcome, Step, Help string
			At                                                               time.Time
			Latency                                                          float64
			Level                                                            map[string]string
			Rewarded                                                         *bool
		}
		require.NoError(t, json.Unmarshal(b, &want))
		entries, reports, err := readAll(append(b, '\n'), "a.jsonl", Options{})
		require.NoError(t, err)
		require.Empty(t, reports)
		got := entries[0].Trial
		require.Equal(t, []string{want.ID, want.Dog, want.Behaviour, want.Session, want.Place, want.Handler, want.Outcome, want.Step, want.Help},
			[]string{got.ID, got.Dog, got.Behaviour, got.Session, got.Place, got.Handler, got.Outcome.String(), got.Step, strings.Join(got.Help, " ")})
		require.True(t, want.At.Equal(got.At))
		latency, _ := got.Measure("latency")
		require.Equal(t, want.Latency, latency)
		require.Equal(t, want.Level, curriculum.Level{Values: got.Level}.Texts())
		require.Equal(t, *want.Rewarded, got.Rewarded == curriculum.Yes)
	}
}

func TestAnEmptySourceIsAnEmptyHistory(t *testing.T) {
	for _, name := range []string{"a.jsonl", "a.csv", "a.tally", "a"} {
		for _, text := range []string{"", "\n", "\r\n\n", string(bom)} {
			entries, reports, err := openFiles(t, Options{}, name, text)
			require.NoError(t, err)
			require.Empty(t, entries)
			require.Empty(t, reports, "%s %q", name, text)
		}
	}
	h, err := Open(nil, nil, Options{})
	require.NoError(t, err)
	var e curriculum.Entry
	require.Equal(t, io.EOF, h.Next(&e))
	require.Empty(t, h.Reports())
}
