package engine

import (
	"fmt"
	"strconv"
	"strings"

	"example.com/rung/curriculum"
)

// marksOf writes a run in tally marks; a bar begins a new session.
func marksOf(run []NextTrial) string {
	var out []string
	for _, t := range run {
		if t.NewSession {
			out = append(out, "|")
		}
		out = append(out, t.Mark+t.with())
	}
	return strings.Join(out, " ")
}

// with is what must be recorded beside a mark, as a tally book writes it.
func (t *NextTrial) with() string {
	if t.With == "" {
		return ""
	}
	return "(" + t.With + ")"
}

// then is what a rule does, in words that follow "and".
func then(word curriculum.RuleWord, leads string) string {
	switch word {
	case curriculum.Advance:
		if to, ok := strings.CutPrefix(leads, "go on to "); ok {
			return "it moves on to " + to
		}
		return "it is finished and only kept fresh"
	case curriculum.Ease:
		if to, ok := strings.CutPrefix(leads, "back to "); ok {
			return "it eases to " + to
		}
		return "it stays at this level and counts anew"
	case curriculum.Split:
		return "the step is split: " + leads
	case curriculum.Lapse:
		return "it lapses to " + strings.TrimPrefix(leads, "back to ")
	case curriculum.StopToday:
		return "it is over for this session"
	case curriculum.Flag:
		return "a senior trainer is asked to look"
	}
	return leads
}

var numberWords = [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

func numberWord(n int) string {
	if n < len(numberWords) {
		return numberWords[n]
	}
	return strconv.Itoa(n)
}

// sameMarks reports whether all trials of a run are of one sort.
func sameMarks(run []NextTrial) bool {
	for i := range run {
		if run[i].Mark != run[0].Mark || run[i].NewSession || run[i].With != run[0].With {
			return false
		}
	}
	return true
}

// sentence says what a run of trials does.
func sentence(run []NextTrial, proved bool, word curriculum.RuleWord, leads string) string {
	same := sameMarks(run)
	text := ""
	n := len(run)
	first := run[0]
	what := map[string][2]string{"+": {"more success", "more in a row"}, "-": {"more miss", "more misses in a row"}, "0": {"more without a response", "more without a response in a row"},
		"h": {"more helped", "more helped in a row"}, "e": {"more with early help", "more with early help"}, "o!": {"more opt-out", "more opt-outs in a row"}}[first.Mark]
	switch {
	case same && n == 1:
		text = "one " + what[0]
	case same:
		text = numberWord(n) + " " + what[1]
	case n > 30:
		text = fmt.Sprintf("after %d trials (%s ...)", n, marksOf(run[:8]))
	default:
		text = "after " + marksOf(run)
	}
	if same && first.With != "" {
		text += " with " + first.With
	}
	if same {
		text += " and " + then(word, leads)
	} else {
		text += " " + then(word, leads)
	}
	if !proved {
		text += " (there may be a shorter way)"
	}
	return text
}

// sentence is how far a count is.
func (c *CountWhy) sentence() string {
	far := fmt.Sprintf("%d so far, %d needed", c.Have, c.Need)
	switch {
	case c.AtMost:
		far = fmt.Sprintf("%d among %d looked at, at most %d may be there among %d", c.Have, c.Among, c.Need, c.Of)
	case c.Of > 0:
		far = fmt.Sprintf("%d of %d so far, %d of %d needed", c.Have, c.Among, c.Need, c.Of)
	}
	if c.Holds {
		far += ": holds"
	}
	return c.Text + ": " + far
}

// Text is the explanation for people, wrapped at 80 columns.
func (w *Why) Text() string {
	var b strings.Builder
	say := func(indent int, format string, args ...any) { wrap(&b, fmt.Sprintf(format, args...), indent) }
	at := w.Place.Step
	if len(w.Place.Level) > 0 {
		at += " " + levelText(w.Place.Level)
	}
	say(0, "%s, %s: %s, at %s", w.Dog, w.Behaviour, w.State, at)
	if w.Since != nil {
		say(2, "there since %s: %s of evidence in %s", w.Since.Format("2006-01-02 15:04"), count(w.Trials, "trial"), count(w.Sessions, "session"))
	}
	if m := w.LastMove; m != nil {
		say(2, "%s", m.sentence())
	}
	for _, l := range w.Locked {
		say(2, "locked: the sign %q was seen on %s and nobody has cleared it", l.Sign, l.At.Format("2006-01-02"))
	}
	if w.Stopped {
		say(2, "over for the session that is going on")
	}
	for _, m := range w.Missing {
		say(2, "needs %s", m)
	}
	if w.Away != "" {
		say(2, "the next trial first eases it, as the file says: %s", w.Away)
	}
	switch {
	case w.State == curriculum.Kept:
		say(2, "finished, and only kept fresh")
	case len(w.Missing) > 0:
		say(2, "until then its trials count for no rule")
	}
	for i := range w.Rules {
		r := &w.Rules[i]
		b.WriteByte('\n')
		where := ""
		if r.Line > 0 {
			where = fmt.Sprintf("   (%s, line %d)", r.File, r.Line)
		}
		say(2, "%s when %s%s", ruleName(r.Rule), r.Criterion, where)
		for j := range r.Counts {
			r.Counts[j].say(say)
		}
		switch {
		case r.Holds:
			say(4, "holds: %s", r.Leads)
		case r.Next != nil:
			say(4, "%s", r.Next.Sentence)
		}
	}
	return b.String()
}

func (c *CountWhy) say(say func(int, string, ...any)) {
	say(4, "%s", c.Sentence)
	const most = 12
	if n := len(c.Counts); n > 0 {
		say(6, "counts: %s", strings.Join(tail(c.Counts, most), ", "))
	}
	var not []string
	for _, d := range c.DoNot {
		not = append(not, d.Trial+" ("+d.Why+")")
	}
	if len(not) > 0 {
		say(6, "does not: %s", strings.Join(tail(not, most), ", "))
	}
}

// tail is the last n of a list, marked where it was longer.
func tail(list []string, n int) []string {
	if len(list) <= n {
		return list
	}
	return append([]string{fmt.Sprintf("%d earlier", len(list)-n)}, list[len(list)-n:]...)
}

func ruleName(word string) string {
	if word == string(curriculum.StopToday) {
		return "stop today"
	}
	return word
}

// sentence is a move in words.
func (m *Move) sentence() string {
	to := m.To.Step
	if len(m.To.Level) > 0 {
		to += " " + levelText(m.To.Level)
	}
	if m.To.Kept {
		to = keptWord
	}
	text := fmt.Sprintf("last move: %s to %s", m.Rule, to)
	if m.Trial != "" {
		text += " at trial " + m.Trial
	}
	if m.By != "" {
		text += " by " + m.By
	}
	return text + ", because " + m.Because
}

// levelText is a level given as texts, in the order of the names.
func levelText(level map[string]string) string {
	var parts []string
	for _, k := range sortedKeys(level) {
		parts = append(parts, k+" "+level[k])
	}
	return strings.Join(parts, ", ")
}

func count(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return strconv.Itoa(n) + " " + what
}

// wrap writes text in lines of at most 80 columns, the first indented, the others two further.
func wrap(b *strings.Builder, text string, indent int) {
	words := strings.Split(text, " ")
	line := strings.Repeat(" ", indent) + words[0]
	for _, w := range words[1:] {
		if len([]rune(line))+1+len([]rune(w)) > 80 {
			b.WriteString(line + "\n")
			line = strings.Repeat(" ", indent+2) + w
			continue
		}
		line += " " + w
	}
	b.WriteString(line + "\n")
}
