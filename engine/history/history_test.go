package history

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"hash/maphash"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	gocmp "github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// openFiles reads files given as name, text, name, text ...
func openFiles(t testing.TB, o Options, files ...string) ([]curriculum.Entry, []engine.Report, error) {
	fsys := fstest.MapFS{}
	var names []string
	for i := 0; i < len(files); i += 2 {
		fsys[files[i]] = &fstest.MapFile{Data: []byte(files[i+1])}
		names = append(names, files[i])
	}
	h, err := OpenFS(fsys, names, o)
	require.NoError(t, err)
	entries, err := h.ReadAll()
	return entries, h.Reports(), err
}

func line(id, at, rest string) string {
	return fmt.Sprintf(`{"id":%q,"dog":"okapi","behaviour":"settle","at":"2026-03-02T%sZ"%s}`+"\n", id, at, rest)
}

const (
	success = `,"outcome":"success"`
	wrong   = `,"outcome":"wrong"`
)

func ids(entries []curriculum.Entry) string {
	var out []string
	for _, e := range entries {
		out = append(out, either(&e, e.Trial.ID, e.Event.ID))
	}
	return strings.Join(out, " ")
}

func codes(reports []engine.Report) string {
	var out []string
	for _, r := range reports {
		out = append(out, fmt.Sprintf("%s:%d:%s", r.Source, r.Line, r.Code))
	}
	return strings.Join(out, " ")
}

func TestSourcesAreMergedByTimeWithTiesInTheOrderNamed(t *testing.T) {
	a := line("a1", "10:00:00", success) + line("a2", "10:00:02", success) + line("a3", "10:00:02", wrong)
	b := line("b1", "10:00:02", success) + line("b2", "10:00:03", wrong) + line("b3", "09:00:00", wrong)
	csv := "id,dog,behaviour,at,outcome\nc1,okapi,settle,2026-03-02T11:00:02+01:00,void\n"
	entries, reports, err := openFiles(t, Options{}, "b.jsonl", b, "a.jsonl", a, "c.csv", csv)
	require.NoError(t, err)
	require.Empty(t, reports)
	require.Equal(t, "b3 a1 b1 a2 a3 c1 b2", ids(entries))
}

func TestOfOneIDTheFirstStands(t *testing.T) {
	a := line("t1", "10:00:00", success) + line("t2", "10:00:01", success)
	entries, reports, err := openFiles(t, Options{}, "a.jsonl", a, "copy.jsonl", a, "other.jsonl", line("t2", "10:00:01", wrong)+line("t2", "10:00:05", success))
	require.NoError(t, err)
	require.Equal(t, "t1 t2", ids(entries))
	require.Equal(t, "other.jsonl:1:log-twin other.jsonl:2:log-twin", codes(reports))
	require.True(t, reports[0].Unusable)
}

func TestACopyInAnotherFormatIsTheSameTrial(t *testing.T) {
	book := "okapi 2026-03-02 10:00 yard owner\nsettle at proof duration 5 s: + -(latency 1.5 s) h 0\nsign growl by Dov\n"
	entries, _, err := openFiles(t, Options{}, "x.tally", book)
	require.NoError(t, err)
	var jsonl, csv bytes.Buffer
	require.NoError(t, WriteJSONL(&jsonl, entries))
	require.NoError(t, WriteCSV(&csv, entries))
	all, reports, err := openFiles(t, Options{}, "x.tally", book, "x.jsonl", jsonl.String(), "x.csv", csv.String())
	require.NoError(t, err)
	require.Empty(t, reports)
	require.Len(t, all, len(entries))
}

func TestLinesWithoutIDsThatAreAlikeCountOnceAcrossLogsAndEachWithinOne(t *testing.T) {
	bare := strings.ReplaceAll(line("x", "10:00:00", success), `"id":"x",`, "")
	entries, reports, err := openFiles(t, Options{}, "a.jsonl", bare+bare+bare, "b.jsonl", bare+bare)
	require.NoError(t, err)
	require.Len(t, entries, 3)
	require.Equal(t, "b.jsonl:1:log-copy", codes(reports))
	require.False(t, reports[0].Unusable)
}

func TestMadeIDsStayWhenLogsGrow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := rapid.Custom(func(t *rapid.T) string {
			return fmt.Sprintf(`{"dog":"okapi","behaviour":"settle","at":"2026-03-02T10:00:0%dZ","outcome":%q}`+"\n",
				rapid.IntRange(0, 3).Draw(t, "second"), rapid.SampledFrom([]string{"success", "wrong"}).Draw(t, "outcome"))
		})
		before := rapid.SliceOfN(draw, 0, 8).Draw(t, "before")
		after := rapid.SliceOfN(draw, 0, 8).Draw(t, "after")
		idOfLine := func(lines []string) map[int]string {
			h, err := OpenReader(strings.NewReader(strings.Join(lines, "")), "a.jsonl", Options{})
			require.NoError(t, err)
			entries, err := h.ReadAll()
			require.NoError(t, err)
			require.Len(t, entries, len(lines), "nothing is lost")
			out := map[int]string{}
			for _, e := range entries {
				out[e.Trial.Line] = e.Trial.ID
			}
			return out
		}
		was, is := idOfLine(before), idOfLine(slices.Concat(before, after))
		for n, id := range was {
			require.Equal(t, id, is[n], "line %d", n)
		}
		seen := map[string]bool{}
		for _, id := range is {
			require.False(t, seen[id], "%s is given twice", id)
			seen[id] = true
		}
	})
}

// The slow obvious way: read every source whole, put them one behind the other, sort, drop what came before.
func TestMergingIsSortingTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := 0
		files := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) string {
			var b strings.Builder
			for range rapid.IntRange(0, 6).Draw(t, "lines") {
				n++
				id := fmt.Sprintf("t%d", rapid.IntRange(1, 30).Draw(t, "id"))
				if rapid.IntRange(0, 9).Draw(t, "kind") == 0 {
					b.WriteString("no line\n")
					continue
				}
				fmt.Fprintf(&b, `{"id":%q,"dog":"okapi","behaviour":"settle","at":"2026-03-02T10:00:%02dZ","outcome":"success"}`+"\n",
					id, rapid.IntRange(0, 20).Draw(t, "second"))
			}
			return b.String()
		}), 1, 5).Draw(t, "files")
		var want []curriculum.Entry
		fsys, names := fstest.MapFS{}, []string{}
		for i, text := range files {
			name := fmt.Sprintf("f%d.jsonl", i)
			fsys[name], names = &fstest.MapFile{Data: []byte(text)}, append(names, name)
			entries, _, err := readAll([]byte(text), name, Options{})
			require.NoError(t, err)
			want = append(want, entries...)
		}
		slices.SortStableFunc(want, func(a, b curriculum.Entry) int { return a.At().Compare(b.At()) })
		seen := map[string]bool{}
		want = slices.DeleteFunc(want, func(e curriculum.Entry) bool {
			again := seen[e.Trial.ID]
			seen[e.Trial.ID] = true
			return again
		})
		h, err := OpenFS(fsys, names, Options{})
		require.NoError(t, err)
		got, err := h.ReadAll()
		require.NoError(t, err)
		if diff := gocmp.Diff(want, got, entryOptions); diff != "" {
			t.Fatalf("-sorted +merged:\n%s", diff)
		}
	})
}

func TestFoldersFilesAndStandardInputAreMixed(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		p := filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(p), 0o755))
		require.NoError(t, os.WriteFile(p, []byte(text), 0o644))
		return p
	}
	write("logs/2.jsonl", line("j", "10:00:02", success))
	write("logs/1.csv", "dog;behaviour;at;outcome;id;latency\nokapi;settle;2026-03-02 10:00:01;success;c;1.5\n")
	write("logs/sub/3.txt", "# by hand\nokapi 2026-03-02 10:00:03 yard\nsettle: +\n")
	write("logs/.hidden/x.jsonl", "nothing")
	write("logs/README.md", "nothing")
	extra := write("extra", line("e", "10:00:04", success)) // no ending: told by its first line
	h, err := Open([]string{filepath.Join(dir, "logs"), "-", extra}, strings.NewReader(line("s", "10:00:00", success)), Options{})
	require.NoError(t, err)
	entries, err := h.ReadAll()
	require.NoError(t, err)
	require.Empty(t, h.Reports())
	require.Regexp(t, `^s c j okapi/settle/2026-03-02T10:00:03Z/[0-9a-f]{6} e$`, ids(entries))
	read, total := h.Progress()
	require.Equal(t, total, read)
	require.Equal(t, "standard input", h.Sources()[3])

	_, err = Open([]string{"-", "-"}, strings.NewReader(""), Options{})
	require.ErrorContains(t, err, "once")
	_, err = Open([]string{filepath.Join(dir, "none.jsonl")}, nil, Options{})
	require.ErrorIs(t, err, os.ErrNotExist)
	_, err = Open([]string{filepath.Join(dir, "logs", ".hidden", "..", "..", "logs2")}, nil, Options{})
	require.Error(t, err)
	require.NoError(t, os.Mkdir(filepath.Join(dir, "empty"), 0o755))
	_, err = Open([]string{filepath.Join(dir, "empty")}, nil, Options{})
	require.ErrorContains(t, err, "no history")
}

func TestStrictStopsAtTheFirstLineThatCannotBeUsed(t *testing.T) {
	text := line("t1", "10:00:00", success) + line("t2", "10:00:01", `,"outcome":"sucess"`) + line("t3", "10:00:02", success)
	entries, reports, err := openFiles(t, Options{Strict: true}, "a.jsonl", text)
	var le *LineError
	require.ErrorAs(t, err, &le)
	require.Equal(t, 2, le.Line)
	require.Equal(t, "t1", ids(entries))
	require.Len(t, reports, 1)

	// also where the source has to be sorted, or the twin is in another log
	_, _, err = openFiles(t, Options{Strict: true}, "a.jsonl", line("t3", "10:00:02", success)+text)
	require.ErrorAs(t, err, &le)
	_, _, err = openFiles(t, Options{Strict: true}, "a.jsonl", line("t1", "10:00:00", success), "b.jsonl", line("t1", "10:00:00", wrong))
	require.ErrorAs(t, err, &le)
	require.Equal(t, "log-twin", le.Code)
}

func TestWhatIsNoTextIsReportedOnce(t *testing.T) {
	for name, text := range map[string]string{
		"UTF-16": "\xff\xfed\x00o\x00g\x00", "gzip": "\x1f\x8b\x08\x00", "a spreadsheet": "PK\x03\x04", "zeros": "a\x00b",
	} {
		entries, reports, err := openFiles(t, Options{}, "a.csv", text)
		require.NoError(t, err, name)
		require.Empty(t, entries, name)
		require.Equal(t, "a.csv:1:log-not-text", codes(reports), name)
	}
}

func TestMarksOfOrderAndLineEndsOfOtherSystemsAreRead(t *testing.T) {
	for _, name := range []string{"a.jsonl", "a.csv", "a.tally", "unnamed"} {
		text := map[string]string{"a.jsonl": line("t1", "10:00:00", success), "unnamed": line("t1", "10:00:00", success),
			"a.csv": "dog,behaviour,at,outcome\nokapi,settle,2026-03-02T10:00:00Z,success\n", "a.tally": "okapi 2026-03-02 10:00\nsettle: +\n"}[name]
		text = string(bom) + "\n" + strings.ReplaceAll(text, "\n", "\r\n")
		if name == "a.csv" {
			text = strings.Replace(text, "\n", "", 1)
		}
		entries, reports, err := openFiles(t, Options{}, name, text)
		require.NoError(t, err)
		require.Empty(t, reports, name)
		require.Len(t, entries, 1, name)
		require.Equal(t, "okapi", entries[0].Trial.Dog)
	}
}

func TestLongLinesAndRowsArePassedOver(t *testing.T) {
	long := strings.Repeat("x", 5000)
	o := Options{MaxLine: 1000}
	entries, reports, err := openFiles(t, o, "a.jsonl", line("t1", "10:00:00", success)+line("t2", "10:00:01", success+`,"note":"`+long+`"`)+line("t3", "10:00:02", success))
	require.NoError(t, err)
	require.Equal(t, "t1 t3", ids(entries))
	require.Equal(t, "a.jsonl:2:log-line-length", codes(reports))

	entries, reports, err = openFiles(t, o, "a.csv", "id,dog,behaviour,at,outcome\nc1,okapi,settle,2026-03-02T10:00:00Z,success\nc2,\""+strings.Repeat(long+"\n", 3))
	require.NoError(t, err)
	require.Equal(t, "c1", ids(entries))
	require.Equal(t, "a.csv:3:log-line-length", codes(reports))

	_, reports, err = openFiles(t, o, "a.tally", "okapi 2026-03-02 10:00\nsettle: +\nnote "+long+"\nsettle: +\n")
	require.NoError(t, err)
	require.Equal(t, "a.tally:3:log-line-length", codes(reports))
}

func TestReportsBeyondTheLimitAreCounted(t *testing.T) {
	_, reports, err := openFiles(t, Options{MaxReports: 3}, "a.jsonl", strings.Repeat("no line\n", 10)+line("t1", "10:00:00", success))
	require.NoError(t, err)
	require.Len(t, reports, 4)
	require.Equal(t, codeMore, reports[3].Code)
	require.True(t, reports[3].Unusable)
	require.Contains(t, reports[3].Text, "7 further lines")
}

func TestAHeadingNobodyCanReadEndsACSVSource(t *testing.T) {
	for text, code := range map[string]string{
		"dog,behaviour,outcome\nokapi,settle,success\n":                     codeColumns,
		"dog,at,dog\nokapi,settle,success\n":                                codeTwice,
		"dog,\"at\nokapi,2026\n":                                            codeQuote,
		"dog,at,latency,measures.latency\nokapi,2026-03-02T10:00:00Z,1,1\n": codeTwice,
		"dog,at,level.pa\xf1use\nokapi,2026-03-02T10:00:00Z,5 s\n":          codeUTF8,
		"dog,at,measures.gr\xf6\xdfe\nokapi,2026-03-02T10:00:00Z,5\n":       codeUTF8,
	} {
		entries, reports, err := openFiles(t, Options{}, "a.csv", text)
		require.NoError(t, err)
		require.Empty(t, entries)
		require.Equal(t, code, reports[0].Code, text)
	}
}

func TestTimesOfATallyBookBelongToTheZoneGiven(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Skip("no time zone data on this machine")
	}
	text := "okapi 2026-03-02 23:30\nsettle: +\nokapi 2026-07-02 00:10\nsettle: +\nokapi 2026-03-29 02:30\nsettle: +\n"
	entries, reports, err := openFiles(t, Options{Location: zone}, "a.tally", text)
	require.NoError(t, err)
	require.Equal(t, "2026-03-02T23:30:00+01:00", entries[0].At().Format(time.RFC3339))
	require.Equal(t, "2026-07-02T00:10:00+02:00", entries[1].At().Format(time.RFC3339))
	// clocks went from 2 to 3 that night
	require.Len(t, entries, 2)
	require.Equal(t, codeTime, reports[0].Code)
}

func TestMeasuresOfATallyBookAreTurnedIntoTheDeclaredUnit(t *testing.T) {
	o := Options{Measures: []curriculum.Measure{{Name: "gap", Unit: curriculum.Centimetre}}}
	entries, _, err := openFiles(t, o, "a.tally", "okapi 2026-03-02 23:30\nsettle: +(gap 1.5 m, duration 1 min, distance 50 cm, latency 2)\n")
	require.NoError(t, err)
	require.Equal(t, []curriculum.MeasureValue{{Name: "gap", Value: 150}, {Name: "duration", Value: 60}, {Name: "distance", Value: 0.5}, {Name: "latency", Value: 2}},
		entries[0].Trial.Measures)
}

// endless makes n trials in time order while it is read, so that no file stands behind it.
type endless struct {
	n, at int
	buf   []byte
	e     benchEntries
}

func (r *endless) Read(p []byte) (int, error) {
	for len(r.buf) < len(p) && r.at < r.n {
		r.buf, _ = AppendJSON(r.buf, r.e.next())
		r.buf = append(r.buf, '\n')
		r.at++
	}
	if len(r.buf) == 0 {
		return 0, io.EOF
	}
	n := copy(p, r.buf)
	r.buf = append(r.buf[:0], r.buf[n:]...)
	return n, nil
}

func TestMemoryDoesNotGrowWithASourceInTimeOrder(t *testing.T) {
	heap := func() uint64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	const n = 200_000
	src := &endless{n: n, e: benchEntries{r: rand.New(rand.NewPCG(3, 4)), at: time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)}}
	r := NewReader(src, "endless.jsonl", Options{})
	var e curriculum.Entry
	var early uint64
	count := 0
	for ; ; count++ {
		if count == n/10 {
			early = heap()
		}
		err := r.Next(&e)
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
	}
	late := heap()
	require.Equal(t, n, count)
	// 180,000 further trials of some 230 bytes; names of sessions are kept up to a limit
	require.Less(t, int64(late)-int64(early), int64(4<<20), "from %d to %d bytes", early, late)
	runtime.KeepAlive(r)
}

func TestAnIDTakesAtMost43Bytes(t *testing.T) {
	tw := newTwins(0)
	var it item
	e, p := &it.entry, prints{seed: maphash.MakeSeed()}
	e.Trial.Dog = "okapi"
	meet := func() twinKind {
		p.of(&it)
		return tw.meet(&it)
	}
	for i := range 100_000 {
		e.Trial.ID = fmt.Sprint(i)
		require.Equal(t, firstOfID, meet())
	}
	require.LessOrEqual(t, len(tw.slots)*16, 100_000*43)
	for i := range 100_000 {
		e.Trial.ID = fmt.Sprint(i)
		require.Equal(t, sameAgain, meet())
	}
	e.Trial.Dog = "sorrel"
	require.Equal(t, otherAgain, meet())
}

func TestALineOfAnAppCostsNoAllocationButForNewNames(t *testing.T) {
	text := []byte(strings.TrimSpace(line("t1", "10:00:00", success+`,"session":"s1","place":"yard","handler":"owner","help":["touch"],"latency":1.4,"measures":{"turn":90},"step":"follow","level":{"turn":"30 deg"},"rewarded":true`)))
	j := newJSONLines(&sink{}, newLines(bytes.NewReader(nil), 1<<10))
	var e curriculum.Entry
	require.Nil(t, j.decode(text, 1, &e))
	// the id is new on each line; a block of ids is one allocation of about five hundred
	require.Less(t, testing.AllocsPerRun(2000, func() {
		if j.decode(text, 1, &e) != nil {
			panic("refused")
		}
	}), 0.5)
}

func TestCloneSharesNothing(t *testing.T) {
	r := NewReader(strings.NewReader(line("t1", "10:00:00", success+`,"help":["a"],"measures":{"turn":1},"level":{"turn":"1 deg"}`)+
		line("t2", "10:00:00", success+`,"help":["b"],"measures":{"turn":2},"level":{"turn":"2 deg"}`)), "a.jsonl", Options{})
	var e curriculum.Entry
	require.NoError(t, r.Next(&e))
	c := Clone(&e)
	require.NoError(t, r.Next(&e))
	require.Equal(t, "a", c.Trial.Help[0])
	require.Equal(t, 1.0, c.Trial.Measures[0].Value)
	require.Equal(t, "turn 1 deg", c.Trial.Level.String())
}

type broken struct{ r io.Reader }

var errBroken = errors.New("the disk is gone")

func (b broken) Read(p []byte) (int, error) {
	n, err := b.r.Read(p)
	if err == io.EOF {
		err = errBroken
	}
	return n, err
}

func TestAReadingErrorIsAnErrorAndNoEnd(t *testing.T) {
	for name, text := range map[string]string{"a.jsonl": line("t1", "10:00:00", success), "a.tally": "okapi 2026-03-02 10:00\nsettle: +\n",
		"a.csv": "dog,behaviour,at,outcome\nokapi,settle,2026-03-02T10:00:00Z,success\n"} {
		r := NewReader(broken{strings.NewReader(text)}, name, Options{})
		var e curriculum.Entry
		require.NoError(t, r.Next(&e), name)
		require.ErrorIs(t, r.Next(&e), errBroken, name)
		require.ErrorIs(t, r.Next(&e), errBroken, name)
		_, err := OpenReader(broken{strings.NewReader(text)}, name, Options{})
		require.ErrorIs(t, err, errBroken, name)
	}
}

func TestOrderIsSeenWithoutReadingLinesWhole(t *testing.T) {
	odd := []string{
		line("t", "10:00:05", success),
		`{"dog":"okapi","behaviour":"settle","outcome":"success", "at" : "2026-03-02T10:00:01Z"}` + "\n",
		`{"dog":"okapi","behaviour":"settle","outcome":"success","\u0061t":"2026-03-02T10:00:01Z","x":{"at":"2026-03-02T23:00:00Z"}}` + "\n",
		`{"dog":"okapi","behaviour":"settle","outcome":"success","x":{"at":"2026-03-02T23:00:00Z"},"at":"2026-03-02T10:00:01Z"}` + "\n",
		`{"dog":"okapi","behaviour":"settle","outcome":"success","what":"2026-03-02T23:00:00Z","at":"2026-03-02T10:00:01Z"}` + "\n",
	}
	for _, late := range odd[1:] {
		entries, _, err := openFiles(t, Options{}, "a.jsonl", odd[0]+late)
		require.NoError(t, err)
		require.Len(t, entries, 2)
		require.True(t, slices.IsSortedFunc(entries, func(a, b curriculum.Entry) int { return cmp.Compare(a.At().Unix(), b.At().Unix()) }), late)
	}
}

func TestReportsAreJSONOfTheContract(t *testing.T) {
	_, reports, err := openFiles(t, Options{}, "okapi.jsonl", "\nno line\n")
	require.NoError(t, err)
	b, err := json.Marshal(reports)
	require.NoError(t, err)
	require.JSONEq(t, `[{"source":"okapi.jsonl","line":2,"column":1,"code":"log-json","text":"a line is one JSON object, in braces","unusable":true}]`, string(b))
}
