package history

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
)

// entryOptions compare entries by meaning: a time by its moment and offset, quantities by their value.
var entryOptions = cmp.Options{
	cmpopts.EquateEmpty(),
	cmp.Comparer(func(a, b time.Time) bool {
		_, x := a.Zone()
		_, y := b.Zone()
		return a.Equal(b) && x == y
	}),
	cmp.Comparer(func(a, b curriculum.LevelValue) bool { return a.Equal(b) }),
}

// placeless makes entries forget where they were read.
func placeless(entries []curriculum.Entry) []curriculum.Entry {
	for i := range entries {
		e := &entries[i]
		e.Trial.Source, e.Trial.Line, e.Event.Source, e.Event.Line = "", 0, "", 0
		if e.IsEvent {
			e.Trial = curriculum.Trial{}
		}
	}
	return entries
}

// drawn says what a format can hold.
type drawn struct {
	anyText bool // names and notes of any characters
	ids     bool
}

func (d drawn) name(t *rapid.T, what string) string {
	plain := rapid.SampledFrom([]string{"okapi", "settle", "word-first", "yard", "owner", "at", "by", "note", "sign", "session", "early", "kept", "x1", "Grün", "turn"})
	if !d.anyText {
		return plain.Draw(t, what)
	}
	return rapid.OneOf(plain, rapid.Custom(func(t *rapid.T) string {
		return strings.TrimSpace(rapid.StringMatching(`[a-zé#:,;"'\\(){} 0-9~\p{L}-]{1,12}`).Draw(t, "odd"))
	}).Filter(func(s string) bool { return s != "" && badName([]byte(s)) == "" })).Draw(t, what)
}

func (d drawn) maybe(t *rapid.T, what string) string {
	if rapid.Bool().Draw(t, what+"?") {
		return d.name(t, what)
	}
	return ""
}

func (d drawn) note(t *rapid.T) string {
	if rapid.IntRange(0, 3).Draw(t, "note?") > 0 {
		return ""
	}
	return rapid.OneOf(rapid.Just(`say "hi" # or not`), rapid.StringMatching(`[ -~é😀\n\t\\]{1,20}`)).Draw(t, "note")
}

func (d drawn) level(t *rapid.T) (l curriculum.LevelRef) {
	for _, of := range []string{"turn", "pause", "distraction", "thin", "piece", "at"}[:rapid.IntRange(0, 6).Draw(t, "ramps")] {
		if rapid.Bool().Draw(t, of) {
			continue
		}
		v := curriculum.NamedValue{Of: of}
		switch of {
		case "turn":
			v.Quantity = curriculum.Q(rapid.Int64Range(0, 360).Draw(t, "deg"), curriculum.Degree)
		case "pause":
			v.Quantity = curriculum.QFrac(rapid.Int64Range(0, 50).Draw(t, "num"), rapid.Int64Range(1, 9).Draw(t, "den"), curriculum.Second)
		case "thin":
			v.Thin = &curriculum.Schedule{Kind: curriculum.VariableRatio, Value: curriculum.QFrac(rapid.Int64Range(2, 9).Draw(t, "ratio"), 2, curriculum.NoUnit)}
		case "piece":
			v.Name = d.name(t, "piece")
		default:
			v.Name = rapid.SampledFrom([]string{"toys", "people", "dogs-near", "none"}).Draw(t, "value")
		}
		l = append(l, v)
	}
	return l
}

func (d drawn) entry(t *rapid.T) curriculum.Entry {
	at := time.Unix(rapid.Int64Range(0, 4e9).Draw(t, "at"), 0)
	if d.ids {
		at = at.Add(time.Duration(rapid.SampledFrom([]int64{0, 1, 5e8, 123456789}).Draw(t, "nanos")))
	}
	at = at.In(time.FixedZone("", 60*rapid.SampledFrom([]int{0, 60, 120, -210, 330, 765}).Draw(t, "offset")))
	id := ""
	if d.ids {
		id = fmt.Sprintf("t%d", rapid.IntRange(1, 1e9).Draw(t, "id"))
	}
	dog, session := d.name(t, "dog"), d.maybe(t, "session")
	if rapid.IntRange(0, 4).Draw(t, "event?") == 0 {
		v := curriculum.Event{ID: id, Dog: dog, At: at, Session: session}
		switch v.Kind = rapid.SampledFrom([]curriculum.EventKind{curriculum.SignSeen, curriculum.SignCleared, curriculum.HandMove, curriculum.NoteTaken}).Draw(t, "kind"); v.Kind {
		case curriculum.SignSeen, curriculum.SignCleared:
			v.Sign, v.By, v.Behaviour, v.Note = d.name(t, "sign"), d.name(t, "by"), d.maybe(t, "in"), d.note(t)
		case curriculum.HandMove:
			v.Behaviour, v.By, v.Note = d.name(t, "behaviour"), d.maybe(t, "by"), d.note(t)
			if v.Kept = rapid.Bool().Draw(t, "kept"); !v.Kept {
				v.Step, v.Level = d.name(t, "step"), d.level(t)
			}
		default:
			v.Behaviour, v.Note = d.maybe(t, "in"), "so: "+d.note(t)+"."
		}
		return curriculum.Entry{IsEvent: true, Event: v}
	}
	tr := curriculum.Trial{ID: id, Dog: dog, Behaviour: d.name(t, "behaviour"), At: at, Session: session, Place: d.maybe(t, "place"),
		Handler: d.maybe(t, "handler"), Step: d.maybe(t, "step"), Level: d.level(t), Early: rapid.Bool().Draw(t, "early"),
		Rewarded: curriculum.YesNo(rapid.IntRange(0, 2).Draw(t, "rewarded")), Failed: d.maybe(t, "failed"), Note: d.note(t),
		Outcome: curriculum.Outcome(rapid.IntRange(1, 5).Draw(t, "outcome"))}
	for _, m := range []string{"latency", "duration", "distance", "bend", "turn"} { // the order in which they are written
		if rapid.IntRange(0, 2).Draw(t, m) == 0 {
			tr.Measures = append(tr.Measures, curriculum.MeasureValue{Name: m, Value: rapid.Float64Range(0, 1e12).Draw(t, "value")})
		}
	}
	if len(tr.Measures) > 0 && rapid.Bool().Draw(t, "measured") {
		tr.Outcome = curriculum.NoOutcome
	}
	for range rapid.IntRange(0, 2).Draw(t, "help") {
		w := rapid.SampledFrom([]string{"touch", "lure", "early", "note", curriculum.UnnamedHelp}).Draw(t, "word")
		tr.Help = append(tr.Help, w)
	}
	return curriculum.Entry{Trial: tr}
}

func TestJSONLinesHoldEveryEntry(t *testing.T) {
	checkRoundTrip(t, "x.jsonl", drawn{anyText: true, ids: true}, WriteJSONL)
}

func TestCSVHoldsEveryEntry(t *testing.T) {
	checkRoundTrip(t, "x.csv", drawn{anyText: true, ids: true}, WriteCSV)
}

func checkRoundTrip(t *testing.T, name string, d drawn, write func(io.Writer, []curriculum.Entry) error) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SliceOfN(rapid.Custom(d.entry), 1, 6).Draw(t, "entries")
		var b bytes.Buffer
		require.NoError(t, write(&b, want))
		got, reports, err := readAll(b.Bytes(), name, Options{})
		require.NoError(t, err)
		for _, r := range reports {
			require.False(t, r.Unusable, "%s\n%s", ReportText(r), b.String())
		}
		if diff := cmp.Diff(want, placeless(got), entryOptions); diff != "" {
			t.Fatalf("read back otherwise (-want +got):\n%s\n%s", diff, b.String())
		}
	})
}

// A tally book has no ids and only its headings have times. All else comes back, in its order, and so it does
// when what was read is written again.
func TestATallyBookHoldsEveryEntryButIdsAndTimes(t *testing.T) {
	d := drawn{anyText: true}
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SliceOfN(rapid.Custom(d.entry), 1, 6).Draw(t, "entries")
		loc := rapid.SampledFrom([]*time.Location{nil, time.FixedZone("", 7200)}).Draw(t, "location")
		var b, again bytes.Buffer
		require.NoError(t, WriteTally(&b, want, loc))
		got, reports, err := readAll(b.Bytes(), "x.tally", Options{Location: loc})
		require.NoError(t, err)
		for _, r := range reports {
			require.False(t, r.Unusable, "%s\n%s", ReportText(r), b.String())
		}
		require.NoError(t, WriteTally(&again, got, loc))
		second, _, err := readAll(again.Bytes(), "x.tally", Options{Location: loc})
		require.NoError(t, err)
		for _, got := range [][]curriculum.Entry{placeless(got), placeless(second)} {
			require.Len(t, got, len(want))
			for i := range got {
				loosen(&want[i], &got[i])
			}
			if diff := cmp.Diff(want, got, entryOptions); diff != "" {
				t.Fatalf("read back otherwise (-want +got):\n%s\n%s\n%s", diff, b.String(), again.String())
			}
		}
	})
}

// loosen takes out of both what a tally book does not hold.
func loosen(want, got *curriculum.Entry) {
	if want.IsEvent {
		if want.Event.Session == "" {
			got.Event.Session = ""
		}
		got.Event.ID, got.Event.At = "", want.Event.At
		return
	}
	if want.Trial.Session == "" {
		got.Trial.Session = ""
	}
	got.Trial.ID, got.Trial.At = "", want.Trial.At
}

func TestWritersRefuseWhatTheirFormatCannotHold(t *testing.T) {
	at := time.Date(2026, 3, 2, 17, 10, 5, 0, time.UTC)
	trial := func(change func(*curriculum.Trial)) []curriculum.Entry {
		e := curriculum.Entry{Trial: curriculum.Trial{Dog: "okapi", Behaviour: "settle", At: at, Outcome: curriculum.Success}}
		change(&e.Trial)
		return []curriculum.Entry{e}
	}
	seconds := trial(func(t *curriculum.Trial) { t.At = t.At.In(time.FixedZone("", 1172)) })
	late := trial(func(t *curriculum.Trial) { t.At = t.At.AddDate(9000, 0, 0) })
	infinite := trial(func(t *curriculum.Trial) {
		zero := 0.0
		t.Measures = []curriculum.MeasureValue{{Name: "latency", Value: 1 / zero}}
	})
	tally := func(w io.Writer, e []curriculum.Entry) error { return WriteTally(w, e, nil) }
	for name, write := range map[string]func(io.Writer, []curriculum.Entry) error{"JSON Lines": WriteJSONL, "CSV": WriteCSV, "tally": tally} {
		require.ErrorContains(t, write(io.Discard, seconds), "seconds", name)
		require.ErrorContains(t, write(io.Discard, late), "four digits", name)
		require.ErrorContains(t, write(io.Discard, infinite), "finite", name)
	}
	require.ErrorContains(t, WriteCSV(io.Discard, trial(func(t *curriculum.Trial) { t.Help = []string{"two words"} })), "two words")
	require.ErrorContains(t, WriteCSV(io.Discard, trial(func(t *curriculum.Trial) { t.Place = " yard" })), "white space")
	require.ErrorContains(t, tally(io.Discard, trial(func(t *curriculum.Trial) { t.Outcome = curriculum.NoOutcome })), "neither")
}
