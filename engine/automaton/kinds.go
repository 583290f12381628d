package automaton

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.com/rung/curriculum"
)

// Kind is what a trial is to rules.
type Kind uint8

const (
	Success Kind = iota // unaided
	Wrong
	Silent
	Helped // a success with late help
	Early  // help before any chance: no evidence
	OptOut
)

// Kinds are all kinds, in order.
var Kinds = []Kind{Success, Wrong, Silent, Helped, Early, OptOut}

var kindNames = [...]string{"success", "wrong", "silent", "helped", "early help", "opt-out"}

// String is the kind in words.
func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return "?"
}

// Evidence reports whether the dog had an unaided chance.
func (k Kind) Evidence() bool { return k <= Helped }

// Miss reports whether the kind counts among misses.
func (k Kind) Miss() bool { return k == Wrong || k == Silent || k == Helped }

var marks = [...]string{"+", "-", "0", "h", "e", "o!"}

// Case is one way a trial may be: its kind and what was recorded beside it.
type Case struct {
	Kind     Kind
	Place    string // "" where none was recorded, as for all below
	Handler  string
	Measures []curriculum.MeasureValue // one value for each piece a measure's range is cut into
	Rewarded curriculum.YesNo
	Level    curriculum.LevelRef // a value below the full one that it was asked for, where values vary inside the level
	Prompted bool                // a prompt of the step came early, which is no help
	Assumed  uint64              // which conditions that nobody can work out here are taken to hold; see Machine.Opaque
}

// Measure is the recorded value of that name.
func (c *Case) Measure(name string) (float64, bool) {
	for _, m := range c.Measures {
		if m.Name == name {
			return m.Value, true
		}
	}
	return 0, false
}

// Trial is a trial that is such a case, at a step with these prompts: outcome, help and what was recorded, no more.
func (c *Case) Trial(prompts []string) curriculum.Trial {
	t := curriculum.Trial{Outcome: curriculum.Success, Place: c.Place, Handler: c.Handler, Measures: slices.Clone(c.Measures), Rewarded: c.Rewarded, Level: slices.Clone(c.Level)}
	switch c.Kind {
	case Wrong:
		t.Outcome = curriculum.Wrong
	case Silent:
		t.Outcome = curriculum.Silent
	case Helped:
		t.Help = []string{curriculum.UnnamedHelp}
	case Early:
		t.Help, t.Early = []string{curriculum.UnnamedHelp}, true
	case OptOut:
		t.Outcome = curriculum.OptOut
	}
	if c.Prompted {
		t.Early = true
		if len(prompts) > 0 {
			t.Help = prompts[:1]
		}
	}
	return t
}

// details are what was recorded beside the kind, as the tally book writes it in brackets.
func (c *Case) details(units map[string]curriculum.Unit) string {
	var parts []string
	for _, m := range c.Measures {
		text := m.Name + " " + strconv.FormatFloat(m.Value, 'f', -1, 64)
		if u := units[m.Name]; u != curriculum.NoUnit {
			text += " " + string(u)
		}
		parts = append(parts, text)
	}
	if len(c.Level) > 0 {
		parts = append(parts, "asked for "+c.Level.String())
	}
	switch c.Rewarded {
	case curriculum.Yes:
		parts = append(parts, "rewarded")
	case curriculum.No:
		parts = append(parts, "unrewarded")
	}
	if c.Prompted {
		parts = append(parts, "early prompt")
	}
	return strings.Join(parts, ", ")
}

// Edge is what lies between trials.
type Edge uint8

const (
	NoEdge     Edge = iota // the letter is a trial
	SessionEnd             // the session ends; the next one is on the same date
	NextDay                // the session ends, and what comes is on the next date
	Midnight               // the date changes within a session
)

var edgeNames = [...]string{"", "the session ends", "the session ends, next day", "midnight passes"}

// String is the edge in words.
func (e Edge) String() string {
	if int(e) < len(edgeNames) {
		return edgeNames[e]
	}
	return "?"
}

// Letter is one kind of thing the rules can tell from all others: an edge, or a trial.
type Letter struct {
	Edge  Edge
	Cases []Case // of a trial: all that no rule tells apart; the first is the one that is written
	Mark  string // in tally marks; "|" for an end of session, "||" for one with a next day
	Text  string // in words
}

// IsTrial reports whether the letter is a trial.
func (l *Letter) IsTrial() bool { return l.Edge == NoEdge }

// Kinds are the kinds of trial it stands for, each once.
func (l *Letter) Kinds() []Kind {
	var out []Kind
	for i := range l.Cases {
		if !slices.Contains(out, l.Cases[i].Kind) {
			out = append(out, l.Cases[i].Kind)
		}
	}
	return out
}

// Miss reports whether every trial the letter stands for is a miss.
func (l *Letter) Miss() bool {
	return l.IsTrial() && !slices.ContainsFunc(l.Cases, func(c Case) bool { return !c.Kind.Miss() })
}

// name gives a letter its mark and its words.
func (l *Letter) name(units map[string]curriculum.Unit, opaque []string) {
	switch l.Edge {
	case SessionEnd:
		l.Mark, l.Text = "|", l.Edge.String()
		return
	case NextDay:
		l.Mark, l.Text = "||", l.Edge.String()
		return
	case Midnight:
		l.Mark, l.Text = "~", l.Edge.String()
		return
	}
	c := &l.Cases[0]
	l.Mark = marks[c.Kind]
	more := c.details(units)
	if more != "" {
		l.Mark += "(" + more + ")"
	}
	var words []string
	for _, k := range l.Kinds() {
		words = append(words, k.String())
	}
	l.Text = strings.Join(words, " or ")
	for _, s := range []string{more, c.where()} {
		if s != "" {
			l.Text += ", " + s
		}
	}
	for i, o := range opaque {
		if c.Assumed>>i&1 != 0 {
			l.Text += fmt.Sprintf(", %s holds", o)
		}
	}
}

// where is place and handler in words.
func (c *Case) where() string {
	var parts []string
	if c.Place != "" {
		parts = append(parts, c.Place)
	}
	if c.Handler != "" {
		parts = append(parts, c.Handler)
	}
	return strings.Join(parts, " ")
}
