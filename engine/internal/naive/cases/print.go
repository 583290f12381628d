package cases

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// String is the case for a person to read: the curriculum in the language's own spelling, with each rule's line, and
// the history a line a trial.
func (c *Case) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "seed %d\n", c.Seed)
	for _, s := range c.Curriculum.Sessions {
		for _, a := range s.Away {
			fmt.Fprintf(&b, "session { after %d days away ease %d levels }  # line %d\n", a.Days, a.Levels, a.Pos.Line)
		}
	}
	for _, beh := range c.Curriculum.Behaviours {
		printBehaviour(&b, beh)
	}
	for _, d := range c.Dogs {
		fmt.Fprintf(&b, "dog %s born %s %g kg\n", d.Name, d.Born.Format("2006-01-02"), d.WeightKg)
	}
	for i := range c.Entries {
		b.WriteString(line(&c.Entries[i]) + "\n")
	}
	fmt.Fprintf(&b, "now %s\n", c.Now.Format("01-02T15:04:05-07:00"))
	return b.String()
}

func printBehaviour(b *strings.Builder, beh *curriculum.Behaviour) {
	fmt.Fprintf(b, "behaviour %s {", beh.Name)
	for _, f := range beh.Formerly {
		fmt.Fprintf(b, " formerly %s", f)
	}
	b.WriteString("\n")
	for _, n := range beh.Needs {
		firm := ""
		if n.Firmly {
			firm = "firmly "
		}
		switch {
		case n.Dog != nil:
			fmt.Fprintf(b, "  needs %sdog { %s }\n", firm, n.Dog.Text)
		case n.Step == "":
			fmt.Fprintf(b, "  needs %s%s\n", firm, n.Other)
		default:
			fmt.Fprintf(b, "  needs %s%s at %s %s\n", firm, n.Other, n.Step, n.Level)
		}
	}
	for i, q := range beh.Review {
		fmt.Fprintf(b, "  review %d after %s\n", i+1, q)
	}
	for _, s := range beh.Steps {
		fmt.Fprintf(b, "  step %s {", s.Name)
		for _, f := range s.Formerly {
			fmt.Fprintf(b, " formerly %s", f)
		}
		if len(s.Prompts) > 0 {
			fmt.Fprintf(b, "  prompt %s", strings.Join(s.Prompts, ", "))
		}
		b.WriteString("\n")
		for _, r := range s.Ramps {
			var vs []string
			for _, v := range r.Values {
				vs = append(vs, v.String())
			}
			varied := ""
			if r.Varied {
				varied = " varied"
			}
			fmt.Fprintf(b, "    ramp %s %s grain %s%s\n", r.Of, strings.Join(vs, ", "), r.Grain, varied)
		}
		if s.Raise.LowerBy > 0 {
			fmt.Fprintf(b, "    raise one at a time lowering others by %d\n", s.Raise.LowerBy)
		}
		if s.Decide.EveryTrials > 0 {
			fmt.Fprintf(b, "    decide every %d trials\n", s.Decide.EveryTrials)
		}
		if s.Decide.EachSession {
			b.WriteString("    decide each session\n")
		}
		for _, r := range s.Rules {
			fmt.Fprintf(b, "    %s\n", ruleText(r))
		}
		b.WriteString("  }\n")
	}
	for _, r := range beh.Lapse {
		fmt.Fprintf(b, "  %s\n", ruleText(r))
	}
	b.WriteString("}\n")
}

func ruleText(r curriculum.Rule) string {
	t := string(r.Word)
	if r.To != "" {
		t += " to " + r.To
	}
	if r.ToFirst {
		t += " first level"
	}
	if len(r.Into) > 0 {
		t += fmt.Sprintf(" into %q", r.Into)
	}
	return fmt.Sprintf("%s when %s  # line %d", t, curriculum.CriterionText(r.When), r.Pos.Line)
}

func line(e *curriculum.Entry) string {
	if e.IsEvent {
		v := e.Event
		return fmt.Sprintf("%-11s %s %s %s %s %s %s %s kept=%v by %s", v.ID, v.At.Format("01-02T15:04:05-07:00"), v.Kind, v.Behaviour, v.Sign, v.Step, v.Level, v.Session, v.Kept, v.By)
	}
	t := e.Trial
	s := fmt.Sprintf("%-11s %s %-12s %s %s", t.ID, t.At.Format("01-02T15:04:05-07:00"), t.Session, t.Behaviour, t.Outcome)
	if t.Step != "" || len(t.Level) > 0 {
		s += fmt.Sprintf(" at %s [%s]", t.Step, t.Level)
	}
	if len(t.Help) > 0 || t.Early {
		s += fmt.Sprintf(" help=%v early=%v", t.Help, t.Early)
	}
	for _, m := range t.Measures {
		s += fmt.Sprintf(" %s=%g", m.Name, m.Value)
	}
	if t.Place+t.Handler != "" {
		s += " @" + t.Place + "/" + t.Handler
	}
	if t.Rewarded != curriculum.NotSaid {
		s += fmt.Sprintf(" rewarded=%v", t.Rewarded == curriculum.Yes)
	}
	return s
}

// Shrink leaves out lines, rules, needs, steps, behaviours and dogs while the case still fails. The fail function must
// say no to a case that is not valid.
func Shrink(c *Case, fails func(*Case) bool) *Case {
	best := c
	try := func(change func(*Case) bool) bool {
		n := best.Clone()
		if !change(n) || !fails(n) {
			return false
		}
		best = n
		return true
	}
	for again := true; again; {
		again = false
		for size := max(1, len(best.Entries)/2); size >= 1; size /= 2 {
			for i := 0; i+size <= len(best.Entries); {
				if !try(func(n *Case) bool { n.Entries = slices.Delete(n.Entries, i, i+size); return len(n.Entries) > 0 }) {
					i += size
				} else {
					again = true
				}
			}
		}
		for bi := len(best.Curriculum.Behaviours) - 1; bi >= 0; bi-- {
			again = try(func(n *Case) bool {
				n.Curriculum.Behaviours = slices.Delete(n.Curriculum.Behaviours, bi, bi+1)
				return len(n.Curriculum.Behaviours) > 0
			}) || again
		}
		for bi := range best.Curriculum.Behaviours {
			again = shrinkBehaviour(best, bi, try) || again
		}
		again = try(func(n *Case) bool { n.Curriculum.Sessions = nil; return len(best.Curriculum.Sessions) > 0 }) || again
	}
	return best
}

func shrinkBehaviour(best *Case, bi int, try func(func(*Case) bool) bool) bool {
	done := false
	b := best.Curriculum.Behaviours[bi]
	for i := len(b.Needs) - 1; i >= 0; i-- {
		done = try(func(n *Case) bool {
			nb := n.Curriculum.Behaviours[bi]
			nb.Needs = slices.Delete(nb.Needs, i, i+1)
			return true
		}) || done
	}
	for i := len(b.Lapse) - 1; i >= 0; i-- {
		done = try(func(n *Case) bool {
			nb := n.Curriculum.Behaviours[bi]
			nb.Lapse = slices.Delete(nb.Lapse, i, i+1)
			return true
		}) || done
	}
	for si := len(b.Steps) - 1; si >= 0; si-- {
		for i := len(b.Steps[si].Rules) - 1; i >= 0; i-- {
			done = try(func(n *Case) bool {
				s := n.Curriculum.Behaviours[bi].Steps[si]
				s.Rules = slices.Delete(s.Rules, i, i+1)
				return true
			}) || done
		}
		done = try(func(n *Case) bool {
			nb := n.Curriculum.Behaviours[bi]
			nb.Steps = slices.Delete(nb.Steps, si, si+1)
			return len(nb.Steps) > 0
		}) || done
	}
	return done
}
