package plan

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// ownerRows is an item in the order in which an owner needs it.
func (it *Item) ownerRows() []row {
	v := engine.ForOwner
	boxes := make([]string, it.Trials)
	for i := range boxes {
		boxes[i] = "[ ]"
		if it.starred(i) {
			boxes[i] = "[*]"
		}
	}
	this := firstOf(it.StepTitle, it.Step)
	if l := levelWords(it.Level, it.LevelText); l != "" {
		this += "; " + l
	}
	help := strings.Join(it.Help, ", then ")
	if help != "" {
		help = "wait first, then help with " + help
	}
	tick := fmt.Sprintf("%s, one box for each right one   %s", plural(it.Trials, "try", "tries"), strings.Join(boxes, " "))
	all := []row{
		{labelStep.in(v), this, where},
		{labelSetUp.in(v), it.SetUp, how},
		{labelSide.in(v), it.Side, how},
		{labelKit.in(v), list(it.Equipment), how},
		{labelDo.in(v), it.Do, how},
		{"With", withEach(it.ownPrompts()), how},
		{it.ownerCueLabel(), it.ownerCue(), cue},
		{labelCounts.in(v), it.Success, right},
		{labelMark.in(v), it.ownerMark(), how},
		{labelPay.in(v), it.ownerPay("a box with a star"), how},
		{labelAsk.in(v), it.ownerAsk(), how},
		{labelTrials.in(v), tick, tally},
		{labelHelp.in(v), help, how},
		{labelEase.in(v), it.Card.OwnerEase, card},
		{labelStop.in(v), it.Card.OwnerStop, card},
	}
	for _, c := range it.Cautions {
		all = append(all, row{labelMind.in(v), c, how})
	}
	return all
}

// ownerCueLabel is what to do with the cue: nothing is said to a dog that has no word for it.
func (it *Item) ownerCueLabel() string {
	if len(it.Cues) > 0 && !slices.ContainsFunc(it.Cues, func(q Cue) bool { return q.Kind == curriculum.WordCue }) {
		return "Signal"
	}
	return labelCue.owner
}

// withEach says that help belongs to the step.
func withEach(prompts string) string {
	if prompts == "" {
		return ""
	}
	return prompts + ", in every try"
}

// ownPrompts is the help that is part of the step; the cue has a line of its own.
func (it *Item) ownPrompts() string {
	var out []string
	for _, p := range it.Prompts {
		own := p == "cue" || p == curriculum.WordCue || slices.ContainsFunc(it.Cues, func(q Cue) bool { return q.Kind == p })
		if !own {
			out = append(out, p)
		}
	}
	return list(out)
}

// starred says whether box i carries a star: where only some successes are paid, those that are. A watch or a bar decides
// for itself.
func (it *Item) starred(i int) bool { return it.shaded() && i < len(it.Rewarded) && it.Rewarded[i] }

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// ownerMark is how the owner tells the dog that it was right.
func (it *Item) ownerMark() string {
	do := ""
	switch {
	case it.MarkerText != "" && it.MarkerSign != "":
		do = `say "` + it.MarkerText + `" or show: ` + it.MarkerSign
	case it.MarkerText != "":
		do = `say "` + it.MarkerText + `"`
	case it.MarkerSign != "":
		do = "show: " + it.MarkerSign
	case it.Marker != "":
		do = it.marker()
	default:
		return ""
	}
	if it.Releases {
		return do + ", then food; over for a moment"
	}
	return do + ", then food; the dog works on"
}

// ownerCue is what to say or show; nothing where the cue comes later.
func (it *Item) ownerCue() string {
	if it.CueLater && len(it.Cues) > 0 {
		return "nothing yet: the cue comes later"
	}
	return it.cues(", or ")
}

// ownerPay is when to feed, without the name of a schedule: nobody is asked to draw lots or to count up. fed is what a box
// looks like that is ticked with food.
func (it *Item) ownerPay(fed string) string {
	text := "after each right one"
	switch some := count(it.Rewarded); {
	case it.times() != "" && len(it.PayAfter) > 0:
		text = "by the watch: the first right one after each of these times: " + it.times()
	case it.times() != "":
		text = "while it lasts, at these seconds, try by try: " + it.times()
	case len(it.PayAt) > 0:
		text = "after each right one, when its time is up"
	case it.PayBar != nil:
		text = "after each right one with a " + it.PayBar.String() + "; kind words for the others"
	case some == 0:
		text = "kind words only this time"
	case some < len(it.Rewarded):
		text = "when you tick " + fed + "; kind words at the others"
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
			to = strings.Replace(to, "back to: ", "go back to: ", 1)
			text += ": " + strings.Replace(to, "the count begins anew", "stay with this, and keep it short", 1)
		}
		if !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return strings.Join(out, "; or ")
}

// ownerHead is the lines that say when and where it is.
func (p *Plan) ownerHead() []string {
	head := []string{p.At.Format("Monday 2 January 2006, 15:04")}
	if p.Number > 0 && len(p.Referral) == 0 {
		head[0] += fmt.Sprintf("; session %d", p.Number)
	}
	if p.Place != "" {
		head[0] += "; " + p.Place
	}
	if p.If != "" {
		head = append(head, "Only a trial plan: it supposes "+p.If+".")
	}
	if len(p.Items) > 0 {
		head = append(head, "About "+minutes(p.Minutes))
	}
	return head
}
