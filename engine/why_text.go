package engine

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// marksOf writes a run in tally marks; a bar begins a new session, two bars one on another day.
func marksOf(run []NextTrial) string {
	var out []string
	for _, t := range run {
		switch {
		case t.NextDay:
			out = append(out, "||")
		case t.NewSession:
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
		if leads == flagsInstead {
			return "a senior trainer is asked to look: there is no room to split"
		}
		return "the step is split: " + leads
	case curriculum.Lapse:
		return "it lapses to " + strings.TrimPrefix(leads, "back to ")
	case curriculum.Skip:
		return "it leaps to " + strings.TrimPrefix(leads, "leap to ")
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
func sentence(run []NextTrial, proved bool, r *rule, leads string) string {
	n := len(run)
	if n == 0 {
		return "no more trials: when the session is over, " + then(r.word, leads)
	}
	same := sameMarks(run)
	text := ""
	first := run[0]
	what := markWords[first.Mark]
	switch {
	case same && n == 1:
		text = what.one.trainer
	case same:
		text = fmt.Sprintf(what.more.trainer, numberWord(n))
	case n > 30:
		text = fmt.Sprintf("after %d trials (%s ...)", n, marksOf(run[:8]))
	default:
		text = "after " + marksOf(run)
	}
	if same && first.With != "" {
		text += " with " + first.With
	}
	if first.Step != "" {
		text += " run at " + strings.TrimSpace(first.Step+" "+r.stage.levelText(first.Level))
	}
	over := ""
	if r.closing {
		over = ", when the session is over,"
	}
	if same {
		text += " and"
	}
	text += over + " " + then(r.word, leads)
	if bars := barWords(run); bars != "" {
		text += " (" + bars + ")"
	}
	if !proved {
		text += " (there may be a shorter way)"
	}
	return text
}

// barWords says what the bars of a run mean.
func barWords(run []NextTrial) string {
	session, day := "", ""
	for i := range run {
		switch {
		case run[i].NextDay:
			day = "|| is another day"
		case run[i].NewSession:
			session = "| is another session"
		}
	}
	if session != "" && day != "" {
		return session + ", " + day
	}
	return session + day
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

// blockSentence is how far the block is that is going on, or how the one went that has just ended, filled trials having
// come since the level was entered; of two blocks in a row also how the one before went.
func (c *CountWhy) blockSentence(n *node, st *state, filled int) string {
	looked, which := c.Among, "so far in this block"
	if looked == 0 && filled > 0 {
		looked, which = n.n, "in the block that has just ended"
	}
	in := func(size, skip int) int {
		if size == 0 {
			return 0
		}
		k := n.track.newest(st, size, skip)
		if c.AtMost {
			return size - k
		}
		return k
	}
	text := fmt.Sprintf("%s: %d of %d %s, %d of %d needed", c.Text, in(looked, 0), looked, which, c.Need, c.Of)
	if c.AtMost {
		text = fmt.Sprintf("%s: %d among %d %s, at most %d may be there among %d", c.Text, in(looked, 0), looked, which, c.Need, c.Of)
	}
	switch {
	case !n.twice:
	case filled < looked+n.n:
		text += "; no block before it"
	default:
		text += fmt.Sprintf("; %d of %d in the one before", in(n.n, looked), n.n)
	}
	if c.Holds {
		text += ": holds"
	}
	return text
}

// Text is the explanation for a trainer, wrapped at 80 columns.
func (w *Why) Text() string { return w.Words(ForTrainer) }

// sayer writes a phrase, indented; nothing where the voice has no words for it.
type sayer func(indent int, p phrase, args ...any)

// Words is the explanation in a voice, wrapped at 80 columns.
func (w *Why) Words(v Voice) string {
	if w == nil {
		return ""
	}
	var b strings.Builder
	var say sayer = func(indent int, p phrase, args ...any) {
		if text := p.with(v, args...); text != "" {
			wrap(&b, text, indent)
		}
	}
	w.sayWhere(&b, v, say)
	w.sayShut(say)
	if v == ForOwner {
		w.ownerRules(say)
		return b.String()
	}
	for i := range w.Rules {
		b.WriteByte('\n')
		w.Rules[i].say(&b, say)
	}
	return b.String()
}

// sayWhere says where the dog stands, since when, and how it got there.
func (w *Why) sayWhere(b *strings.Builder, v Voice, say sayer) {
	state := stateWords[string(w.State)].owner
	if len(w.Locked) > 0 {
		state = "no training for now"
	}
	say(0, sayHead, w.Dog, w.Behaviour, w.State, w.PlaceText, w.title(), state)
	if w.State != curriculum.Kept && len(w.Locked) == 0 {
		say(2, sayNow, w.PlaceSaid)
	}
	if w.Since != nil {
		say(2, saySince, w.Since.Format("2006-01-02 15:04"), count(w.Trials, "trial"), count(w.Sessions, "session"), w.Since.Format("2 January"), tries(w.Trials))
	}
	if w.Spoiled > 0 {
		say(2, saySpoiled, w.Spoiled, w.Looked)
	}
	if m := w.LastMove; m != nil {
		wrap(b, m.words(v, w.MovedText, w.MovedTo), 2)
	}
	for _, p := range []struct {
		said phrase
		list []PieceCount
	}{{sayFailed, w.Failed}, {sayBroke, w.Before}} {
		if len(p.list) > 0 {
			say(2, p.said, pieceWords(p.list, ForTrainer), pieceWords(p.list, ForOwner))
		}
	}
}

// sayShut says what stands in the way, whatever the rules.
func (w *Why) sayShut(say sayer) {
	for _, l := range w.Locked {
		say(2, sayLocked, l.SignText(), l.At.Format("2006-01-02"), l.At.Format("2 January"))
	}
	if w.Stopped {
		say(2, sayStopped)
	}
	for _, m := range w.Missing {
		say(2, sayNeeds, m, ownerDoor(m, w.Dog))
	}
	if w.Away != "" {
		say(2, sayAway, w.Away)
	}
	for i := range w.Pairs {
		p := &w.Pairs[i]
		say(2, sayPair, p.words())
		if p.Waits {
			say(4, sayBehind, p.With)
		}
	}
	switch {
	case w.State == curriculum.Kept:
		say(2, sayFinished)
		if due, err := time.Parse(time.DateOnly, w.ReviewDue); err == nil {
			say(2, sayReview, w.ReviewDue, w.ReviewGap, w.reviewed(), due.Format("2 January"))
		}
	case len(w.Missing) > 0:
		say(2, sayShut)
	}
}

// say is a rule, how far it is from holding, and the shortest way there.
func (r *RuleWhy) say(b *strings.Builder, say sayer) {
	where := ""
	if r.Line > 0 {
		where = fmt.Sprintf("   (%s, line %d)", r.File, r.Line)
	}
	say(2, sayRule, ruleWords[r.Rule].in(ForTrainer), r.Criterion, where)
	for i := range r.Counts {
		r.Counts[i].say(b)
	}
	switch {
	case r.Holds:
		say(4, sayHolds, r.Leads)
	case r.Next != nil:
		say(4, sayNext, r.Next.Sentence)
	}
}

// reviewed says how the reviews so far went.
func (w *Why) reviewed() string {
	n := len(w.Reviews)
	if n == 0 {
		return "none was made"
	}
	passed := 0
	for _, r := range w.Reviews {
		if r.Passed {
			passed++
		}
	}
	return fmt.Sprintf("%d of %s passed, the newest on %s", passed, count(n, "review"), w.Reviews[n-1].At.Format(time.DateOnly))
}

func (c *CountWhy) say(b *strings.Builder) {
	say := func(indent int, format string, args ...any) { wrap(b, fmt.Sprintf(format, args...), indent) }
	say(4, "%s", c.Sentence)
	if n := len(c.Counts); n > 0 {
		earlier := max(0, n-mostListed)
		say(6, "counts: %s%s", earlierText(earlier), trialsText(c.Counts[earlier:]))
	}
	if n := len(c.DoNot); n > 0 {
		earlier := max(0, n-mostListed)
		say(6, "does not: %s%s", earlierText(earlier), notCountText(c.DoNot[earlier:]))
	}
}

// mostListed is how many trials a list names, the newest.
const mostListed = 12

func earlierText(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n) + " earlier, "
}

// words is a move as the last one, in a voice; to and owner say where it led.
func (m *Move) words(v Voice, to, owner string) string {
	if v == ForOwner {
		day := "an earlier day"
		if m.At != nil {
			day = m.At.Format("2 January")
		}
		return fmt.Sprintf(moveWords[m.Rule].owner, day, owner)
	}
	text := fmt.Sprintf("last move: %s to %s", moveWords[m.Rule].trainer, to)
	if m.Trial != "" {
		text += " at trial " + TrialText(m.Trial)
	}
	if m.By != "" {
		text += " by " + m.By
	}
	return text + ", because " + m.Because
}

// placeText is a step and level in the language's own spelling.
func (b *behaviour) placeText(p Place) string {
	i, ok := b.steps[p.Step]
	switch {
	case p.Kept:
		return keptWord
	case !ok || len(p.Level) == 0:
		return p.Step
	}
	return p.Step + " " + b.stages[i].levelText(p.Level)
}

// levelText is a level given as texts, the ramps in the order of the text.
func (sg *stage) levelText(level map[string]string) string {
	var parts []string
	for _, of := range sg.inOrder(level) {
		parts = append(parts, of+" "+level[of])
	}
	return strings.Join(parts, ", ")
}

// inOrder is the names of a level in the order of the text; what a split has put in comes first.
func (sg *stage) inOrder(level map[string]string) []string {
	written := map[string]int{}
	for i, v := range sg.levels[0].values.Values {
		written[v.Of] = i + 1
	}
	names := sortedKeys(level)
	slices.SortStableFunc(names, func(a, b string) int { return written[a] - written[b] })
	return names
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
