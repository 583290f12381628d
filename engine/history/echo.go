package history

import (
	"fmt"
	"io"
	"strings"

	"example.com/rung/curriculum"
)

// Echo prints in words what was understood of entries, a line for each line they were read from, under a line for each
// session: what a person compares with the page of the tally book.
func Echo(w io.Writer, entries []curriculum.Entry) {
	e := echo{w: w}
	for i := 0; i < len(entries); {
		n := i + 1
		source, line := whereRead(&entries[i])
		for n < len(entries) {
			if s, l := whereRead(&entries[n]); s != source || l != line {
				break
			}
			n++
		}
		e.line(entries[i:n])
		i = n
	}
}

func whereRead(e *curriculum.Entry) (source string, line int) {
	if e.IsEvent {
		return e.Event.Source, e.Event.Line
	}
	return e.Trial.Source, e.Trial.Line
}

// echo remembers the session it has printed.
type echo struct {
	w    io.Writer
	head string
}

// line prints what one line of a source said.
func (o *echo) line(entries []curriculum.Entry) {
	if len(entries) == 0 {
		return
	}
	e := &entries[0]
	source, line := whereRead(e)
	key := source + "\x00" + e.Dog() + "\x00" + either(e, e.Trial.Session, e.Event.Session)
	if key != o.head {
		o.head = key
		fmt.Fprintf(o.w, "%s: %s, %s%s\n", source, e.Dog(), e.At().Format("Monday 2 January 2006, 15:04 -07:00"), placeText(e))
	}
	if e.IsEvent {
		fmt.Fprintf(o.w, "  line %d: %s\n", line, eventText(&e.Event))
		return
	}
	t := &e.Trial
	fmt.Fprintf(o.w, "  line %d: %s", line, t.Behaviour)
	if t.Step != "" {
		fmt.Fprintf(o.w, " at %s", t.Step)
	}
	if len(t.Level) > 0 {
		fmt.Fprintf(o.w, ", %s", t.Level)
	}
	fmt.Fprint(o.w, ": ")
	for i := range entries {
		if i > 0 {
			fmt.Fprint(o.w, ", ")
		}
		fmt.Fprint(o.w, trialText(&entries[i].Trial))
	}
	fmt.Fprintln(o.w)
}

func placeText(e *curriculum.Entry) string {
	var b strings.Builder
	if !e.IsEvent && e.Trial.Place != "" {
		b.WriteString(", place " + e.Trial.Place)
	}
	if !e.IsEvent && e.Trial.Handler != "" {
		b.WriteString(", handler " + e.Trial.Handler)
	}
	return b.String()
}

// trialText is a trial in words, such as "helped late (touch)".
func trialText(t *curriculum.Trial) string {
	text := t.Outcome.String()
	if text == "" {
		text = "measured"
	}
	var in []string
	for _, h := range t.Help {
		if h != curriculum.UnnamedHelp {
			in = append(in, h)
		}
	}
	switch {
	case t.Outcome == curriculum.Success && t.Early:
		text = "helped early"
	case t.Outcome == curriculum.Success && len(t.Help) > 0:
		text = "helped late"
	case t.Early:
		text += " after early help"
	case len(t.Help) > 0:
		text += " with help"
	}
	for _, m := range t.Measures {
		in = append(in, fmt.Sprintf("%s %v", m.Name, m.Value))
	}
	if t.Rewarded != curriculum.NotSaid {
		in = append(in, map[curriculum.YesNo]string{curriculum.Yes: "rewarded", curriculum.No: "not rewarded"}[t.Rewarded])
	}
	if t.Failed != "" {
		in = append(in, "failed at "+t.Failed)
	}
	if t.Note != "" {
		in = append(in, "note "+quoteShort(t.Note))
	}
	if len(in) > 0 {
		text += " (" + strings.Join(in, ", ") + ")"
	}
	return text
}

// eventText is an event in words.
func eventText(v *curriculum.Event) string {
	var b strings.Builder
	switch v.Kind {
	case curriculum.SignSeen:
		b.WriteString("welfare sign seen: " + v.Sign)
	case curriculum.SignCleared:
		b.WriteString("welfare sign cleared: " + v.Sign)
	case curriculum.HandMove:
		b.WriteString("moved by hand to ")
		if v.Kept {
			b.WriteString("kept")
		} else {
			b.WriteString(v.Step)
		}
		if len(v.Level) > 0 {
			b.WriteString(", " + v.Level.String())
		}
	case curriculum.NoteTaken:
		b.WriteString("note")
	}
	if v.Behaviour != "" {
		b.WriteString(", in " + v.Behaviour)
	}
	if v.By != "" {
		b.WriteString(", by " + v.By)
	}
	if v.Note != "" {
		b.WriteString(": " + quoteShort(v.Note))
	}
	return b.String()
}
