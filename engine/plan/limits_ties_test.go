package plan_test

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

func brokenTies(a, b *engine.BehaviourView) (faults []string) {
	for _, n := range a.Behaviour.NeverWith {
		if n.Other != b.Behaviour.Name {
			continue
		}
		for _, x := range []*engine.BehaviourView{a, b} {
			begun := x.State == curriculum.Working || x.State == curriculum.Lapsed
			if x.State != curriculum.Kept && (!begun || x.Behaviour.Step(n.Until) < 0 || x.Step < x.Behaviour.Step(n.Until)) {
				faults = append(faults, fmt.Sprintf("%s with %s, %s is not at %s yet", a.Behaviour.Name, b.Behaviour.Name, x.Behaviour.Name, n.Until))
			}
		}
	}
	return faults
}

func brokenPair(in, o *engine.BehaviourView) (faults []string) {
	if in.State == curriculum.Kept || o.State == curriculum.Kept {
		return nil
	}
	for _, x := range [][2]*engine.BehaviourView{{in, o}, {o, in}} {
		for _, k := range x[0].Behaviour.Pairs {
			if k.Other == x[1].Behaviour.Name && in.Step-o.Step > k.Within {
				faults = append(faults, fmt.Sprintf("%s is ahead of %s by more than %d", in.Behaviour.Name, o.Behaviour.Name, k.Within))
			}
		}
	}
	return faults
}

// brokenTurns wants the trials of a pair together over seven days, and turns where both are in with many.
func brokenTurns(a, b *engine.BehaviourView, n, m int, p *sheet) (faults []string) {
	if slices.ContainsFunc(p.LeftOut, func(l struct{ Behaviour, Reason, Code string }) bool {
		return l.Behaviour == b.Behaviour.Name && !slices.Contains([]string{"minutes", "food", "limit", "new-limit", "never-with", "not-due", "success", "balance"}, l.Code)
	}) {
		return nil // the partner is not to be had
	}
	before, after := a.Trials7Days-b.Trials7Days, a.Trials7Days+n-b.Trials7Days-m
	if len(brokenTies(a, b))+len(brokenTies(b, a)) > 0 { // never in one session: by sessions in turn
		if n > 0 && before > 0 {
			faults = append(faults, fmt.Sprintf("%s is in, and %s behind by %d", a.Behaviour.Name, b.Behaviour.Name, before))
		}
		return faults
	}
	if abs(after) > max(2, abs(before)) {
		faults = append(faults, fmt.Sprintf("%s and %s drift apart: %d before, %d after", a.Behaviour.Name, b.Behaviour.Name, before, after))
	}
	for name, k := range map[string]int{a.Behaviour.Name: n, b.Behaviour.Name: m} {
		items := 0
		for _, it := range p.Items {
			if it.Behaviour == name {
				items++
			}
		}
		if n > 0 && m > 0 && k >= 4 && items < 2 {
			faults = append(faults, name+" takes no turns")
		}
	}
	return faults
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}

// brokenSlots wants the first and last place filled as the session says, or a note that says why not.
func brokenSlots(s *curriculum.Session, v *engine.DogView, p *sheet, trials map[string]int) (faults []string) {
	if len(p.Referral) > 0 || v.SessionEnded {
		return nil
	}
	anyKept := false
	known := map[string]bool{}
	for _, b := range v.Behaviours {
		if b.State == curriculum.Kept {
			known[b.Behaviour.Name] = true
			anyKept = anyKept || trials[b.Behaviour.Name] > 0
		}
	}
	for _, slot := range []struct {
		word string
		at   curriculum.Slot
		item int
	}{{"Opens with", s.OpensWith, 0}, {"Closes with", s.ClosesWith, len(p.Items) - 1}} {
		if slot.at.IsZero() {
			continue
		}
		noted := slices.ContainsFunc(p.Notes, func(n string) bool {
			return strings.HasPrefix(n, slot.word) || strings.HasPrefix(n, "Opens and closes with")
		})
		if len(p.Items) == 0 {
			if !noted {
				faults = append(faults, slot.word+": no item and no note")
			}
			continue
		}
		is := p.Items[slot.item].Behaviour
		right := slot.at.Behaviour == is || slot.at.Known && known[is]
		if !right && !noted {
			faults = append(faults, slot.word+" "+is+" and no note")
		}
		if right && noted {
			faults = append(faults, slot.word+" is filled and noted as not")
		}
	}
	return faults
}
