package main

import (
	"errors"
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// standingCall says where each dog stands.
type standingCall struct {
	File  string `arg:"" help:"the curriculum"`
	Dog   string `placeholder:"NAME" help:"only this dog"`
	Moves int    `default:"-1" placeholder:"N" help:"list only the newest N moves of a behaviour, in text for people (default: all)"`
	By    string `placeholder:"WHAT" help:"evidence kept apart by handler or by place, in place of the moves"`
	Since string `placeholder:"STANDING.json" help:"what changed since a standing kept with --format json, such as when a sheet comes late"`
	historyFlags
	standingFormat
}

// standingFormat is how the answer is printed.
type standingFormat struct {
	Format string `default:"text" placeholder:"FORMAT" help:"text for people (the default), json for programs, or ics: the reviews that are due, for a calendar"`
}

func (f standingFormat) json() bool { return f.Format == "json" }

// Validate is called by kong once the flags are read.
func (f standingFormat) Validate() error { return oneFormat(f.Format, "text", "json", "ics") }

// standingAnswer is the JSON form: the standing, and beside it what was asked for.
type standingAnswer struct {
	*engine.Standing
	Changes *engine.Changes `json:"changes,omitempty"`
	Apart   *engine.Apart   `json:"apart,omitempty"`
}

// Validate is called by kong once the flags are read.
func (c *standingCall) Validate() error {
	if c.By != "" && c.By != string(engine.ByHandler) && c.By != string(engine.ByPlace) {
		return usagef("Write --by handler or --by place.", "evidence is not kept apart by %q", c.By)
	}
	if c.By != "" && c.Since != "" && !c.json() {
		return usagef("Ask for one of them, or take --format json.", "--by and --since are two answers")
	}
	if c.Format == "ics" && (c.By != "" || c.Since != "") {
		return usagef("Ask for it without --by and --since.", "a calendar holds the reviews that are due, and no more")
	}
	return errors.Join(c.historyFlags.Validate(), c.standingFormat.Validate())
}

func (c *standingCall) Run(w *world) error {
	var then *engine.Standing
	if c.Since != "" {
		if err := onceOnly(append([]string{c.File, c.Dogs, c.Since}, c.Log...)...); err != nil {
			return err
		}
		var err error
		if then, err = readSince(w, c.Since); err != nil {
			return err
		}
	}
	t, err := c.read(w, c.File, c.Dog, true)
	if err != nil {
		return err
	}
	answer := standingAnswer{Standing: t.fold.Standing(t.now())}
	st := answer.Standing
	if c.Dog != "" {
		i := slices.IndexFunc(st.Dogs, func(d engine.DogStanding) bool { return d.Dog == c.Dog })
		if i < 0 {
			return noSuchDog(c.Dog, st.Dogs)
		}
		st.Dogs = st.Dogs[i : i+1]
	}
	st.Reports = t.reports()
	if c.Format == "ics" {
		return c.calendar(w, t)
	}
	if then != nil {
		if c.Dog != "" {
			then.Dogs = onlyDog(then.Dogs, c.Dog)
		}
		if answer.Changes, err = t.program.Since(then, st); err != nil {
			return usagef("Work the earlier one out anew with this curriculum: rung standing FILE --log LOG --at TIME --format json", "%s", err)
		}
	}
	if c.By != "" {
		answer.Apart = t.fold.Apart(engine.ApartBy(c.By))
		if c.Dog != "" {
			answer.Apart.Dogs = slices.DeleteFunc(answer.Apart.Dogs, func(d engine.DogApart) bool { return d.Dog != c.Dog })
		}
	}
	switch {
	case c.json():
		if err := w.stdout.json(answer); err != nil {
			return err
		}
	case then != nil:
		printChanges(w.stdout, answer.Changes, t.curriculum)
	default:
		printStanding(w.stdout, &answer, t.curriculum, c.Moves)
	}
	return t.finish(w)
}

// calendar writes the reviews that are due.
func (c *standingCall) calendar(w *world, t *told) error {
	if t.now().IsZero() {
		return usagef("Give a time with --at.", "the logs are empty, so nothing says what time it is")
	}
	var only []string
	if c.Dog != "" {
		only = []string{c.Dog}
	}
	if err := t.fold.Calendar(t.now(), only...).Write(w.stdout); err != nil {
		return err
	}
	return t.finish(w)
}

// noSuchDog is the error for a dog that neither a log nor a profile names.
func noSuchDog(name string, dogs []engine.DogStanding) error {
	var names []string
	for _, d := range dogs {
		names = append(names, d.Dog)
	}
	if len(names) == 0 {
		return usagef("Its profile can be given with --dogs.", "no dog is known: the logs are empty and no profile was given")
	}
	return usagef(perhaps(name, names), "no log and no profile names a dog %q", name)
}

func printStanding(o *output, st *standingAnswer, c *curriculum.Curriculum, moves int) {
	title := "Standing"
	if !st.At.IsZero() {
		title += " at " + dated(st.At)
	}
	if c.Name != "" {
		title += ", " + c.Name
	}
	if c.Edition != "" {
		title += ", edition " + c.Edition
	}
	if st.Apart != nil {
		title += ", by " + string(st.Apart.By)
	}
	o.printf("%s", wrapped(o.paint(bold, title), "", ""))
	if len(st.Dogs) == 0 {
		o.line("\nNo dogs: the logs are empty and no profile was given.")
	}
	for _, d := range st.Dogs {
		o.line("\n" + o.paint(bold, d.Dog))
		for _, l := range d.Locked {
			o.printf("%s", wrapped(o.paint(red, "LOCKED")+": "+lockText(l), "  ", "    "))
		}
		for _, s := range d.Strange {
			o.printf("%s", wrapped(o.paint(red, "SEEN")+": "+strangeText(s), "  ", "    "))
		}
		if st.Apart != nil {
			printApart(o, d, c, st.Apart)
			continue
		}
		printPlaces(o, d, c)
		printMoves(o, d, c, moves)
	}
}

// strangeText says what was seen that no sign of the curriculum covers.
func strangeText(s engine.StrangeSign) string {
	out := s.SignText() + " on " + s.At.Format(stamp)
	if s.By != "" {
		out += ", noted by " + s.By
	}
	if s.Note != "" {
		out += " (" + s.Note + ")"
	}
	return out + "; the curriculum has no such sign, so nothing is locked: somebody should look at the dog, and clear it by name"
}

// lockText says what a lock is about and what lifts it.
func lockText(l engine.Lock) string {
	s := l.SignText() + " seen " + l.At.Format(stamp)
	if l.By != "" {
		s += " by " + l.By
	}
	if l.Note != "" {
		s += " (" + l.Note + ")"
	}
	what := "Nothing is planned"
	if len(l.Behaviours) > 0 {
		what = "No plan for " + strings.Join(l.Behaviours, ", ")
	}
	return s + ". " + what + " until a named person clears it."
}

// printPlaces is the table of a dog's behaviours.
func printPlaces(o *output, d engine.DogStanding, c *curriculum.Curriculum) {
	name, state := 0, 0
	for _, b := range d.Behaviours {
		name = max(name, columns(b.Behaviour))
		state = max(state, columns(string(b.State)))
	}
	for _, b := range d.Behaviours {
		lead := "  " + pad(b.Behaviour, name) + "  " + pad(string(b.State), state) + "  "
		rest := strings.Repeat(" ", columns(lead))
		o.printf("%s", wrapped(placeText(d, b, c), lead, rest))
	}
}

// placeText is what the table says of one behaviour behind its name and state.
func placeText(d engine.DogStanding, b engine.BehaviourStanding, c *curriculum.Curriculum) string {
	where := atPlace(c, b.Behaviour, b.Step, b.Level)
	switch b.State {
	case curriculum.Waiting, curriculum.Paused:
		if len(b.Missing) > 0 {
			return "needs " + strings.Join(b.Missing, " and ")
		}
		return where
	case curriculum.Open:
		return where + ", not begun"
	case curriculum.Kept:
		if b.ReviewDue != "" {
			return "finished, review due " + b.ReviewDue
		}
		return "finished"
	}
	if b.Trials == 0 {
		return where + ", no evidence here yet"
	}
	return fmt.Sprintf("%s, %s in %s here", where, count(b.Trials, "trial"), count(b.Sessions, "session"))
}

// hanging is the indent behind a move's date.
const hanging = "                "

// printMoves lists the newest moves and notes of each behaviour, oldest first.
func printMoves(o *output, d engine.DogStanding, c *curriculum.Curriculum, most int) {
	for _, b := range d.Behaviours {
		moves, left := b.Moves, 0
		if most >= 0 && len(moves) > most {
			left = len(moves) - most
			moves = moves[left:]
		}
		if len(moves) == 0 && len(b.Noted) == 0 || most == 0 {
			continue
		}
		o.line("\n  " + b.Behaviour)
		if left > 0 {
			o.line("    " + o.paint(faint, fmt.Sprintf("(%s before)", count(left, "move"))))
		}
		for _, m := range moves {
			date := ""
			if m.At != nil {
				date = m.At.Format(time.DateOnly)
			}
			o.printf("%s", wrapped(moveText(m, c, b.Behaviour), "    "+pad(date, len(time.DateOnly))+"  ", hanging))
		}
		notes := b.Noted
		if most >= 0 && len(notes) > most {
			notes = notes[len(notes)-most:]
		}
		for _, n := range notes {
			o.printf("%s", wrapped(noteText(n), pad("    noted", len(hanging)), hanging))
		}
	}
}

func noteText(n engine.Noted) string {
	return fmt.Sprintf("%s: %s%s, at trial %s", noteWord(n.Rule), n.Because, byLine(n.File, n.Line), engine.TrialText(n.Trial))
}

// noteWord is what a noted rule asks for.
func noteWord(rule string) string {
	switch rule {
	case string(curriculum.StopToday):
		return "enough for today"
	case string(curriculum.Flag):
		return "a senior trainer should look"
	}
	return rule
}

// moveText is one move as a sentence: what, from where to where, why.
func moveText(m engine.Move, c *curriculum.Curriculum, behaviour string) string {
	var b strings.Builder
	b.WriteString(m.Rule)
	if m.Rule == handMove {
		b.WriteString(" move")
	}
	if m.By != "" {
		b.WriteString(" by " + m.By)
	}
	from := atPlace(c, behaviour, m.From.Step, m.From.Level)
	to := "kept"
	if !m.To.Kept {
		to = atPlace(c, behaviour, m.To.Step, m.To.Level)
	}
	if from == to {
		fmt.Fprintf(&b, " at %s, which begins anew", to)
	} else {
		fmt.Fprintf(&b, " from %s to %s", from, to)
	}
	if m.Because != "" {
		b.WriteString(": " + m.Because)
	}
	b.WriteString(byLine(m.File, m.Line))
	return b.String()
}

// handMove is the rule word of a move that a trainer made.
const handMove = "hand"

// byLine names the line of a rule.
func byLine(file string, line int) string {
	if line == 0 {
		return ""
	}
	if file == "" {
		return fmt.Sprintf(" (line %d)", line)
	}
	return fmt.Sprintf(" (%s:%d)", file, line)
}

// atPlace is a step and level in the language's own spelling, the ramps in the order of the text.
func atPlace(c *curriculum.Curriculum, behaviour, step string, level map[string]string) string {
	var names []string
	for of := range level {
		names = append(names, of)
	}
	order := rampOrder(c, behaviour, step)
	rank := func(of string) int {
		if i := slices.Index(order, of); i >= 0 {
			return i
		}
		return -1
	}
	sort.Slice(names, func(i, j int) bool {
		if a, b := rank(names[i]), rank(names[j]); a != b {
			return a < b
		}
		return names[i] < names[j]
	})
	parts := make([]string, len(names))
	for i, of := range names {
		parts[i] = of + " " + level[of]
	}
	if len(parts) == 0 {
		return step
	}
	return step + " " + strings.Join(parts, ", ")
}

// rampOrder is the ramps' names of a step in the order of the text.
func rampOrder(c *curriculum.Curriculum, behaviour, step string) []string {
	b := c.Behaviour(behaviour)
	if b == nil {
		return nil
	}
	i := b.Step(step)
	if i < 0 {
		return nil
	}
	var names []string
	for _, r := range b.Steps[i].Ramps {
		names = append(names, r.Of)
	}
	return names
}
