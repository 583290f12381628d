package example

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// standsText is where a behaviour stands, in words.
func standsText(c *curriculum.Curriculum, s *engine.BehaviourStanding) string {
	at := placeText(c, s.Behaviour, s.Step, s.Level)
	switch s.State {
	case curriculum.Kept:
		return s.Behaviour + " is kept"
	case curriculum.Waiting, curriculum.Paused:
		return fmt.Sprintf("%s is %s at %s: it needs %s", s.Behaviour, s.State, at, strings.Join(s.Missing, " and "))
	}
	return fmt.Sprintf("%s is %s at %s", s.Behaviour, s.State, at)
}

// placeText is a step and level in the language's own spelling.
func placeText(c *curriculum.Curriculum, behaviour, step string, texts map[string]string) string {
	l := levelOf(texts)
	inOrder(c, behaviour, step, l.Values)
	return strings.TrimSpace(step + " " + l.String())
}

// inOrder puts values in the order of the step's ramps.
func inOrder(c *curriculum.Curriculum, behaviour, step string, values []curriculum.NamedValue) {
	var order []string
	if b := c.Behaviour(behaviour); b != nil && b.Step(step) >= 0 {
		for _, r := range b.Steps[b.Step(step)].Ramps {
			order = append(order, r.Of)
		}
	}
	slices.SortFunc(values, func(a, b curriculum.NamedValue) int {
		if d := slices.Index(order, a.Of) - slices.Index(order, b.Of); d != 0 {
			return d
		}
		return strings.Compare(a.Of, b.Of)
	})
}

// ruleText is a rule in the language's own spelling, named criteria by their names.
func ruleText(r *curriculum.Rule) string {
	t := string(r.Word)
	if r.Word == curriculum.StopToday {
		t += " today"
	}
	if r.To != "" {
		t += " to " + r.To
	}
	if r.ToFirst {
		t += " first level"
	}
	if len(r.Into) > 0 {
		pieces := slices.Clone(r.Into)
		for i := range pieces {
			pieces[i] = fmt.Sprintf("%q", pieces[i])
		}
		t += " into " + strings.Join(pieces, ", ")
	}
	return t + " when " + curriculum.CriterionNames(r.When)
}
