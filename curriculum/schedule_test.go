package curriculum_test

import (
	"testing"

	"example.com/rung/curriculum"
)

// Whatever is read as a schedule is written so that the same is read again.
func FuzzSchedulesComeBackFromTheirText(f *testing.F) {
	for _, text := range []string{"every success", "variable ratio 1.5 with at most 3 unpaid", "random ratio 2.5", "fixed interval 10 s", "variable duration 1 min",
		"best 60% of last 10 for turn from 30 deg to 90 deg", "best 5% of last 1 for x to 1 s", "best 60% of last 10 for turn from", "variable ratio 9 with at most"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, ok := curriculum.ParseSchedule(text)
		if !ok {
			return
		}
		again, ok := curriculum.ParseSchedule(s.String())
		if !ok || !again.Equal(s) || again.String() != s.String() {
			t.Fatalf("%q is read as %q, and that as %q, %v", text, s, again, ok)
		}
	})
}
