package schedules

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"
)

// Calendar is a list of days that a calendar program can read: an iCalendar object of RFC 5545, with one all-day event
// for each entry. Whoever reads it twice finds each entry once, as long as its UID stays the same.
type Calendar struct {
	Product string    // who wrote it, PRODID
	Name    string    // RFC 7986, NAME; may be empty
	Stamp   time.Time // when it was written, DTSTAMP
	Entries []Entry
}

// Entry is one all-day event. It does not make the day busy.
type Entry struct {
	UID        string    // the same for the same thing each time, unique in the world
	Day        time.Time // its date, in its own offset
	Title      string
	Text       string // may be several lines
	Place      string
	Categories []string
	Sequence   int // never falls from one writing to the next, and rises when the entry moves to another day
}

// ErrCalendar is in the chain of the error for a calendar that cannot be written.
var ErrCalendar = errors.New("a calendar needs a product, a stamp, and for each entry a UID of its own, a title and a day")

// lineOctets is the longest line of the format, its end apart.
const lineOctets = 75

// Write writes the calendar: lines end in CRLF, and a line of more than 75 octets goes on in the next, never inside a
// character. Nothing is written where there is an error of the calendar's own.
func (c Calendar) Write(w io.Writer) error {
	text, err := c.text()
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, text)
	return err
}

func (c Calendar) text() (string, error) {
	if c.Product == "" || !sayable(c.Stamp) {
		return "", ErrCalendar
	}
	var b strings.Builder
	line := func(name, value string) { fold(&b, name+":"+value) }
	said := func(name, value string) {
		if value != "" {
			line(name, escaped(value))
		}
	}
	line("BEGIN", "VCALENDAR")
	line("VERSION", "2.0")
	line("PRODID", escaped(c.Product))
	line("CALSCALE", "GREGORIAN")
	said("NAME", c.Name)
	seen := map[string]bool{}
	for i, e := range c.Entries {
		next := e.Day.AddDate(0, 0, 1)
		if e.UID == "" || seen[e.UID] || e.Title == "" || e.Sequence < 0 || !sayable(e.Day) || !sayable(next) {
			return "", fmt.Errorf("%w: entry %d, %q", ErrCalendar, i+1, e.UID)
		}
		seen[e.UID] = true
		line("BEGIN", "VEVENT")
		line("UID", escaped(e.UID))
		line("DTSTAMP", c.Stamp.UTC().Format("20060102T150405Z"))
		line("SEQUENCE", fmt.Sprint(e.Sequence))
		line("DTSTART;VALUE=DATE", e.Day.Format("20060102"))
		line("DTEND;VALUE=DATE", next.Format("20060102")) // the first day that is over
		line("SUMMARY", escaped(e.Title))
		said("DESCRIPTION", e.Text)
		said("LOCATION", e.Place)
		if len(e.Categories) > 0 {
			words := make([]string, len(e.Categories))
			for i, w := range e.Categories {
				words[i] = escaped(w)
			}
			line("CATEGORIES", strings.Join(words, ","))
		}
		line("TRANSP", "TRANSPARENT")
		line("END", "VEVENT")
	}
	if len(c.Entries) == 0 {
		for _, l := range utc {
			fold(&b, l)
		}
	}
	line("END", "VCALENDAR")
	return b.String(), nil
}

// utc is a time zone. The format wants a component, so it stands in a calendar on which there is nothing.
var utc = [...]string{"BEGIN:VTIMEZONE", "TZID:Etc/UTC", "BEGIN:STANDARD", "DTSTART:19700101T000000", "TZOFFSETFROM:+0000", "TZOFFSETTO:+0000", "END:STANDARD", "END:VTIMEZONE"}

// sayable reports whether the format's four digits can write the year.
func sayable(t time.Time) bool { return !t.IsZero() && t.Year() >= 1 && t.Year() <= 9999 }

var specials = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\r\n", `\n`, "\n", `\n`, "\r", `\n`)

// escaped is a text value. Other control characters than the tab have no place in one.
func escaped(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' || r == 0x7f {
			return -1
		}
		return r
	}, specials.Replace(strings.ToValidUTF8(s, "\uFFFD")))
}

// fold writes a line; what goes on in a further line is set in by a space, which counts.
func fold(b *strings.Builder, s string) {
	for room := lineOctets; len(s) > room; room = lineOctets - 1 {
		cut := room
		for !utf8.RuneStart(s[cut]) {
			cut--
		}
		b.WriteString(s[:cut])
		b.WriteString("\r\n ")
		s = s[cut:]
	}
	b.WriteString(s)
	b.WriteString("\r\n")
}
