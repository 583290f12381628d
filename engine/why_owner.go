package engine

import (
	"fmt"
	"strings"

	"example.com/rung/curriculum"
)

// title is the behaviour as an owner knows it.
func (w *Why) title() string {
	if w.Title == "" {
		return w.Behaviour
	}
	return w.Behaviour + " (" + w.Title + ")"
}

// ownerPlace is where a dog stands or a move led: the step in the author's words, or its name, and the level.
func (b *behaviour) ownerPlace(to Place) string {
	if to.Kept {
		return "finished"
	}
	i, ok := b.steps[to.Step]
	if !ok {
		return to.Step
	}
	return b.stages[i].ownerPlace(to.Level)
}

func (sg *stage) ownerPlace(level map[string]string) string {
	text := sg.step.Text
	if text == "" {
		text = sg.step.Name
	}
	if l := sg.ownerLevel(level); l != "" {
		text += "; " + l
	}
	return text
}

// ownerLevel is a level without the schedule that thins: how it is paid is no matter of how hard it is.
func (sg *stage) ownerLevel(level map[string]string) string {
	var out []string
	for _, of := range sg.inOrder(level) {
		switch v := level[of]; of {
		case curriculum.ThinRamp:
		case curriculum.PieceRamp:
			out = append(out, v)
		default:
			out = append(out, of+" "+strings.ReplaceAll(v, " deg", " degrees"))
		}
	}
	return strings.Join(out, ", ")
}

const leapsTo = "then straight to: "

// ownerRule is a rule of the present level in an owner's words.
func (st *state) ownerRule(r *rule) OwnerRule {
	o := OwnerRule{When: OwnerWords(r.src.When)}
	to := func(stage, lvl int, word, same string) string {
		sg := st.b.stages[stage]
		level := st.levels(sg)[lvl].values.Texts()
		if stage != st.stage {
			return word + sg.ownerPlace(level)
		}
		l := sg.ownerLevel(level)
		if l == sg.ownerLevel(st.lv().values.Texts()) {
			return same // only the schedule differs
		}
		return word + l
	}
	switch r.word {
	case curriculum.Advance:
		o.Then = "then it is finished"
		if stage, lvl := st.harder(); !st.b.stages[stage].kept {
			o.Then = to(stage, lvl, "then comes: ", "then it is fed less often")
		}
	case curriculum.Skip:
		o.Then = to(r.stage.index, 0, leapsTo, "")
	case curriculum.Lapse, curriculum.Ease:
		if stage, lvl := st.easier(r); stage == st.stage && lvl == st.level {
			o.Then = "then the count begins anew"
		} else {
			o.Then = to(stage, lvl, "then back to: ", "then it is fed more often")
		}
	}
	return o
}

func tries(n int) string {
	if n == 1 {
		return "1 try"
	}
	return fmt.Sprintf("%d tries", n)
}

// ownerDoor is a door that is shut, in an owner's words.
func ownerDoor(missing, dog string) string {
	if be, ok := strings.CutPrefix(missing, dogToBe); ok {
		return dog + " has to be " + be
	}
	if strings.HasPrefix(missing, rawDoor) {
		return "your trainer has to say that " + dog + " is ready for it (age, build or health)"
	}
	if other, ok := strings.CutSuffix(missing, " "+keptWord); ok {
		return other + " has to be finished"
	}
	other, step, _ := strings.Cut(missing, " at ")
	return other + " has to get as far as: " + step
}

// ownerRules says what each rule takes from here on: the shortest run that brings it about; of a rule that ends the work or
// calls for help, all it looks for.
func (w *Why) ownerRules(say sayer) {
	if len(w.Locked) > 0 || len(w.Missing) > 0 {
		return
	}
	said := map[string]bool{}
	for i := range w.Rules {
		r := &w.Rules[i]
		lead, text := w.ownerLine(r)
		switch {
		case text == "":
			continue
		case r.Rule == string(curriculum.Skip):
			say(2, saySkip, strings.TrimPrefix(r.Owner.Then, leapsTo), text)
			continue
		case r.Holds:
			say(2, sayHolds, r.Leads, lead, text)
			continue
		case r.Owner.Then != "" && r.AtClose:
			text += "; once the session is over, " + r.Owner.Then
		case r.Owner.Then != "":
			text += "; " + r.Owner.Then
		}
		if !said[lead+text] {
			said[lead+text] = true
			say(2, sayNext, "", lead, text)
		}
	}
}

// ownerLine is what one rule brings about and what that takes; no text where there is nothing to say of it.
func (w *Why) ownerLine(r *RuleWhy) (lead, text string) {
	lead = ruleWords[r.Rule].owner
	switch {
	case r.Rule == string(curriculum.StopToday) || r.Rule == string(curriculum.Flag):
		return lead, r.Owner.When
	case w.Away != "" || r.Holds:
		return "", ""
	case r.Next != nil && r.Leads == flagsInstead:
		return ruleWords[string(curriculum.Flag)].owner, r.Owner.When
	case r.Next != nil:
		return lead, ownerRun(r.Next.Trials)
	case r.Rule == string(curriculum.Advance):
		return lead, "when " + r.Owner.When
	}
	return "", ""
}
