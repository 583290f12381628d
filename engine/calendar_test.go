package engine_test

import (
	"bytes"
	"testing"
	"time"

	"github.com/emersion/go-ical"
	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// entries reads the fold's calendar with an independent library: the dates by their titles.
func entries(t *testing.T, f *engine.Fold, now time.Time, dogs ...string) map[string]string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, f.Calendar(now, dogs...).Write(&b))
	out := map[string]string{}
	cal, err := ical.NewDecoder(&b).Decode()
	require.NoError(t, err)
	for _, e := range cal.Events() {
		title, err := e.Props.Text(ical.PropSummary)
		require.NoError(t, err)
		day, err := e.DateTimeStart(time.UTC)
		require.NoError(t, err)
		out[title] = day.Format(time.DateOnly)
	}
	return out
}

func TestTheCalendarHoldsWhatIsDueAndMovesIt(t *testing.T) {
	mat := kept()
	mat.Name = "mat"
	c := house(kept(curriculum.Q(3, curriculum.Day), curriculum.Q(1, curriculum.Week)), mat)
	p := compile(t, c)
	f := p.NewFold()
	require.Empty(t, entries(t, f, monday), "nobody has begun")
	d := okapi().tally("spin", "+").tally("mat", "+")
	for i := range d.list {
		require.NoError(t, f.Take(&d.list[i]))
	}
	require.Equal(t, map[string]string{"okapi: review of spin": "2026-03-05"}, entries(t, f, d.at), "the mat is kept without reviews")
	require.Equal(t, map[string]string{"okapi: review of spin": "2026-03-09"}, entries(t, f, d.at.AddDate(0, 0, 7)), "an overdue one stands on the day")
	require.Empty(t, entries(t, f, d.at, "bisk"))

	// the same review keeps its UID, and its sequence rises as its day does
	before := f.Calendar(d.at).Entries[0]
	require.Contains(t, before.Text, "If it goes well the next one is 7 days later; if not, 3 days later.")
	d.at = monday.AddDate(0, 0, 3)
	d.mark("spin", '+')
	require.NoError(t, f.Take(&d.list[len(d.list)-1]))
	after := f.Calendar(d.at).Entries[0]
	require.Equal(t, before.UID, after.UID)
	require.Equal(t, "2026-03-12", after.Day.Format(time.DateOnly))
	require.Greater(t, after.Sequence, before.Sequence)

	// it never falls, though the day comes nearer when the behaviour is begun again and kept again
	d.at = d.at.AddDate(0, 0, 1)
	require.NoError(t, f.Note(&curriculum.Event{Dog: "okapi", At: d.at, Kind: curriculum.HandMove, Behaviour: "spin", Step: "one", By: "Halla"}))
	require.NoError(t, f.Note(&curriculum.Event{Dog: "okapi", At: d.at, Kind: curriculum.HandMove, Behaviour: "spin", Kept: true, By: "Halla"}))
	nearer := f.Calendar(d.at).Entries[0]
	require.Equal(t, "2026-03-09", nearer.Day.Format(time.DateOnly))
	require.Greater(t, nearer.Sequence, after.Sequence)

	// a lock takes it out, for whom it locks
	require.NoError(t, f.Note(&curriculum.Event{Dog: "okapi", At: d.at, Kind: curriculum.SignSeen, Sign: "limp", Behaviour: "mat"}))
	require.NotEmpty(t, entries(t, f, d.at))
	require.NoError(t, f.Note(&curriculum.Event{Dog: "okapi", At: d.at, Kind: curriculum.SignSeen, Sign: "limp", Behaviour: "spin"}))
	require.Empty(t, entries(t, f, d.at))
}
