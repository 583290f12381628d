package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/rung/engine"
)

// sheet is a plan as a page for people, in one voice. Text, Markdown and HTML are three forms of it.
type sheet struct {
	title    string
	head     []string // when, where, how long, by which curriculum
	referral []string // in place of all that follows
	cautions []string
	food     string
	kit      string
	items    []sheetItem
	empty    string // what is said where there is nothing to do
	end      string
	note     []string
	next     string
	notes    []string
	leftOut  []string
}

type sheetItem struct {
	number int
	title  string
	plan   *Item
	rows   []row
}

// row is one labelled line of an item. Its part tells a form that sets the lines apart where it belongs.
type row struct {
	label, text string
	part        rowPart
}

type rowPart uint8

const (
	how     rowPart = iota // what to do
	where                  // step and level
	cue                    // what to say or show
	right                  // what counts as a success
	tally                  // boxes
	card                   // what to do on which tally
	because                // why it is in
)

// sheet is the plan as a page in somebody's words.
func (p *Plan) sheet(v engine.Voice) *sheet {
	s := &sheet{title: wordsTitle.in(v) + p.Dog, head: p.head(v), referral: p.Referral}
	if len(p.Referral) > 0 {
		return s
	}
	s.cautions = inVoice(p.Cautions, v)
	s.food, s.kit = p.pot(v), list(p.Kit)
	for i := range p.Items {
		it := &p.Items[i]
		s.items = append(s.items, sheetItem{i + 1, it.title(), it, it.rows(v, p.first(it))})
	}
	if len(p.Items) == 0 {
		s.empty = wordsEmpty.in(v)
	} else {
		s.end, s.note = wordsEnd, notes(v)
	}
	s.next = p.Next.words(v)
	if v == engine.ForOwner {
		return s
	}
	s.notes = p.Notes
	for _, l := range p.LeftOut {
		s.leftOut = append(s.leftOut, l.Behaviour+": "+l.Reason)
	}
	return s
}

// notes is the lines to be filled in.
func notes(v engine.Voice) []string {
	mood := " " + strings.Join(moods, " / ")
	return []string{
		wordsFive.in(v) + " ____________________  " + wordsLeft + ": ____",
		wordsBeforeIt + ":" + mood + "    " + wordsAfterIt + ":" + mood,
		wordsRing.in(v) + ": ______________  " + wordsVet + ": ______________",
	}
}

// words is a NextTime as a sentence.
func (n *NextTime) words(v engine.Voice) string {
	if n == nil {
		return ""
	}
	var out []string
	if len(n.Likely) > 0 {
		out = append(out, wordsLikely.in(v)+list(n.Likely))
	}
	if on, err := time.Parse(time.DateOnly, n.ReviewOn); err == nil {
		out = append(out, fmt.Sprintf(wordsDue.in(v), list(n.Reviews), day(on)))
	}
	if len(out) == 0 {
		return ""
	}
	return sentence(strings.Join(out, "; ")) + "."
}

// rows is an item in the order in which it is needed in the field; empty ones are left out. A later part says only what
// differs from the first, which is item number first.
func (it *Item) rows(v engine.Voice, first int) []row {
	told := *it
	if it.Part > 1 {
		told.Pay = "" // where to pay is as before
	}
	all := told.trainerRows()
	if v == engine.ForOwner {
		all = told.ownerRows()
	}
	if it.Part > 1 {
		all = again(all, row{labelAgain.in(v), fmt.Sprintf(wordsBefore.in(v), first), how}, it.Slot != "")
	}
	out := []row{}
	if it.RestBefore > 0 {
		out = append(out, row{labelRest.in(v), minutes(it.RestBefore/60) + ": water, and time to sniff", how})
	}
	for _, r := range all {
		if r.text != "" {
			out = append(out, r)
		}
	}
	return out
}

// again is what a later part of an item says of its own.
func again(all []row, before row, slot bool) []row {
	out := []row{before}
	own := []string{labelPay.trainer, labelPay.owner, labelAsk.trainer, labelAsk.owner}
	for _, r := range all {
		if r.part == tally || slices.Contains(own, r.label) || r.part == because && slot {
			out = append(out, r)
		}
	}
	return out
}

func (it *Item) trainerRows() []row {
	step := it.Step
	if it.StepTitle != "" {
		step += ": " + it.StepTitle
	}
	boxes := fmt.Sprintf("%d   %s", it.Trials, strings.TrimSpace(strings.Repeat("[ ] ", it.Trials)))
	all := []row{
		{labelStep.trainer, step, where},
		{"Level", levelWords(it.Level, it.LevelText), where},
		{labelTrials.trainer, boxes, tally},
		{labelAsk.trainer, it.askWords(), how},
		{labelSetUp.trainer, it.SetUp, how},
		{labelSide.trainer, it.Side, how},
		{labelKit.trainer, list(it.Equipment), how},
		{labelCue.trainer, it.cueWords(), cue},
		{labelDo.trainer, it.Do, how},
		{labelCounts.trainer, it.Success, right},
		{labelHelp.trainer, it.helpWords(), how},
		{labelMark.trainer, it.markWords(), how},
		{labelPay.trainer, it.payWords(), how},
		{labelAdvance.trainer, it.Card.moveOn(), card},
		{labelEase.trainer, it.Card.Ease, card},
		{labelHalf, it.Card.Split, card},
		{labelStop.trainer, it.Card.Stop, card},
		{labelFlag, it.Card.Flag, card},
	}
	for _, c := range it.Cautions {
		all = append(all, row{labelMind.trainer, c, how})
	}
	return append(all, row{"Why", it.Reason, because})
}

// cues is the forms of the cue, joined.
func (it *Item) cues(join string) string {
	var cues []string
	for _, q := range it.Cues {
		if q.Kind == "word" {
			cues = append(cues, `"`+q.Text+`"`)
		} else {
			cues = append(cues, q.Kind+": "+q.Text)
		}
	}
	return strings.Join(cues, join)
}

func (it *Item) cueWords() string {
	said := it.cues(", ")
	if it.CueLater && said != "" {
		return "none yet; " + said + " comes at a later step"
	}
	return said
}

func (it *Item) helpWords() string {
	var help []string
	if len(it.Prompts) > 0 {
		help = append(help, "part of the step: "+list(it.Prompts))
	}
	if len(it.Help) > 0 {
		help = append(help, "if the dog is stuck, and only after it had its chance: "+strings.Join(it.Help, ", then "))
	}
	return strings.Join(help, "; ")
}

// marker is how the dog is told that it was right: said, shown, or either.
func (it *Item) marker() string {
	var forms []string
	if it.MarkerText != "" {
		forms = append(forms, `"`+it.MarkerText+`"`)
	}
	if it.MarkerSign != "" {
		forms = append(forms, it.MarkerSign)
	}
	if len(forms) == 0 && it.Marker != "" {
		forms = append(forms, fmt.Sprintf("a sign that the dog knows for %q", it.Marker))
	}
	return strings.Join(forms, " or ")
}

func (it *Item) markWords() string {
	switch mark := it.marker(); {
	case mark == "":
		return ""
	case it.Releases:
		return mark + ", then the exercise is over"
	default:
		return mark + ", and the dog stays in work"
	}
}

func (it *Item) payWords() string {
	pay := it.PayWords
	if t := it.times(); t != "" {
		pay += ": " + t
	}
	if it.Food != "" && it.Pieces > 0 {
		pay += "; " + plural(it.Pieces, "piece", "pieces") + " of " + it.Food
		if it.Extra {
			pay += " (extra)"
		}
	}
	if it.Pay != "" {
		pay += "; " + it.Pay
	}
	return pay
}

// first is the number on the sheet of the first part of an item.
func (p *Plan) first(it *Item) int {
	for i := range p.Items {
		if p.Items[i].Behaviour == it.Behaviour {
			return i + 1
		}
	}
	return 0
}

// times is the seconds that a watch decides.
func (it *Item) times() string {
	seconds := func(list []float64, join string) string {
		parts := make([]string, len(list))
		for i, v := range list {
			parts[i] = number(v)
		}
		return strings.Join(parts, join)
	}
	switch {
	case len(it.PayAfter) > 0:
		return seconds(it.PayAfter, ", ") + " s"
	case len(it.PayAt) > 0 && it.PayWords != payHoldEnd:
		parts := make([]string, len(it.PayAt))
		for i, at := range it.PayAt {
			parts[i] = seconds(at, " and ")
		}
		return strings.Join(parts, "; ") + " s"
	}
	return ""
}

// head is the lines that say whose session it is.
func (p *Plan) head(v engine.Voice) []string {
	if v == engine.ForOwner {
		return p.ownerHead()
	}
	where := []string{p.At.Format("Monday 2 January 2006, 15:04 -07:00")}
	if p.Number > 0 && len(p.Referral) == 0 {
		where[0] += fmt.Sprintf("; session %d", p.Number)
	}
	for _, x := range [][2]string{{"place", p.Place}, {"handler", p.Handler}, {"session rules", p.Session}} {
		if x[1] != "" {
			where = append(where, x[0]+" "+x[1])
		}
	}
	lines := []string{strings.Join(where, ", ")}
	if p.If != "" {
		lines = append(lines, "What if: "+p.If+". Nothing of it is on record.")
		for _, m := range p.IfMoves {
			lines = append(lines, sentence(m.Text)+".")
		}
	}
	if len(p.Items) > 0 {
		lines = append(lines, fmt.Sprintf("About %s, %s, %s", minutes(p.Minutes), plural(p.Trials, "trial", "trials"), plural(p.Pieces, "reward at most", "rewards at most")))
		wanted := ""
		if p.Wanted != "" {
			wanted = " (" + p.Wanted + " or better is wanted)"
		}
		lines = append(lines, fmt.Sprintf("About %.0f%% of the trials should succeed%s, and pay about %s a minute", 100*p.Expected, wanted, number(math.Round(10*p.PerMinute)/10)))
	}
	name := p.Curriculum
	if p.Edition != "" {
		name += ", edition " + p.Edition
	}
	print := p.Fingerprint
	if len(print) > 8 {
		print = print[:8]
	}
	if print != "" {
		name += ", " + print
	}
	if p.History != "" {
		name += "; history " + p.History
	}
	return append(lines, fmt.Sprintf("Curriculum %s; seed %d", strings.TrimPrefix(name, ", "), p.Seed))
}

func minutes(m float64) string {
	if m < 1 {
		return fmt.Sprintf("%.0f seconds", math.Ceil(m*60))
	}
	if up := math.Ceil(m*2) / 2; up != 1 {
		return number(up) + " minutes"
	}
	return "1 minute"
}

// pot is the food to put ready: for an owner in pieces alone.
func (p *Plan) pot(v engine.Voice) string {
	var parts []string
	for _, f := range p.Food {
		t := plural(f.Pieces, "piece", "pieces") + " of " + f.Food
		if about := f.about(v); about != "" {
			t += " (" + about + ")"
		}
		parts = append(parts, t)
	}
	if len(parts) == 0 {
		if p.Pieces == 0 {
			return ""
		}
		parts = append(parts, plural(p.Pieces, "piece", "pieces"))
	}
	return strings.Join(parts, "; ") + ". Stop when the pot is empty."
}

func (f *Food) about(v engine.Voice) string {
	var about []string
	if f.Kcal > 0 && v != engine.ForOwner {
		about = append(about, number(f.Kcal)+" kcal")
	}
	if f.Grams > 0 && v != engine.ForOwner {
		about = append(about, number(f.Grams)+" g")
	}
	switch {
	case !f.Extra:
		about = append(about, "from the day's ration")
	case v != engine.ForOwner:
		about = append(about, "extra")
	}
	return strings.Join(about, ", ")
}

// title is an item's heading.
func (it *Item) title() string {
	t := it.Behaviour
	if it.Title != "" {
		t += ": " + it.Title
	}
	if it.Parts > 1 {
		t += fmt.Sprintf(" (part %d of %d)", it.Part, it.Parts)
	}
	return t
}
