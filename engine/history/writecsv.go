package history

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// WriteCSV writes entries as a table with the columns that are needed. It fails for what a table cannot hold: help
// words with white space or semicolons, names that begin or end with white space. A line break in a note is kept, though
// CR LF becomes LF.
func WriteCSV(w io.Writer, entries []curriculum.Entry) error {
	cols := columnsOf(entries)
	out := csv.NewWriter(w)
	row := make([]string, len(cols))
	for i, c := range cols {
		row[i] = c.field.String()
		if c.of != "" {
			row[i] = "measures." + c.of
		}
	}
	if err := out.Write(row); err != nil {
		return err
	}
	for i := range entries {
		for n, c := range cols {
			var err error
			if row[n], err = cellOf(&entries[i], c); err != nil {
				return fmt.Errorf("entry %d: %w", i+1, err)
			}
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// columnsOf lists the columns entries need, in the order of fieldNames, measures by name.
func columnsOf(entries []curriculum.Entry) []column {
	used := map[column]bool{{field: fDog}: true, {field: fBehaviour}: true, {field: fAt}: true, {field: fOutcome}: true}
	for i := range entries {
		for f := fID; f <= fBy; f++ {
			c := column{field: f}
			if f == fMeasures || used[c] {
				continue
			}
			if cell, err := cellOf(&entries[i], c); cell != "" || err != nil {
				used[c] = true
			}
		}
		for _, m := range entries[i].Trial.Measures {
			if f := fieldOf([]byte(m.Name)); f < fLatency || f > fDistance {
				used[column{field: fMeasures, of: m.Name}] = true
			}
		}
	}
	cols := make([]column, 0, len(used))
	for c := range used {
		cols = append(cols, c)
	}
	slices.SortFunc(cols, func(a, b column) int {
		if a.field != b.field {
			return int(a.field) - int(b.field)
		}
		return strings.Compare(a.of, b.of)
	})
	return cols
}

// cellOf is what an entry has in a column.
func cellOf(e *curriculum.Entry, c column) (string, error) {
	t, v := &e.Trial, &e.Event
	switch c.field {
	case fAt:
		return timeText(e.At())
	case fNote:
		return either(e, t.Note, v.Note), nil
	case fHelp:
		for _, h := range t.Help {
			if h == "" || strings.ContainsAny(h, "; ") {
				return "", fmt.Errorf("the help word %q cannot stand in a table", h)
			}
		}
		return either(e, strings.Join(t.Help, ";"), ""), nil
	case fEarly:
		return either(e, trueText(t.Early), ""), nil
	case fKept:
		return either(e, "", trueText(v.Kept)), nil
	case fRewarded:
		return either(e, [...]string{"", "true", "false"}[t.Rewarded], ""), nil
	case fLatency, fDuration, fDistance, fMeasures:
		name := c.of
		if name == "" {
			name = c.field.String()
		}
		x, ok := t.Measure(name)
		if e.IsEvent || !ok {
			return "", nil
		}
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return "", fmt.Errorf("the measure %s is not finite", name)
		}
		return string(appendNumber(nil, x)), nil
	case fLevel:
		if e.IsEvent {
			return levelText(v.Level), nil
		}
		return levelText(t.Level), nil
	}
	name := nameOf(e, c.field)
	if name != strings.TrimSpace(name) {
		return "", errors.New(c.field.String() + " begins or ends with white space, which a table cannot hold")
	}
	return name, nil
}

// nameOf is what an entry has in a field of names.
func nameOf(e *curriculum.Entry, f field) string {
	t, v := &e.Trial, &e.Event
	switch f {
	case fID:
		return either(e, t.ID, v.ID)
	case fDog:
		return e.Dog()
	case fBehaviour:
		return either(e, t.Behaviour, v.Behaviour)
	case fSession:
		return either(e, t.Session, v.Session)
	case fPlace:
		return either(e, t.Place, "")
	case fHandler:
		return either(e, t.Handler, "")
	case fOutcome:
		return either(e, t.Outcome.String(), "")
	case fStep:
		return either(e, t.Step, v.Step)
	case fFailed:
		return either(e, t.Failed, "")
	case fEvent:
		return either(e, "", string(v.Kind))
	case fSign:
		return either(e, "", v.Sign)
	case fBy:
		return either(e, "", v.By)
	}
	return ""
}

func either(e *curriculum.Entry, trial, event string) string {
	if e.IsEvent {
		return event
	}
	return trial
}

func trueText(yes bool) string {
	if yes {
		return "true"
	}
	return ""
}
