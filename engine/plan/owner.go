package plan

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"example.com/rung/engine"
)

// said is one thing a sheet says: for a trainer and for an owner.
type said struct{ trainer, owner string }

func (s said) in(v engine.Voice) string {
	if v == engine.ForOwner {
		return s.owner
	}
	return s.trainer
}

// The labels and lines of a sheet in both voices. An owner's sheet says: do this, like this, this many, stop if, tick. It
// leaves out what is the trainer's to decide (an empty label) and never names a schedule.
var (
	labelStep    = said{"Step", "This time"}
	labelTrials  = said{"Trials", "Tick"}
	labelSetUp   = said{"Set-up", "First"}
	labelSide    = said{"Side", "Side"}
	labelKit     = said{"Kit", "Have ready"}
	labelCue     = said{"Cue", "Say or show"}
	labelDo      = said{"Do", "Do this"}
	labelCounts  = said{"Counts", "Right is"}
	labelHelp    = said{"Help", "If stuck"}
	labelMark    = said{"Mark", "When right"}
	labelPay     = said{"Pay", "Food"}
	labelAdvance = said{"Move on", ""}
	labelEase    = said{"Easier", "Not going?"}
	labelStop    = said{"Stop today", "Stop if"}
	labelMind    = said{"Mind", "Mind"}

	wordsTell   = said{"Note it in the log, and tell a senior trainer.", "Write it down, and ring your trainer."}
	wordsBefore = said{"like item %d; the tally goes on", "like number %d"}
	wordsFeed   = said{"feed every success", "after each right one"}
	wordsNote   = said{noteLine, "In five words, how was it? ____________________  Times the dog left: ____"}
)

// ownerRows is an item in the order in which an owner needs it.
func (it *Item) ownerRows(first int) []row {
	v := engine.ForOwner
	boxes := make([]string, it.Trials)
	for i := range boxes {
		boxes[i] = "[ ]"
		if some := count(it.Rewarded); some < len(it.Rewarded) && it.Rewarded[i] {
			boxes[i] = "[*]"
		}
	}
	this := it.StepTitle
	if this == "" {
		this = it.Step
	}
	if l := levelWords(it.Level, it.LevelText); l != "" {
		this += "; " + l
	}
	tick := row{labelTrials.in(v), fmt.Sprintf("%s, one box for each right one   %s", plural(it.Trials, "try", "tries"), strings.Join(boxes, " "))}
	food := row{labelPay.in(v), it.ownerPay()}
	if it.Part > 1 {
		return []row{{"Once more", fmt.Sprintf(wordsBefore.in(v), first)}, tick, food}
	}
	help := strings.Join(it.Help, ", then ")
	if help != "" {
		help = "wait first, then help with " + help
	}
	when := ""
	if m := firstOf(it.MarkerText, it.Marker); m != "" {
		when = `say "` + m + `", then give the food; the dog goes on working`
		if it.Releases {
			when = `say "` + m + `", give the food, and it is over for a moment`
		}
	}
	all := []row{
		{labelStep.in(v), this},
		{labelSetUp.in(v), it.SetUp},
		{labelSide.in(v), it.Side},
		{labelKit.in(v), list(it.Equipment)},
		{labelDo.in(v), it.Do},
		{labelCue.in(v), it.cueWords()},
		{labelCounts.in(v), it.Success},
		{labelMark.in(v), when},
		food,
		tick,
		{labelHelp.in(v), help},
		{labelEase.in(v), it.Card.OwnerEase},
		{labelStop.in(v), it.Card.OwnerStop},
	}
	for _, c := range it.Cautions {
		all = append(all, row{labelMind.in(v), c})
	}
	return slices.DeleteFunc(all, func(r row) bool { return r.text == "" })
}

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// cueWords is what to say or show; nothing where the cue comes later.
func (it *Item) cueWords() string {
	var out []string
	for _, q := range it.Cues {
		if q.Kind == "word" {
			out = append(out, `"`+q.Text+`"`)
		} else {
			out = append(out, q.Kind+": "+q.Text)
		}
	}
	if it.CueLater && len(out) > 0 {
		return "nothing yet: the cue comes later"
	}
	return strings.Join(out, ", or ")
}

// ownerPay is when to feed, without the name of a schedule: nobody is asked to draw lots or to count up.
func (it *Item) ownerPay() string {
	text := wordsFeed.owner
	switch some := count(it.Rewarded); {
	case it.times() != "" && len(it.PayAfter) > 0:
		text = "by the watch: the first right one after each of these times: " + it.times()
	case it.times() != "":
		text = "while it lasts, at these seconds, try by try: " + it.times()
	case len(it.PayAt) > 0:
		text = "after each right one, when its time is up"
	case strings.HasPrefix(it.Schedule, "best"):
		text = "after the better ones; kind words for the others"
	case some == 0:
		text = "kind words only this time"
	case some < len(it.Rewarded):
		text = "when you tick a box with a star; kind words at the others"
	}
	if it.Food != "" && it.Pieces > 0 {
		text += "; " + plural(it.Pieces, "piece", "pieces") + " of " + it.Food
	}
	if it.Pay != "" {
		text += "; " + it.Pay
	}
	return text
}

// ownerRules is rules of one word in an owner's words.
func ownerRules(rules []engine.CardLine) string {
	var out []string
	for _, r := range rules {
		text := r.Owner.When
		if text == "" { // a view that was not made by a fold: better the rule's own words than none
			text = r.Text
		}
		if to, ok := strings.CutPrefix(r.Owner.Then, "then "); ok {
			to = strings.Replace(to, "back to: ", "go back to ", 1)
			text += ": " + strings.Replace(to, "the count begins anew", "stay with this, and keep it short", 1)
		}
		if !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return strings.Join(out, "; or ")
}

// ownerHead is the lines that say whose session it is; the last one names the plan for whoever asks.
func (p *Plan) ownerHead() []string {
	head := []string{p.At.Format("Monday 2 January 2006, 15:04")}
	if p.Place != "" {
		head[0] += "; " + p.Place
	}
	if len(p.Items) > 0 {
		head = append(head, "About "+minutes(p.Minutes))
	}
	return head
}

// ownerCautions is the cautions with the owner's way of telling.
func (p *Plan) ownerCautions() []string {
	out := make([]string, len(p.Cautions))
	for i, c := range p.Cautions {
		out[i] = strings.ReplaceAll(c, wordsTell.trainer, wordsTell.owner)
	}
	return out
}

// TextFor is the plan as a sheet in somebody's words: Text for a trainer.
func (p *Plan) TextFor(v engine.Voice) string {
	if v != engine.ForOwner {
		return p.Text()
	}
	var b strings.Builder
	put := func(indent, text string) {
		b.WriteString(wrap(text, indent, strings.Repeat(" ", utf8.RuneCountInString(indent))))
	}
	fmt.Fprintf(&b, "Your session with %s\n", p.Dog)
	for _, l := range p.ownerHead() {
		put("", l)
	}
	if len(p.Referral) > 0 {
		b.WriteString("\nNO TRAINING\n")
		for _, l := range p.Referral {
			put("  - ", l)
		}
		return b.String()
	}
	b.WriteString("\nSTOP AND MIND\n")
	for _, l := range p.ownerCautions() {
		put("  - ", l)
	}
	b.WriteString("\n")
	if pot := p.ownerPot(); pot != "" {
		put("FOOD  ", pot)
	}
	if len(p.Kit) > 0 {
		put("KIT   ", list(p.Kit))
	}
	for i := range p.Items {
		it := &p.Items[i]
		b.WriteString("\n")
		put(fmt.Sprintf("%2d. ", i+1), it.title())
		for _, r := range it.ownerRows(p.first(it)) {
			put(fmt.Sprintf("    %-13s", r.label), r.text)
		}
	}
	if len(p.Items) == 0 {
		b.WriteString("\nNothing to do today. Your trainer can say why.\n")
		return b.String()
	}
	b.WriteString("\n")
	put("END   ", endLine)
	put("      ", wordsNote.owner)
	return b.String()
}

// ownerPot is the food to put ready, in pieces.
func (p *Plan) ownerPot() string {
	var parts []string
	for _, f := range p.Food {
		t := plural(f.Pieces, "piece", "pieces") + " of " + f.Food
		if !f.Extra {
			t += " (from the day's ration)"
		}
		parts = append(parts, t)
	}
	if len(parts) == 0 && p.Pieces > 0 {
		parts = append(parts, plural(p.Pieces, "piece", "pieces"))
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, "; ") + ". Stop when the pot is empty."
}

// MarkdownFor is the plan as a Markdown page in somebody's words: Markdown for a trainer.
func (p *Plan) MarkdownFor(v engine.Voice) string {
	if v != engine.ForOwner {
		return p.Markdown()
	}
	var b strings.Builder
	fmt.Fprintf(&b, "# Your session with %s\n\n%s\n", mark(p.Dog), mark(strings.Join(p.ownerHead(), ". ")))
	bullets := func(title string, lines []string) {
		fmt.Fprintf(&b, "\n## %s\n\n", title)
		for _, l := range lines {
			fmt.Fprintf(&b, "- %s\n", mark(l))
		}
	}
	if len(p.Referral) > 0 {
		bullets("No training", p.Referral)
		return b.String()
	}
	bullets("Stop and mind", p.ownerCautions())
	if pot := p.ownerPot(); pot != "" {
		fmt.Fprintf(&b, "\n**Food:** %s\n", mark(pot))
	}
	if len(p.Kit) > 0 {
		fmt.Fprintf(&b, "\n**Kit:** %s\n", mark(list(p.Kit)))
	}
	for i := range p.Items {
		it := &p.Items[i]
		fmt.Fprintf(&b, "\n## %d. %s\n\n| | |\n| --- | --- |\n", i+1, mark(it.title()))
		for _, r := range it.ownerRows(p.first(it)) {
			fmt.Fprintf(&b, "| %s | %s |\n", r.label, mark(r.text))
		}
	}
	if len(p.Items) == 0 {
		b.WriteString("\nNothing to do today. Your trainer can say why.\n")
		return b.String()
	}
	fmt.Fprintf(&b, "\n**End:** %s\n\n%s\n", endLine, mark(wordsNote.owner))
	return b.String()
}
