package engine

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"time"

	"example.com/rung/schedules"
)

// calendarProduct names what wrote a calendar.
const calendarProduct = "-//Rung//reviews//EN"

// Calendar is the next review of each kept behaviour as a calendar: of the dogs named, or of all. An overdue review
// stands on now's date. What is locked, for the whole dog or for one behaviour, is not in it. The same review has the
// same UID each time, so that a calendar read anew moves it and does not double it.
func (f *Fold) Calendar(now time.Time, dogs ...string) schedules.Calendar {
	c := schedules.Calendar{Product: calendarProduct, Stamp: now}
	if f.none() {
		return c
	}
	c.Name = f.p.c.Name
	only := map[string]bool{}
	for _, name := range dogs {
		only[name] = true
	}
	for _, d := range f.sorted() {
		if len(dogs) > 0 && !only[d.name] {
			continue
		}
		at := f.asOf(d, now)
		for _, b := range f.p.behaviours {
			if st := at.states[b.index]; !st.reviewDue().IsZero() && !at.isLocked(b) {
				c.Entries = append(c.Entries, f.entry(at, st, now))
			}
		}
	}
	return c
}

// isLocked reports whether some lock covers a behaviour.
func (d *dog) isLocked(b *behaviour) bool {
	for i := range d.locks {
		if d.locks[i].covers(b.index) {
			return true
		}
	}
	return false
}

// entry is the next review of a kept behaviour.
func (f *Fold) entry(d *dog, st *state, now time.Time) schedules.Entry {
	b := st.b
	due := st.reviewDue()
	day := due
	if today := time.Unix(int64(dayOf(now))*86400, 0).UTC(); today.After(due) {
		day = today
	}
	last := len(b.src.Steps) - 1
	sheet := b.src.SheetOf(last)
	var text []string
	say := func(format string, args ...any) { text = append(text, fmt.Sprintf(format, args...)) }
	say("The first try of a session, without warming up and without help.")
	for _, q := range sheet.Cues {
		say("Cue (%s): %s", q.Kind, q.Text)
	}
	if sheet.Success != "" {
		say("It counts if: %s.", strings.TrimSuffix(sheet.Success, "."))
	}
	if day.After(due) {
		say("It was due on %s.", due.Format(time.DateOnly))
	}
	days := func(passed bool) string { return count(b.reviews[b.reviews.After(st.review.gap, passed)], "day") }
	say("If it goes well the next one is %s later; if not, %s later.", days(true), days(false))
	sum := sha256.Sum256([]byte(f.p.c.Name + "\x00" + d.name + "\x00" + b.src.Name))
	return schedules.Entry{
		UID: "rung-" + hex.EncodeToString(sum[:16]), Day: day, Title: d.name + ": review of " + b.src.Name,
		Text: strings.Join(text, "\n"), Categories: []string{d.name}, Sequence: max(0, dayOf(now)), // a due day may come nearer: after a lapse, say
	}
}
