package cases

import (
	"fmt"
	"strings"

	"example.com/rung/curriculum"
)

// Text is the case's curriculum as an author would write it. What the generator makes beyond the language (a first trial
// in one session) is in it all the same, so a reader need not accept every text.
func (c *Case) Text() string {
	var b strings.Builder
	put := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	cur := c.Curriculum
	put("rung 1\ncurriculum %q { }", cur.Name)
	put("place %s\nhandler %s", strings.Join(cur.Places, ", "), strings.Join(cur.Handlers, ", "))
	for _, m := range cur.Measures {
		better := ""
		if m.SmallerIsBetter {
			better = ", smaller is better"
		}
		put("measure %s in %s%s", m.Name, m.Unit, better)
	}
	for _, s := range cur.Signs {
		put("sign %s %s", s.Name, map[curriculum.SignEffect]string{curriculum.LockEverything: "locks everything", curriculum.LockBehaviour: "locks the behaviour",
			curriculum.LockNamed: "locks " + strings.Join(s.Only, ", "), curriculum.EndBehaviour: "ends the behaviour"}[s.Locks])
	}
	for _, n := range cur.Criteria {
		put("criterion %s = %s", n.Name, curriculum.CriterionNames(n.Is))
	}
	for _, s := range cur.Sessions {
		put("session %s {", s.Name)
		for _, a := range s.Away {
			put("  after %d days away ease %d levels", a.Days, a.Levels)
		}
		put("}")
	}
	for _, beh := range cur.Behaviours {
		textOfBehaviour(put, beh)
	}
	return b.String()
}

func textOfBehaviour(put func(string, ...any), b *curriculum.Behaviour) {
	put("behaviour %s {", b.Name)
	if len(b.Formerly) > 0 {
		put("  formerly %s", strings.Join(b.Formerly, ", "))
	}
	for _, n := range b.Needs {
		firmly := ""
		if n.Firmly {
			firmly = "firmly "
		}
		switch {
		case n.Dog != nil:
			put("  needs %sdog { %s }", firmly, strings.ReplaceAll(n.Dog.Text, "dog.", ""))
		case n.Step == "":
			put("  needs %s%s", firmly, n.Other)
		default:
			put("  needs %s%s at %s %s", firmly, n.Other, n.Step, n.Level)
		}
	}
	for _, s := range b.Steps {
		textOfStep(put, s)
	}
	if len(b.Review) > 0 {
		var gaps []string
		for _, q := range b.Review {
			gaps = append(gaps, q.String())
		}
		put("  review after %s", strings.Join(gaps, ", "))
	}
	for _, r := range b.Lapse {
		put("  %s", textOfRule(r))
	}
	put("}")
}

func textOfStep(put func(string, ...any), s *curriculum.Step) {
	put("  step %s {", s.Name)
	for _, l := range []struct {
		word string
		list []string
	}{{"formerly", s.Formerly}, {"prompt", s.Prompts}, {"help", s.Help}} {
		if len(l.list) > 0 {
			put("    %s %s", l.word, strings.Join(l.list, ", "))
		}
	}
	for _, r := range s.Ramps {
		var values []string
		for _, v := range r.Values {
			if v.Thin != nil {
				values = append(values, v.Thin.Value.String())
				continue
			}
			values = append(values, v.String())
		}
		if r.Of == curriculum.ThinRamp {
			put("    thin variable ratio %s", strings.Join(values, ", "))
			continue
		}
		grain := ""
		if !r.Grain.IsZero() {
			grain = " grain " + r.Grain.String()
		}
		if r.Varied {
			grain += " varied"
		}
		put("    ramp %s %s%s", r.Of, strings.Join(values, ", "), grain)
	}
	if s.Raise.OneAtATime {
		put("    raise one at a time lowering others by %d levels", s.Raise.LowerBy)
	}
	if s.Decide.EveryTrials > 0 {
		put("    decide every %d trials", s.Decide.EveryTrials)
	}
	if s.Decide.EachSession {
		put("    decide each session")
	}
	for _, r := range s.Rules {
		put("    %s", textOfRule(r))
	}
	put("  }")
}

func textOfRule(r curriculum.Rule) string {
	t := string(r.Word)
	if r.Word == curriculum.StopToday {
		t = "stop today"
	}
	if r.To != "" {
		t += " to " + r.To
	}
	if r.ToFirst {
		t += " first level"
	}
	for i, p := range r.Into {
		t += map[bool]string{true: " into ", false: ", "}[i == 0] + fmt.Sprintf("%q", p)
	}
	return t + " when " + curriculum.CriterionNames(r.When)
}
