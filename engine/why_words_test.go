package engine_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine"
)

// What Why says of criteria over sessions, places, handlers and days, and of what must be measured, in both voices.
func TestWhySaysInBothVoicesWhatIsMissing(t *testing.T) {
	const book = `okapi 2026-03-02 17:10 yard senior
spin: +(latency 1 s) +(latency 3 s, duration 6 s) + h x 0
okapi 2026-03-03 17:10 lane senior
spin: +(latency 1 s) e - + o! +
`
	for _, c := range []struct {
		criterion, trainer, owner string
		doesNot                   string // a trial that does not count and why, by its end
	}{
		{"4 of last 5 within 2 s", "four more in a row with latency 2 s and it moves on to two",
			"To go on: four more that go well, one after the other, each answered in 2 seconds; then comes: two.", "a success, but short of what is asked beside, or without a note of it"},
		{"4 of last 5 holding 1 s", "with duration 1 s and it", "each held for 1 second; then", "no response"},
		{"4 of last 5 where { distance > 1 }", "with distance 1.5 m and it", "each from 1.5 metres; then", "wrong"},
		{"4 of last 5 where { turn >= 60 }", "with turn 60 deg and it", "each with turn 60 degrees; then", "wrong"},
		{"4 of last 5 where { not rewarded }", "with unpaid and it", "each not fed; then", "wrong"},
		{"3 in a row in 3 sessions", "after + | + + + it moves on to two (| is another session)",
			"To go on: one more that goes well, then three that go well, one after the other, in another session; then comes: two.", "a success, but none of those that made it true"},
		{"3 in a row in 2 places", "at lane 3 in a row: 2 of 3 so far", "one more that goes well, at lane; then", "helped before its chance: no evidence"},
		{"2 of last 3 in 2 handlers", "two more in a row with handler junior", "one after the other, with junior; then", "helped"},
		{"2 of last 3 in 4 days", "after || + + || + + it moves on to two (|| is another day)",
			"two that go well, one after the other, on each of two more days; then", "opted out"},
		{"80% of a session of at least 10 trials", "six more in a row and, when the session is over, it moves on to two",
			"six more that go well, one after the other; once the session is over, then comes: two.", "wrong"},
		{"80% of a session of at least 8 trials in 2 sessions", "after + + + + | + + + + + + + +, when the session is over, it",
			"then eight that go well, one after the other, in another session; once the session is over, then", "opted out"},
		{"first trial in 4 sessions", "after | + | + it moves on", "one that goes well in each of two more sessions; then", "not among the trials looked at"},
		{"after 7 days", "1 so far, 7 needed; the first trial on 9 March 2026 or later", "To go on: when it has been seven days; then comes: two.", ""},
	} {
		t.Run(c.criterion, func(t *testing.T) {
			p, entries := textual(t, "place yard, lane\nhandler senior, junior\nmeasure turn in deg\nbehaviour spin {\n  step one {\n    prompt word\n    advance when "+c.criterion+"\n  }\n  step two {\n    prompt word\n  }\n}\n", book)
			f := p.NewFold()
			for i := range entries {
				require.NoError(t, f.Take(&entries[i]))
			}
			w, err := f.Why("okapi", "spin", f.Now())
			require.NoError(t, err)
			flat := func(text string) string { return strings.Join(strings.Fields(text), " ") }
			require.Contains(t, flat(w.Text()), flat(c.trainer))
			require.Contains(t, flat(w.Words(engine.ForOwner)), c.owner)
			var reasons []string
			for _, d := range w.Rules[0].Counts[0].DoNot {
				reasons = append(reasons, d.Why)
			}
			if c.doesNot != "" {
				require.Contains(t, reasons, c.doesNot)
			}
		})
	}
}
