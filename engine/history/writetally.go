package history

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// WriteTally writes entries as a tally book, in the order given. It cannot hold ids, nor a time of its own for each
// trial: read back, the first of a session has its time to the second and each following one a second more. A session
// without an id gets one. Offsets are left out where they are those of loc (nil means UTC).
func WriteTally(w io.Writer, entries []curriculum.Entry, loc *time.Location) error {
	t := tallyWriter{w: bufio.NewWriter(w), loc: loc}
	if loc == nil {
		t.loc = time.UTC
	}
	for i := range entries {
		if err := t.entry(&entries[i]); err != nil {
			return fmt.Errorf("entry %d: %w", i+1, err)
		}
	}
	t.endLine()
	return t.w.Flush()
}

type tallyWriter struct {
	w    *bufio.Writer
	loc  *time.Location
	head heading   // of the session being written
	auto bool      // its id is the one its heading would get
	last time.Time // of the entry before
	open string    // what stands before the colon of the line of marks being written
	n    int       // marks on it
}

// marksALine is where a line of marks is broken, so that it can be read on paper.
const marksALine = 40

func (w *tallyWriter) entry(e *curriculum.Entry) error {
	if e.Dog() == "" || e.At().IsZero() {
		return fmt.Errorf("a dog and a time are needed")
	}
	h := heading{dog: e.Dog(), at: e.At(), place: w.head.place, handler: w.head.handler, session: e.Event.Session}
	if !e.IsEvent {
		h.place, h.handler, h.session = e.Trial.Place, e.Trial.Handler, e.Trial.Session
	}
	if !w.goesOn(&h) {
		if e.IsEvent {
			h.place, h.handler = "", ""
		}
		if err := w.heading(h); err != nil {
			return err
		}
	}
	w.last = h.at
	if e.IsEvent {
		return w.event(&e.Event)
	}
	return w.mark(&e.Trial)
}

// goesOn reports whether an entry belongs under the heading that stands.
func (w *tallyWriter) goesOn(h *heading) bool {
	if h.dog != w.head.dog || h.place != w.head.place || h.handler != w.head.handler {
		return false
	}
	_, was := w.last.Zone()
	if _, is := h.at.Zone(); is != was || h.at.Before(w.last) {
		return false
	}
	if h.session == "" {
		return w.auto && w.head.session == "" && h.at.Sub(w.last) < 30*time.Minute
	}
	return h.session == w.head.session
}

func (w *tallyWriter) heading(h heading) error {
	w.endLine()
	if w.head.dog != "" {
		w.w.WriteByte('\n')
	}
	w.head = h
	if _, offset := h.at.Zone(); offset%60 != 0 {
		return fmt.Errorf("the offset of %v has seconds, which a heading cannot hold", h.at)
	}
	if y := h.at.Year(); y < 0 || y > 9999 {
		return fmt.Errorf("the year %d has not four digits", y)
	}
	fmt.Fprintf(w.w, "%s %s", firstWord(h.dog), h.at.Format("2006-01-02 15:04"))
	if h.at.Second() != 0 {
		w.w.WriteString(h.at.Format(":05"))
	}
	_, there := h.at.In(w.loc).Zone()
	if _, offset := h.at.Zone(); offset != there || !sameWallClock(h.at, w.loc) {
		w.w.WriteString(h.at.Format("-07:00"))
	}
	if h.place != "" {
		w.w.WriteString(" " + headingWord(h.place))
	}
	if h.handler != "" {
		if h.place == "" {
			w.w.WriteString(" by")
		}
		w.w.WriteString(" " + headingWord(h.handler))
	}
	w.auto = h.session == "" || h.session == h.dog+"/"+h.at.Truncate(time.Second).Format(time.RFC3339)
	if !w.auto {
		w.w.WriteString(" session " + quoted(h.session))
	}
	w.w.WriteByte('\n')
	return nil
}

// sameWallClock reports whether reading t's wall clock in loc gives t again: an hour that comes twice, when clocks are
// put back, needs its offset.
func sameWallClock(t time.Time, loc *time.Location) bool {
	y, mo, d := t.Date()
	h, m, s := t.Clock()
	return time.Date(y, mo, d, h, m, s, t.Nanosecond(), loc).Equal(t)
}

// firstWord quotes a name that would make a line an event's.
func firstWord(s string) string {
	if isEvent(s) {
		return strconv.Quote(s)
	}
	return quoted(s)
}

// headingWord quotes a place or handler also where it is a word of the heading.
func headingWord(s string) string {
	if s == "by" || s == "session" {
		return strconv.Quote(s)
	}
	return quoted(s)
}

func (w *tallyWriter) endLine() {
	if w.open != "" {
		w.w.WriteByte('\n')
		w.open, w.n = "", 0
	}
}

func (w *tallyWriter) mark(t *curriculum.Trial) error {
	m, err := markText(t)
	if err != nil {
		return err
	}
	line := firstWord(t.Behaviour)
	if t.Step != "" {
		line += " at " + quoted(t.Step)
	}
	if len(t.Level) > 0 {
		line += " "
		if t.Step == "" && t.Level[0].Of == "at" {
			line += strconv.Quote("at") + strings.TrimPrefix(levelText(t.Level), "at")
		} else {
			line += levelText(t.Level)
		}
	}
	if line != w.open || w.n == marksALine {
		w.endLine()
		w.w.WriteString(line + ":")
		w.open = line
	}
	w.n++
	w.w.WriteString(" " + m)
	return nil
}

// markText is a trial as a mark with its brackets.
func markText(t *curriculum.Trial) (string, error) {
	var in []string
	help := t.Help
	mark := map[curriculum.Outcome]string{curriculum.NoOutcome: "?", curriculum.Success: "+", curriculum.Wrong: "-",
		curriculum.Silent: "0", curriculum.OptOut: "o!", curriculum.Void: "x"}[t.Outcome]
	early := t.Early
	if t.Outcome == curriculum.Success && len(help) > 0 {
		mark = "h"
		if early {
			mark, early = "e", false
		}
		if len(help) == 1 && help[0] == curriculum.UnnamedHelp {
			help = nil
		}
	}
	if t.Outcome == curriculum.NoOutcome && len(t.Measures) == 0 {
		return "", fmt.Errorf("a trial has neither an outcome nor a measure")
	}
	if early {
		in = append(in, "early")
	}
	for _, h := range help {
		switch h {
		case "early", "rewarded", "unrewarded", "failed", "note", "latency", "duration", "distance":
			in = append(in, strconv.Quote(h))
		default:
			in = append(in, quoted(h))
		}
	}
	for _, m := range t.Measures {
		if math.IsNaN(m.Value) || math.IsInf(m.Value, 0) {
			return "", fmt.Errorf("the measure %s is not finite", m.Name)
		}
		name := quoted(m.Name)
		switch m.Name {
		case "early", "rewarded", "unrewarded", "failed", "note":
			name = strconv.Quote(m.Name)
		}
		in = append(in, name+" "+string(appendNumber(nil, m.Value)))
	}
	switch t.Rewarded {
	case curriculum.Yes:
		in = append(in, "rewarded")
	case curriculum.No:
		in = append(in, "unrewarded")
	}
	if t.Failed != "" {
		in = append(in, "failed "+quoted(t.Failed))
	}
	if t.Note != "" {
		in = append(in, "note "+strconv.Quote(t.Note))
	}
	if len(in) > 0 {
		mark += "(" + strings.Join(in, ", ") + ")"
	}
	return mark, nil
}

func (w *tallyWriter) event(v *curriculum.Event) error {
	w.endLine()
	line := string(v.Kind)
	in := func() {
		if v.Behaviour != "" {
			line += " in " + quoted(v.Behaviour)
		}
	}
	switch v.Kind {
	case curriculum.SignSeen, curriculum.SignCleared:
		if line += " "; v.Sign == "at" {
			line += strconv.Quote(v.Sign) // bare it would make a behaviour of the word before
		} else {
			line += quoted(v.Sign)
		}
		in()
	case curriculum.HandMove:
		line += " " + quoted(v.Behaviour) + " to "
		switch {
		case v.Kept:
			line += "kept"
		case v.Step == "kept":
			line += strconv.Quote(v.Step)
		default:
			line += quoted(v.Step)
		}
		if len(v.Level) > 0 {
			line += ", " + levelText(v.Level)
		}
	case curriculum.NoteTaken:
		in()
		w.w.WriteString(line + " " + strconv.Quote(v.Note) + "\n")
		return nil
	default:
		return fmt.Errorf("no such event as %q", v.Kind)
	}
	if v.By != "" {
		line += " by " + strconv.Quote(v.By)
	}
	if v.Note != "" {
		line += " note " + strconv.Quote(v.Note)
	}
	w.w.WriteString(line + "\n")
	return nil
}
