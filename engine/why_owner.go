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

// ownerPlace is the step and level as an owner knows them.
func (w *Why) ownerPlace() string { return ownerPlace(w.StepText, w.Place.Step, w.Place.Level) }

// ownerPlace is where a move led.
func (b *behaviour) ownerPlace(to Place) string {
	if to.Kept {
		return "finished"
	}
	text := ""
	if i, ok := b.steps[to.Step]; ok {
		text = b.stages[i].step.Text
	}
	return ownerPlace(text, to.Step, to.Level)
}

// ownerPlace is the step in the author's words, or its name, and the level.
func ownerPlace(text, name string, level map[string]string) string {
	if text == "" {
		text = name
	}
	if l := ownerLevel(level); l != "" {
		text += "; " + l
	}
	return text
}

// ownerLevel is a level without the schedule that thins: how it is paid is no matter of how hard it is.
func ownerLevel(level map[string]string) string {
	var out []string
	for _, of := range sortedKeys(level) {
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

// ownerRule is a rule of the present level in an owner's words.
func (st *state) ownerRule(r *rule) OwnerRule {
	o := OwnerRule{When: OwnerWords(r.src.When)}
	to := func(stage, lvl int, word, same string) string {
		sg := st.b.stages[stage]
		level := st.levels(sg)[lvl].values.Texts()
		if stage != st.stage {
			return word + ownerPlace(sg.step.Text, sg.step.Name, level)
		}
		l := ownerLevel(level)
		if l == ownerLevel(st.lv().values.Texts()) {
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
func (w *Why) ownerRules(say func(int, phrase, ...any)) {
	if len(w.Locked) > 0 || len(w.Missing) > 0 {
		return
	}
	said := map[string]bool{}
	for i := range w.Rules {
		r := &w.Rules[i]
		lead := ruleWords[r.Rule].owner
		text := r.Owner.When
		switch r.Rule {
		case string(curriculum.StopToday), string(curriculum.Flag):
			if r.Holds {
				say(2, sayHolds, r.Leads, lead, text)
				continue
			}
		default:
			if r.Next == nil {
				continue
			}
			text = ownerRun(r.Next.Trials)
		}
		if r.Owner.Then != "" {
			text += "; " + r.Owner.Then
		}
		if !said[lead+text] {
			said[lead+text] = true
			say(2, sayNext, "", lead, text)
		}
	}
}

// ownerRun is a run of trials in an owner's words: what must happen, how often, and whether on other days or elsewhere.
func ownerRun(run []NextTrial) string {
	first := run[0].Mark
	same, n := true, map[string]int{}
	sessions, days := 0, 0
	var where []string
	seen := map[string]bool{}
	for i := range run {
		t := &run[i]
		same = same && t.Mark == first
		n[t.Mark]++
		switch {
		case t.NextDay:
			days++
		case t.NewSession:
			sessions++
		}
		for _, x := range []struct{ word, name string }{{"at ", t.Place}, {"with ", t.Handler}} {
			if x.name != "" && !seen[x.word+x.name] {
				seen[x.word+x.name] = true
				where = append(where, x.word+x.name)
			}
		}
	}
	text := ""
	switch {
	case same && len(run) == 1:
		text = markWords[first].one.owner
	case same && sessions+days == 0:
		text = fmt.Sprintf(markWords[first].more.owner, numberWord(len(run)))
	default:
		var parts []string
		for _, m := range searchKinds {
			switch c := n[m.mark]; {
			case c == 1:
				parts = append(parts, markWords[m.mark].one.owner)
			case c > 1:
				more, _, _ := strings.Cut(markWords[m.mark].more.owner, ",")
				parts = append(parts, fmt.Sprintf(more, numberWord(c)))
			}
		}
		text = strings.Join(parts, " and ")
	}
	if len(where) > 0 {
		text += ", " + strings.Join(where, " and ")
	}
	switch {
	case days == 1:
		text += ", the last of it on another day"
	case days > 1:
		text += fmt.Sprintf(", spread over %s more days", numberWord(days))
	case sessions == 1:
		text += ", in another session"
	case sessions > 1:
		text += fmt.Sprintf(", in %s more sessions", numberWord(sessions))
	}
	return text
}
