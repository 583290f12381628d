// Package tally turns the marks on a session's sheet into a log: every trial names the step and the level that the sheet
// gave it, so that it stays where it belongs whatever is recorded before it.
package tally

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/history"
	"example.com/rung/engine/plan"
)

// Options say what was otherwise than planned; zero values mean as planned.
type Options struct {
	At      time.Time // when it began
	Place   string
	Handler string
	// Measures are the curriculum's, for units and recorded numbers.
	Measures []curriculum.Measure
}

// Error is marks that cannot be read, with what to write instead.
type Error struct {
	Text string
	Next string
}

// Error is what is wrong and what to do.
func (e *Error) Error() string { return e.Text + "; " + e.Next }

// Entries reads marks for the items of a plan. Items are set apart by semicolons or line ends. An item is named by its
// number on the sheet or by its behaviour, with a colon ("2: + + -", "settle: +"); one without a name is the item after
// the one before it, the first to begin with. A behaviour that comes up in several parts means the first part without
// marks. The marks, and what may stand in brackets behind them, are those of the tally book; events of a session, such as
// "sign limp by Dov", may stand between items.
//
// Of a success it is noted whether the sheet had it rewarded, unless the marks say so themselves, and of every trial the
// value it was asked for, where the sheet has them vary. The reports are on
// marks that could not be read; then there are no entries.
func Entries(p *plan.Plan, marks string, o Options) ([]curriculum.Entry, []engine.Report, error) {
	if p == nil {
		return nil, nil, &Error{"there is no plan that the marks belong to", "make the plan first, or read the one that was printed"}
	}
	lines, err := assign(p, marks)
	if err != nil {
		return nil, nil, err
	}
	page := heading(p, &o)
	for _, l := range lines {
		page += "\n" + l.text(p)
	}
	h, err := history.OpenReader(strings.NewReader(page+"\n"), "marks", history.Options{Format: history.Tally, Measures: o.Measures, Location: o.At.Location()})
	if err != nil {
		return nil, nil, err
	}
	defer h.Close()
	entries, err := h.ReadAll()
	if err != nil {
		return nil, nil, err
	}
	if r := h.Reports(); len(r) > 0 {
		for i := range r {
			if r[i].Line >= 2 && r[i].Line-2 < len(lines) {
				r[i].Text = fmt.Sprintf("%s: %s", strings.TrimSpace(lines[r[i].Line-2].said), r[i].Text)
			}
			r[i].Line, r[i].Column = 0, 0
		}
		return nil, r, nil
	}
	pay(p, lines, entries)
	ask(p, lines, entries)
	return entries, nil, nil
}

// Surplus says of which behaviours more was written down than the sheet has, spoiled trials apart: that happens, and so
// do slips of the pen.
func Surplus(p *plan.Plan, entries []curriculum.Entry) (said []string) {
	if p == nil {
		return nil
	}
	var names []string
	boxes, marks := map[string]int{}, map[string]int{}
	for i := range p.Items {
		if name := p.Items[i].Behaviour; !slices.Contains(names, name) {
			names = append(names, name)
		}
		boxes[p.Items[i].Behaviour] += p.Items[i].Trials
	}
	for i := range entries {
		if e := &entries[i]; !e.IsEvent && e.Trial.Outcome != curriculum.Void {
			marks[entries[i].Trial.Behaviour]++
		}
	}
	for _, name := range names {
		if marks[name] > boxes[name] {
			times := fmt.Sprintf("%d times", boxes[name])
			if boxes[name] == 1 {
				times = "once"
			}
			said = append(said, fmt.Sprintf("%s has %d marks, and the sheet has it %s", name, marks[name], times))
		}
	}
	return said
}

// Unmeasured says of which behaviours a measure is missing that the sheet asks to be written down: without it a success
// says nothing about who is among the better part.
func Unmeasured(p *plan.Plan, entries []curriculum.Entry) (said []string) {
	if p == nil {
		return nil
	}
	for i := range p.Items {
		it := &p.Items[i]
		if it.Measure == "" || it.Part > 1 {
			continue
		}
		n := 0
		for j := range entries {
			t := &entries[j].Trial
			if _, there := t.Measure(it.Measure); !entries[j].IsEvent && t.Behaviour == it.Behaviour && t.Outcome == curriculum.Success && len(t.Help) == 0 && !there {
				n++
			}
		}
		if n > 0 {
			successes := fmt.Sprintf("%d successes have", n)
			if n == 1 {
				successes = "one success has"
			}
			said = append(said, fmt.Sprintf("%s is paid by its %s, and %s none written down", it.Behaviour, it.Measure, successes))
		}
	}
	return said
}

// line is one part of the marks: of item at, or an event where at is -1.
type line struct {
	at   int
	said string // as written
	rest string // behind the name
}

func assign(p *plan.Plan, marks string) ([]line, error) {
	if len(p.Items) == 0 {
		return nil, &Error{"the sheet has no items", "write what was done into a tally book"}
	}
	var out []line
	used := make([]bool, len(p.Items))
	next := 0
	for _, part := range split(marks) {
		name, rest, named := cut(part)
		at := next
		switch {
		case named:
			if err := headingAmong(p, part); err != nil {
				return nil, err
			}
			var err error
			if at, err = itemOf(p, name, used); err != nil {
				return nil, err
			}
		case event(part):
			out = append(out, line{-1, part, part})
			continue
		default:
			if err := colonMissing(p, part); err != nil {
				return nil, err
			}
			rest = part
		}
		if at >= len(p.Items) {
			return nil, &Error{fmt.Sprintf("%q is one item too many: the sheet has %d", strings.TrimSpace(part), len(p.Items)), "name the item, as in 2: + + -"}
		}
		if strings.TrimSpace(rest) == "" {
			return nil, &Error{fmt.Sprintf("item %d has no marks", at+1), "leave it away where nothing was done"}
		}
		used[at], next = true, at+1
		out = append(out, line{at, part, rest})
	}
	if len(out) == 0 {
		return nil, &Error{"there are no marks", "write for instance 1: + + - +; 2: + 0"}
	}
	return out, nil
}

// headingAmong tells a page's heading of a tally book among the marks.
func headingAmong(p *plan.Plan, part string) error {
	words := strings.Fields(part)
	if len(words) < 2 {
		return nil
	}
	if _, err := time.Parse(time.DateOnly, words[1]); err != nil {
		return nil
	}
	if dog := strings.Trim(words[0], `"`); dog != p.Dog {
		return &Error{fmt.Sprintf("the marks are %s's and the sheet is %s's", dog, p.Dog), "take the sheet that was made for " + dog}
	}
	return &Error{"a heading stands among the marks", "leave it away: the sheet knows the dog, the time and the place"}
}

// colonMissing tells an item's name or number that goes before its marks without a colon.
func colonMissing(p *plan.Plan, part string) error {
	word, marks, _ := strings.Cut(strings.TrimSpace(part), " ")
	n, err := strconv.Atoi(word)
	number := err == nil && n >= 1 && n <= len(p.Items) // 0 is a mark
	if number || slices.ContainsFunc(p.Items, func(it plan.Item) bool { return it.Behaviour == strings.Trim(word, `"`) }) {
		return &Error{fmt.Sprintf("a colon is missing behind %s", word), fmt.Sprintf("write %s: %s", word, strings.TrimSpace(marks))}
	}
	return nil
}

// split cuts marks into parts at semicolons and line ends outside quotation marks.
func split(marks string) (parts []string) {
	quoted, from := false, 0
	add := func(to int) {
		if strings.TrimSpace(marks[from:to]) != "" {
			parts = append(parts, marks[from:to])
		}
		from = to + 1
	}
	for i := 0; i < len(marks); i++ {
		switch marks[i] {
		case '"':
			quoted = !quoted
		case ';':
			if !quoted {
				add(i)
			}
		case '\n':
			quoted = false
			add(i)
		}
	}
	if from < len(marks) {
		add(len(marks))
	}
	return parts
}

// cut takes the item's name off a part: what stands before the first colon outside quotation marks and brackets.
func cut(part string) (name, rest string, ok bool) {
	quoted, depth := false, 0
	for i, r := range part {
		switch {
		case r == '"':
			quoted = !quoted
		case quoted:
		case r == '(':
			depth++
		case r == ')':
			depth--
		case r == ':' && depth == 0:
			return strings.TrimSpace(part[:i]), part[i+1:], true
		}
	}
	return "", "", false
}

// event tells the lines of a tally book that are no marks.
func event(part string) bool {
	word, _, _ := strings.Cut(strings.TrimSpace(part), " ")
	return slices.Contains([]string{"sign", "clear", "move", "note"}, word)
}

func itemOf(p *plan.Plan, name string, used []bool) (int, error) {
	if n, err := strconv.Atoi(name); err == nil {
		if n < 1 || n > len(p.Items) {
			return 0, &Error{fmt.Sprintf("the sheet has no item %d", n), fmt.Sprintf("its items are 1 to %d", len(p.Items))}
		}
		if used[n-1] {
			return 0, &Error{fmt.Sprintf("item %d has marks twice", n), "write all its marks in one place"}
		}
		return n - 1, nil
	}
	name, there := strings.Trim(name, `"`), false
	var names []string
	for i := range p.Items {
		b := p.Items[i].Behaviour
		if !slices.Contains(names, b) {
			names = append(names, b)
		}
		if b != name {
			continue
		}
		if there = true; !used[i] {
			return i, nil
		}
	}
	if there {
		return 0, &Error{fmt.Sprintf("every part of %s has its marks already", name), "write all marks of a part in one place"}
	}
	next := "the sheet has " + strings.Join(names, ", ")
	if near := curriculum.Nearest(name, names); near != "" {
		next = "did you mean " + near + "?"
	}
	return 0, &Error{fmt.Sprintf("nothing on the sheet is called %s", name), next}
}

// heading is the tally book's first line of the session.
func heading(p *plan.Plan, o *Options) string {
	if o.At.IsZero() {
		o.At = p.At
	}
	h := quote(p.Dog) + " " + o.At.Format("2006-01-02 15:04:05-07:00")
	place, handler := o.Place, o.Handler
	if place == "" {
		place = p.Place
	}
	if handler == "" {
		handler = p.Handler
	}
	if place != "" {
		h += " " + quote(place)
	}
	if handler != "" {
		h += " by " + quote(handler)
	}
	return h
}

func quote(s string) string { return strconv.Quote(s) }

func (l *line) text(p *plan.Plan) string {
	if l.at < 0 {
		return l.rest
	}
	it := &p.Items[l.at]
	at := quote(it.Behaviour) + " at " + quote(it.Step)
	if it.LevelText != "" {
		at += " " + it.LevelText
	}
	return at + ": " + l.rest
}

// itemsByLine is the item of each line of the page; -1 where it is of an event.
func itemsByLine(lines []line) map[int]int {
	out := map[int]int{}
	for i, l := range lines {
		out[i+2] = l.at
	}
	return out
}

// ask notes of every trial the values that the sheet asked it for, where they vary inside the level.
func ask(p *plan.Plan, lines []line, entries []curriculum.Entry) {
	tries := make([]int, len(p.Items))
	byLine := itemsByLine(lines)
	for i := range entries {
		t := &entries[i].Trial
		at, of := byLine[t.Line]
		if entries[i].IsEvent || !of || at < 0 {
			continue
		}
		n := tries[at]
		tries[at]++
		for _, a := range p.Items[at].Asked {
			j := slices.IndexFunc(t.Level, func(v curriculum.NamedValue) bool { return v.Of == a.Of })
			if j < 0 || n >= len(a.Values) {
				continue
			}
			if v, ok := curriculum.ParseLevelValue(a.Of, a.Values[n]); ok {
				t.Level[j].LevelValue = v
			}
		}
	}
}

// pay notes of every success whether the sheet had it rewarded.
func pay(p *plan.Plan, lines []line, entries []curriculum.Entry) {
	successes := make([]int, len(p.Items))
	byLine := itemsByLine(lines)
	for i := range entries {
		t := &entries[i].Trial
		at, of := byLine[t.Line]
		if entries[i].IsEvent || !of || at < 0 || t.Outcome != curriculum.Success || len(t.Help) > 0 {
			continue
		}
		n := successes[at]
		successes[at]++
		if t.Rewarded == curriculum.NotSaid {
			t.Rewarded = rewarded(&p.Items[at], n, t)
		}
	}
}

// rewarded is whether the sheet had the n-th success of an item rewarded. Under a bar its measure decides, if it was
// written down; what a watch decided nobody can tell afterwards.
func rewarded(it *plan.Item, n int, t *curriculum.Trial) curriculum.YesNo {
	yes := false
	switch {
	case it.PayBar != nil:
		v, ok := t.Measure(it.PayBar.Measure)
		if !ok {
			return curriculum.NotSaid
		}
		yes = it.PayBar.Pays(v)
	case len(it.PayAfter) > 0 || n >= len(it.Rewarded):
		return curriculum.NotSaid
	default:
		yes = it.Rewarded[n]
	}
	if yes {
		return curriculum.Yes
	}
	return curriculum.No
}
