package schedules

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/emersion/go-ical"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var stamp = time.Date(2026, 3, 2, 18, 0, 0, 0, time.FixedZone("", 3600))

func written(t require.TestingT, c Calendar) string {
	var b bytes.Buffer
	require.NoError(t, c.Write(&b))
	return b.String()
}

// read is the calendar as an independent reader understands it. Its writer then checks what each part must have.
func read(t require.TestingT, text string) *ical.Calendar {
	cal, err := ical.NewDecoder(strings.NewReader(text)).Decode()
	require.NoError(t, err)
	require.NoError(t, ical.NewEncoder(new(bytes.Buffer)).Encode(cal))
	return cal
}

func TestACalendarIsWrittenLineByLine(t *testing.T) {
	c := Calendar{Product: "-//Pindrift Yard//reviews//EN", Name: "Okapi", Stamp: stamp, Entries: []Entry{{
		UID: "okapi-mat@yard.example", Day: time.Date(2026, 3, 31, 23, 30, 0, 0, time.FixedZone("", -7200)), Title: "Review: mat, then rest",
		Text: "First try of the day; no help.\nWrite it down.", Categories: []string{"dog", "review, cold"}, Sequence: 2,
	}}}
	require.Equal(t, strings.ReplaceAll(`BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//Pindrift Yard//reviews//EN
CALSCALE:GREGORIAN
NAME:Okapi
BEGIN:VEVENT
UID:okapi-mat@yard.example
DTSTAMP:20260302T170000Z
SEQUENCE:2
DTSTART;VALUE=DATE:20260331
DTEND;VALUE=DATE:20260401
SUMMARY:Review: mat\, then rest
DESCRIPTION:First try of the day\; no help.\nWrite it down.
CATEGORIES:dog,review\, cold
TRANSP:TRANSPARENT
END:VEVENT
END:VCALENDAR
`, "\n", "\r\n"), written(t, c))
}

// Whatever stands in it, an independent library reads the same out of it (RFC 5545: lines of at most 75 octets, ended
// by CRLF, folded between characters).
func TestAnIndependentReaderFindsWhatWasWritten(t *testing.T) {
	text := rapid.StringMatching(`[ -~äß…犬🐕\n\\;,:"\t]{1,120}`)
	rapid.Check(t, func(t *rapid.T) {
		c := Calendar{Product: text.Draw(t, "product"), Name: rapid.OneOf(rapid.Just(""), text).Draw(t, "name"), Stamp: stamp}
		for i := range rapid.IntRange(0, 4).Draw(t, "entries") {
			c.Entries = append(c.Entries, Entry{
				UID: string(rune('a'+i)) + text.Draw(t, "uid"), Title: text.Draw(t, "title"), Text: text.Draw(t, "text"), Place: text.Draw(t, "place"),
				Day:      time.Date(2026, 1, rapid.IntRange(1, 900).Draw(t, "day"), 12, 0, 0, 0, time.UTC),
				Sequence: rapid.IntRange(0, 30).Draw(t, "sequence"),
			})
		}
		out := written(t, c)
		require.True(t, utf8.ValidString(out))
		for _, line := range strings.SplitAfter(out, "\r\n") {
			require.LessOrEqual(t, len(strings.TrimSuffix(line, "\r\n")), 75)
			require.NotContains(t, strings.TrimSuffix(line, "\r\n"), "\n")
			require.True(t, utf8.ValidString(line), "no character is cut in two")
		}
		cal := read(t, out) // of nothing too: the library insists on a component, as the format does
		product, err := cal.Props.Text(ical.PropProductID)
		require.NoError(t, err)
		require.Equal(t, c.Product, product)
		events := cal.Events()
		require.Len(t, events, len(c.Entries))
		for i, e := range c.Entries {
			for prop, want := range map[string]string{ical.PropUID: e.UID, ical.PropSummary: e.Title, ical.PropDescription: e.Text, ical.PropLocation: e.Place} {
				got, err := events[i].Props.Text(prop)
				require.NoError(t, err)
				require.Equal(t, want, got, prop)
			}
			start, err := events[i].DateTimeStart(time.UTC)
			require.NoError(t, err)
			require.Equal(t, e.Day.Format(time.DateOnly), start.Format(time.DateOnly))
			end, err := events[i].DateTimeEnd(time.UTC)
			require.NoError(t, err)
			require.Equal(t, 24*time.Hour, end.Sub(start))
			made, err := events[i].Props.DateTime(ical.PropDateTimeStamp, time.UTC)
			require.NoError(t, err)
			require.True(t, made.Equal(stamp))
			n, err := events[i].Props.Get(ical.PropSequence).Int()
			require.NoError(t, err)
			require.Equal(t, e.Sequence, n)
		}
	})
}

func TestWhatCannotBeACalendarIsRefused(t *testing.T) {
	day := time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)
	good := Entry{UID: "a", Title: "x", Day: day}
	for name, c := range map[string]Calendar{
		"no product":      {Stamp: stamp},
		"no stamp":        {Product: "p"},
		"no UID":          {Product: "p", Stamp: stamp, Entries: []Entry{{Title: "x", Day: day}}},
		"no title":        {Product: "p", Stamp: stamp, Entries: []Entry{{UID: "a", Day: day}}},
		"no day":          {Product: "p", Stamp: stamp, Entries: []Entry{{UID: "a", Title: "x"}}},
		"a year too late": {Product: "p", Stamp: stamp, Entries: []Entry{{UID: "a", Title: "x", Day: time.Date(9999, 12, 31, 0, 0, 0, 0, time.UTC)}}},
		"a UID twice":     {Product: "p", Stamp: stamp, Entries: []Entry{good, good}},
	} {
		var b bytes.Buffer
		require.ErrorIs(t, c.Write(&b), ErrCalendar, name)
		require.Empty(t, b.String(), name)
	}
	require.ErrorIs(t, Calendar{Product: "p", Stamp: stamp, Entries: []Entry{good}}.Write(brokenWriter{}), errBroken)
	require.Contains(t, written(t, Calendar{Product: "p\x00\x07", Stamp: stamp, Entries: []Entry{{UID: "a", Title: "bad \xff byte", Day: day}}}), "SUMMARY:bad \uFFFD byte\r\n")
}

var errBroken = errors.New("the disk is full")

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errBroken }

func TestReviewDatesIfAllGoesWell(t *testing.T) {
	r, err := NewReviews(3, 7, 14)
	require.NoError(t, err)
	var got []string
	for _, d := range r.Dates(time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC), 0, 5) {
		got = append(got, d.Format(time.DateOnly))
	}
	require.Equal(t, []string{"2026-03-04", "2026-03-11", "2026-03-25", "2026-04-08", "2026-04-22"}, got)
	require.Empty(t, r.Dates(stamp, 0, -1))
}
