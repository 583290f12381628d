package proof

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

const (
	codeCircle       = "circle"
	codeNeedsNever   = "needs-against-never"
	codeUnequalDoors = "unequal-doors"
	codeIdleWish     = "idle-wish"
)

var doorCodes = []codeEntry{
	{
		Code: codeCircle, Severity: Error, Title: "behaviours that wait for each other",
		Means:    "Each waits until another has begun, and so round to the first: none of them can ever begin, nor can what waits for them. Take out the need that matters least.",
		Faulty:   "rung 1\nbehaviour hold {\n  needs bring at alone\n  step still \"held 3 s\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\nbehaviour bring {\n  needs hold at still\n  step alone \"brought within 9 s\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
		Repaired: "rung 1\nbehaviour hold {\n  step still \"held 3 s\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\nbehaviour bring {\n  needs hold at still\n  step alone \"brought within 9 s\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
	},
	{
		Code: codeNeedsNever, Severity: Warning, Title: "needs what it may not meet",
		Means: "One behaviour is built on another and may not be worked in one session with it, although the door already asks the other to be past the step that would let them meet. " +
			"One of the two lines is not meant: what is easily confused is kept apart while both are new, and what is built upon is warmed up with it.",
		Faulty:   "rung 1\nbehaviour pull {\n  needs shut at alone\n  never with shut until alone\n  step tug \"tugs once\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step alone \"opens 10 cm\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\nbehaviour shut {\n  step alone \"shuts it from 10 cm\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
		Repaired: "rung 1\nbehaviour pull {\n  never with shut until alone\n  step tug \"tugs once\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step alone \"opens 10 cm\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\nbehaviour shut {\n  step alone \"shuts it from 10 cm\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
	},
	{
		Code: codeUnequalDoors, Severity: Warning, Title: "a pair with unequal doors",
		Means: "The two are to grow up side by side, yet they do not wait for the same things: one stands still at its limit of steps ahead until the other's door opens. " +
			"Where one of the pair needs the other itself, further on than the pair may be apart, neither ever moves. Give both the same needs.",
		Faulty:   "rung 1\nbehaviour take {\n  pairs with give within 2 steps\n  step go \"closes its mouth\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\nbehaviour give {\n  needs nose at go\n  pairs with take within 2 steps\n  step go \"opens its mouth\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\nbehaviour nose {\n  step go \"touches the palm\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
		Repaired: "rung 1\nbehaviour take {\n  needs nose at go\n  pairs with give within 2 steps\n  step go \"closes its mouth\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\nbehaviour give {\n  needs nose at go\n  pairs with take within 2 steps\n  step go \"opens its mouth\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\nbehaviour nose {\n  step go \"touches the palm\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
	},
	{
		Code: codeIdleWish, Severity: Warning, Title: "a wish that changes nothing",
		Means:    "The behaviour would rather come after another that itself waits for it, or that it waits for anyway, or that has the same wish of it. A wish counts until the other has begun, so this one weighs in no plan, or in both ways alike: turn it round, or take it out.",
		Faulty:   "rung 1\nbehaviour nose {\n  better after lead\n  step go \"touches the palm\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\nbehaviour lead {\n  needs nose at go\n  step go \"walks 5 m\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
		Repaired: "rung 1\nbehaviour nose {\n  step go \"touches the palm\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\nbehaviour lead {\n  needs nose at go\n  step go \"walks 5 m\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
	},
}

var doorChecks = []check{
	{[]string{codeCircle}, (*subject).circles},
	{[]string{codeNeedsNever}, (*subject).needsAgainstNever},
	{[]string{codeUnequalDoors}, (*subject).unequalDoors},
	{[]string{codeIdleWish}, (*subject).idleWishes},
}

// edge is one need on another behaviour.
type edge struct {
	from, to *curriculum.Behaviour
	need     *curriculum.Need
}

// edges lists the needs of a behaviour on others, in the order of the text.
func (s *subject) edges(b *curriculum.Behaviour) []edge {
	var out []edge
	for i := range b.Needs {
		n := &b.Needs[i]
		if n.Other == "" {
			continue
		}
		if o := s.c.Behaviour(n.Other); o != nil {
			out = append(out, edge{b, o, n})
		}
	}
	return out
}

// waitsFor is how a behaviour comes to wait for another, the shortest way: the needs from one to the next; nil where it
// does not. From a behaviour to itself it is the shortest circle.
func (s *subject) waitsFor(from, to *curriculum.Behaviour) []edge {
	type way struct {
		at   *curriculum.Behaviour
		path []edge
	}
	seen := map[*curriculum.Behaviour]bool{}
	for queue := []way{{from, nil}}; len(queue) > 0; queue = queue[1:] {
		for _, e := range s.edges(queue[0].at) {
			path := append(slices.Clone(queue[0].path), e)
			if e.to == to {
				return path
			}
			if !seen[e.to] {
				seen[e.to] = true
				queue = append(queue, way{e.to, path})
			}
		}
	}
	return nil
}

// circles reports each circle of needs once, at the first behaviour in it. No step or level matters here: whoever
// stands anywhere has begun, and to begin all its doors must have been open.
func (s *subject) circles() {
	done := map[*curriculum.Behaviour]bool{}
	for _, b := range s.c.Behaviours {
		if done[b] {
			continue
		}
		path := s.waitsFor(b, b)
		if path == nil {
			continue
		}
		var waits []string
		f := Finding{Code: codeCircle, Pos: path[0].need.Pos, Behaviour: b.Name, Answer: Disproved}
		for i, e := range path {
			done[e.from] = true
			waits = append(waits, fmt.Sprintf("%s waits for %s", e.from.Name, needText(e.need)))
			if i > 0 {
				f.With = append(f.With, e.from.Name)
				f.Related = append(f.Related, Related{e.need.Pos, e.from.Name + " waits here"})
			}
		}
		f.Text = strings.Join(waits, ", ") + ": none of them can ever begin"
		f.Help = "take out one of these needs"
		s.report(f)
	}
}

// needText is "hold at still", or "hold kept".
func needText(n *curriculum.Need) string {
	if n.Step == "" {
		return n.Other + " to be kept"
	}
	out := n.Other + " at " + n.Step
	if len(n.Level) > 0 {
		out += " " + n.Level.String()
	}
	return out
}

// needsAgainstNever looks for a behaviour that needs another beyond the step until which the two must not meet.
func (s *subject) needsAgainstNever() {
	for _, b := range s.c.Behaviours {
		for _, e := range s.edges(b) {
			for _, never := range s.nevers(b, e.to) {
				until := e.to.Step(never.Until)
				if until < 0 || e.need.Step != "" && e.to.Step(e.need.Step) < until {
					continue
				}
				f := Finding{Code: codeNeedsNever, Pos: never.Pos, Behaviour: b.Name, With: []string{e.to.Name}, Answer: Disproved}
				f.Text = fmt.Sprintf("%s needs %s and may not meet it until %s: it is built on what it is kept from", b.Name, needText(e.need), never.Until)
				f.Help = "take out the need, or let them meet"
				f.Related = []Related{{e.need.Pos, "it is needed here"}}
				s.report(f)
			}
		}
	}
}

// nevers lists what keeps two behaviours apart, said in the one or in the other.
func (s *subject) nevers(a, b *curriculum.Behaviour) []curriculum.NeverWith {
	var out []curriculum.NeverWith
	for _, n := range a.NeverWith {
		if s.c.Behaviour(n.Other) == b {
			out = append(out, n)
		}
	}
	if len(out) > 0 {
		return out // said in both, it is one mistake
	}
	for _, n := range b.NeverWith {
		if s.c.Behaviour(n.Other) == a {
			out = append(out, n)
		}
	}
	return out
}

// unequalDoors compares what the two of each pair wait for.
func (s *subject) unequalDoors() {
	done := map[[2]*curriculum.Behaviour]bool{}
	for _, b := range s.c.Behaviours {
		for _, pair := range b.Pairs {
			o := s.c.Behaviour(pair.Other)
			if o == nil || done[[2]*curriculum.Behaviour{o, b}] {
				continue
			}
			done[[2]*curriculum.Behaviour{b, o}] = true
			f := Finding{Code: codeUnequalDoors, Pos: pair.Pos, Behaviour: b.Name, With: []string{o.Name}, Answer: Disproved}
			mine, theirs := s.doors(b, o), s.doors(o, b)
			switch only, whose, more := difference(mine, theirs, b, o); {
			case s.apart(b, o, pair.Within) != "":
				f.Text = s.apart(b, o, pair.Within)
				f.Help = "let the pair be further apart, or need an earlier step"
			case only != "":
				f.Text = fmt.Sprintf("%s and %s are a pair, but only %s waits for %s", b.Name, o.Name, whose.Name, only)
				f.Help = fmt.Sprintf("give %s the same need, or take it out", other(whose, b, o).Name)
				if more.Line > 0 {
					f.Related = []Related{{more, "it waits here"}}
				}
			default:
				continue
			}
			s.report(f)
		}
	}
}

// door is a need in words, with its place.
type door struct {
	text string
	at   curriculum.Pos
}

// doors lists what a behaviour waits for, but for its partner.
func (s *subject) doors(b, partner *curriculum.Behaviour) []door {
	var out []door
	for i := range b.Needs {
		n := &b.Needs[i]
		if n.Other != "" && s.c.Behaviour(n.Other) == partner {
			continue
		}
		text := "a dog of which { }"
		if n.Dog != nil {
			text = "{ " + strings.TrimSpace(n.Dog.Text) + " }"
		}
		if n.Other != "" {
			text = needText(n)
		}
		out = append(out, door{text, n.Pos})
	}
	return out
}

// difference is the first door that one of two has and the other has not.
func difference(mine, theirs []door, b, o *curriculum.Behaviour) (text string, whose *curriculum.Behaviour, at curriculum.Pos) {
	lacks := func(ds []door, d door) bool {
		return !slices.ContainsFunc(ds, func(x door) bool { return x.text == d.text })
	}
	for _, d := range mine {
		if lacks(theirs, d) {
			return d.text, b, d.at
		}
	}
	for _, d := range theirs {
		if lacks(mine, d) {
			return d.text, o, d.at
		}
	}
	return "", nil, curriculum.Pos{}
}

func other(of, a, b *curriculum.Behaviour) *curriculum.Behaviour {
	if of == a {
		return b
	}
	return a
}

// apart says where one of a pair needs the other further on than the pair may be apart.
func (s *subject) apart(a, b *curriculum.Behaviour, within int) string {
	for _, way := range [][2]*curriculum.Behaviour{{a, b}, {b, a}} {
		for _, e := range s.edges(way[0]) {
			if e.to != way[1] {
				continue
			}
			at := len(e.to.Steps)
			if e.need.Step != "" {
				at = e.to.Step(e.need.Step)
			}
			if at > within+1 { // the last step in between is where it is left out
				return fmt.Sprintf("%s needs %s, but no plan takes %s more than %s ahead of it: neither gets on",
					e.from.Name, needText(e.need), e.to.Name, plural(within, "step"))
			}
		}
	}
	return ""
}

// idleWishes looks for `better after` a behaviour that waits for this one, or that this one waits for anyway, or that
// wishes the same of this one.
func (s *subject) idleWishes() {
	for _, b := range s.c.Behaviours {
		for i, wish := range b.BetterAfter {
			o := s.c.Behaviour(wish)
			if o == nil || o == b {
				continue
			}
			f := Finding{Code: codeIdleWish, Pos: b.BetterAt(i), Behaviour: b.Name, With: []string{o.Name}, Answer: Disproved}
			mine, theirs := s.waitsFor(b, o), s.waitsFor(o, b)
			back := slices.IndexFunc(o.BetterAfter, func(name string) bool { return s.c.Behaviour(name) == b })
			switch {
			case mine != nil && theirs != nil:
				continue // a circle is worse, and said
			case theirs != nil:
				f.Text = fmt.Sprintf("%s is better after %s, but %s waits for %s", b.Name, o.Name, o.Name, b.Name)
				f.Related = []Related{{theirs[0].need.Pos, o.Name + " waits here"}}
			case mine != nil:
				f.Text = fmt.Sprintf("%s is better after %s, and waits for it anyway", b.Name, o.Name)
				f.Related = []Related{{mine[0].need.Pos, "it waits here"}}
			case back >= 0 && b.Name < o.Name: // said once for the two
				f.Text = fmt.Sprintf("%s is better after %s, and %s better after %s: one of the two always comes first", b.Name, o.Name, o.Name, b.Name)
				f.Related = []Related{{o.BetterAt(back), "and here the other way round"}}
			default:
				continue
			}
			f.Help = "take the wish out"
			s.report(f)
		}
	}
}
