package plan

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/engine"
)

// htmlItem is an item as the page shows it: what a handler needs while the dog works, in as few words as will do. What
// the text form says beyond it is worked out from the log afterwards, or stands once at the top of the page.
type htmlItem struct {
	Number            int
	Name, Title, Step string
	Again, Beside     bool   // a later part, in one line; the name stands beside the boxes and not above them
	Rest              string // before it
	Right, Cue, Level htmlRow
	Lines, Below      []htmlRow // beside the boxes, and below them over the whole width
	Card, Far         []htmlRow // Far is rules that count over sessions: nobody counts them in the field
	Boxes             []htmlBoxes
	kit               string // the label of the line with its equipment
}

type htmlRow struct{ Label, Text string }

// htmlBoxes is a row of boxes to tick. Said is for those who do not see them.
type htmlBoxes struct {
	Label, Said, Caption string
	Boxes                []htmlBox
}

type htmlBox struct {
	Value string // to ask for in that try, where it varies
	Paid  bool   // shaded
}

// paper is one item on the page. shared is the cautions and stops that stand at the top.
func (p *Plan) paper(it *Item, number int, v engine.Voice, shared []string) htmlItem {
	h := htmlItem{Number: number, Name: it.Behaviour, Boxes: it.boxes(v)}
	if it.RestBefore > 0 {
		h.Rest = colon(labelRest.in(v)) + " " + minutes(it.RestBefore/60) + ": water, and time to sniff"
	}
	if it.Part > 1 {
		h.Again, h.Title = true, fmt.Sprintf("again, "+wordsBefore.in(v), p.first(it))
		if pay := p.paperPay(it, v); pay != "" {
			h.Title += "; " + pay
		}
		return h
	}
	h.Title = it.Title
	if it.Parts > 1 {
		h.Title += fmt.Sprintf(" (1 of %d)", it.Parts)
	}
	h.Step = firstOf(it.StepTitle, it.Step)
	if v != engine.ForOwner && it.StepTitle != "" {
		h.Step = it.Step + ": " + it.StepTitle
	}
	h.Right = htmlRow{colon(labelCounts.in(v)), it.Success}
	h.Level = htmlRow{colon(wordsLevel.in(v)), levelWords(it.Level, it.LevelText)}
	label, cue := labelCue.trainer, it.cueWords()
	if v == engine.ForOwner {
		label, cue = it.ownerCueLabel(), it.ownerCue()
	}
	h.Cue = htmlRow{colon(label), cue}
	if len(it.Asked) > 1 {
		h.add(&h.Lines, labelAsk.in(v), it.askWords())
	}
	h.add(&h.Lines, labelSetUp.in(v), it.SetUp)
	h.add(&h.Lines, labelSide.in(v), it.Side)
	h.add(&h.Lines, labelKit.in(v), list(it.Equipment))
	h.kit = colon(labelKit.in(v))
	h.add(&h.Lines, labelDo.in(v), it.Do)
	h.add(&h.Lines, "With", it.ownPrompts())
	h.add(&h.Lines, "If stuck", it.paperHelp())
	h.add(&h.Lines, labelMark.in(v), it.paperMark(v))
	h.add(&h.Lines, labelPay.in(v), p.paperPay(it, v))
	for _, c := range it.Cautions {
		if !slices.Contains(shared, c) {
			h.add(&h.Lines, labelMind.in(v), c)
		}
	}
	if v == engine.ForOwner {
		h.add(&h.Card, labelEase.owner, onPaper.Replace(it.Card.OwnerEase))
		if !slices.Contains(shared, it.Card.OwnerStop) {
			h.add(&h.Card, labelStop.owner, onPaper.Replace(it.Card.OwnerStop))
		}
		return h
	}
	h.add(&h.Card, labelAdvance.trainer, it.Card.paperMoveOn(p.trials(it.Behaviour)))
	h.add(&h.Card, labelEase.trainer, onPaper.Replace(it.Card.Ease))
	if !slices.Contains(shared, it.Card.Stop) {
		h.add(&h.Card, labelStop.trainer, onPaper.Replace(it.Card.Stop))
	}
	h.add(&h.Far, labelHalf, it.Card.Split)
	h.add(&h.Far, labelFlag, it.Card.Flag)
	return h
}

// add is a labelled line, where there is anything to say.
func (h *htmlItem) add(to *[]htmlRow, label, text string) {
	if text != "" {
		*to = append(*to, htmlRow{colon(label), text})
	}
}

func colon(label string) string {
	if strings.HasSuffix(label, "?") {
		return label
	}
	return label + ":"
}

// onPaper shortens rules: a page is of one session, and its labels say whether a rule leads on or back.
var onPaper = strings.NewReplacer(" in this session", "", " in one session", "", ": back to ", ": to ", ": go on to ", ": to ", ": go back to: ", ": go back to ", "finished, from now on only kept fresh", "finished")

// paperMoveOn is the rule by which the dog moves on, with how far it is from it; what cannot come about in today's trials
// is not spelled out.
func (c *Card) paperMoveOn(trials int) string {
	rule := onPaper.Replace(c.Advance)
	soon := strings.TrimSuffix(strings.TrimSuffix(c.Soon, " is enough"), " are enough")
	when, to, one := strings.Cut(rule, ": ")
	switch {
	case c.Soon == "":
		return rule
	case c.SoonTrials > trials:
		return "not today: " + soon + " at the least"
	case one && !strings.Contains(to, "; or "):
		return soon + ": " + to + " (" + when + ")"
	}
	return rule + "; now " + soon
}

// paperMark is how to tell the dog that it was right, and whether it goes on working.
func (it *Item) paperMark(v engine.Voice) string {
	if v == engine.ForOwner {
		return it.ownerMark()
	}
	switch mark := it.marker(); {
	case mark == "":
		return ""
	case it.Releases:
		return mark + ", then over"
	default:
		return mark + "; work goes on"
	}
}

// paperHelp is what to try, in this order, with a dog that had its chance and is stuck.
func (it *Item) paperHelp() string {
	if len(it.Help) == 0 {
		return ""
	}
	return "wait first, then " + strings.Join(it.Help, ", then ")
}

// paperPay is when to feed, what and, in a first part, where, as far as the top of the page does not say it.
func (p *Plan) paperPay(it *Item, v engine.Voice) string {
	told := *it
	if it.Part > 1 {
		told.Pay = ""
	}
	if it.Food == p.mostFed() && it.Pieces == count(it.Rewarded) {
		told.Food = ""
	}
	if told.shaded() {
		told.PayWords = "at the shaded boxes"
	}
	if it.fedAlways() && told.Food == "" {
		return told.Pay
	}
	if v == engine.ForOwner {
		return told.ownerPay("a shaded box")
	}
	return told.payWords()
}

// fedAlways reports whether every success is fed as soon as it comes.
func (it *Item) fedAlways() bool {
	return count(it.Rewarded) == len(it.Rewarded) && len(it.PayAfter)+len(it.PayAt) == 0 && it.PayBar == nil
}

// feedWords is what holds of feeding where an item says nothing.
func (p *Plan) feedWords(v engine.Voice) string {
	always := 0
	for i := range p.Items {
		if p.Items[i].fedAlways() {
			always++
		}
	}
	of := ""
	if len(p.Food) > 1 {
		of = ", with a piece of " + p.mostFed()
	}
	switch always {
	case 0:
		return ""
	case len(p.Items):
		if of == "" {
			return " " + sentence(wordsFeed.in(v)) + "."
		}
	}
	return " " + sentence(wordsFeed.in(v)) + of + wordsUnless.in(v)
}

// mostFed is the food that most pieces are of.
func (p *Plan) mostFed() string {
	most, name := 0, ""
	for _, f := range p.Food {
		if f.Pieces > most {
			most, name = f.Pieces, f.Food
		}
	}
	return name
}

// shaded reports whether boxes show which successes are fed.
func (it *Item) shaded() bool {
	some := count(it.Rewarded)
	return some > 0 && some < len(it.Rewarded) && len(it.PayAfter)+len(it.PayAt) == 0 && it.PayBar == nil
}

// boxes is what there is to tick.
func (it *Item) boxes(v engine.Voice) []htmlBoxes {
	tries := htmlBoxes{Label: wordsTries.in(v), Boxes: make([]htmlBox, it.Trials)}
	tries.Said = fmt.Sprintf("%s: %s", tries.Label, plural(it.Trials, "box", "boxes"))
	if len(it.Asked) == 1 {
		a := &it.Asked[0]
		unit := commonUnit(a.Values)
		for i := range min(len(a.Values), len(tries.Boxes)) {
			tries.Boxes[i].Value = strings.TrimSuffix(a.Values[i], unit)
		}
		tries.Said += ", for " + strings.Join(a.Values, ", ")
	}
	if len(it.Asked) == 1 && it.Part == 1 {
		a := &it.Asked[0]
		unit := commonUnit(a.Values)
		tries.Caption = "above each box: " + a.Of + strings.Replace(unit, " ", " in ", 1)
		if v != engine.ForOwner {
			tries.Caption += fmt.Sprintf(" (from %s%s; mean %s)", strings.ReplaceAll(strings.Join(a.Set, ", "), unit, ""), unit, a.Mean)
		}
	}
	out := []htmlBoxes{tries}
	if it.shaded() {
		fed := htmlBoxes{Label: wordsRights.in(v), Caption: wordsShaded.in(v)}
		var which []string
		for i, yes := range it.Rewarded {
			fed.Boxes = append(fed.Boxes, htmlBox{Paid: yes})
			if yes {
				which = append(which, fmt.Sprint(i+1))
			}
		}
		fed.Said = fmt.Sprintf("%s: %s; feed at %s", fed.Label, plural(len(fed.Boxes), "box", "boxes"), list(which))
		out = append(out, fed)
	}
	return out
}

// commonUnit is the unit that all values have, with its space; empty where they differ.
func commonUnit(values []string) string {
	unit := ""
	for i, v := range values {
		at := strings.LastIndex(v, " ")
		if at < 0 || i > 0 && v[at:] != unit {
			return ""
		}
		unit = v[at:]
	}
	return unit
}

// stops is when to leave an exercise for today, where most of them have the same rule: once, with the numbers of its
// items, and not on the card of each.
func (p *Plan) stops(v engine.Voice) (rule, line string) {
	numbers, all := map[string][]string{}, 0
	for i := range p.Items {
		it := &p.Items[i]
		text := it.Card.Stop
		if v == engine.ForOwner {
			text = it.Card.OwnerStop
		}
		if it.Part > 1 {
			continue
		}
		if all++; text != "" {
			numbers[text] = append(numbers[text], fmt.Sprint(i+1))
		}
		if len(numbers[text]) > max(1, len(numbers[rule])) {
			rule = text
		}
	}
	if len(numbers[rule]) < 2 {
		return "", ""
	}
	which := ""
	if n := numbers[rule]; len(n) < all {
		which = " (" + list(n) + ")"
	}
	return rule, fmt.Sprintf(wordsLeave.in(v), which, onPaper.Replace(rule))
}

// shared is the cautions that more than one item has, and lines that say them once, with the numbers of their items.
func (p *Plan) shared() (texts, lines []string) {
	numbers := map[string][]string{}
	for i := range p.Items {
		if p.Items[i].Part > 1 {
			continue
		}
		for _, c := range p.Items[i].Cautions {
			numbers[c] = append(numbers[c], fmt.Sprint(i+1))
			if len(numbers[c]) == 2 {
				texts = append(texts, c)
			}
		}
	}
	at := map[string]int{}
	for _, t := range texts {
		of := "For " + list(numbers[t]) + ": "
		if i, ok := at[of]; ok {
			lines[i] += " " + t
			continue
		}
		at[of] = len(lines)
		lines = append(lines, of+t)
	}
	return texts, lines
}
