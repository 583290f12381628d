package dsl

import (
	"math"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// example resolves an example block.
func (r *resolver) example(c *ctx, s *exampleStmt) {
	out := curriculum.Example{Name: s.Name.Text, Pos: c.pos(s.Span())}
	var dog *spot
	begun := false
	for _, stmt := range s.Body {
		c := c.at(stmt)
		item := curriculum.ExampleItem{Pos: c.pos(stmt.Span())}
		var ok bool
		switch n := stmt.(type) {
		case *dogStmt:
			at := c.spot(n.Span())
			at.span.To = at.span.From + len("dog")
			switch {
			case dog != nil:
				r.fault(at, "line-doubled", "dog").relate(*dog, "first-here")
			case begun:
				r.fault(at, "dog-late")
			default:
				dog = &at
				item.Dog, ok = r.exampleDog(c, n)
			}
		case *startStmt:
			begun = true
			item.Start, ok = r.exampleStart(c, n)
		case *tallyStmt:
			begun = true
			item.Trials, ok = r.tally(c, n.Behaviour, n.Step, n.Level, n.Marks)
		case *caseStmt:
			begun = true
			item.Case, ok = r.exampleCase(c, n)
		case *exampleSessionStmt:
			begun = true
			item.Session, ok = r.exampleSession(c, n)
		case *exampleSignStmt:
			begun = true
			if n.Word.Value == "clear" {
				item.Clear, ok = r.exampleSign(c, n)
			} else {
				item.Sign, ok = r.exampleSign(c, n)
			}
		case *expectStmt:
			begun = true
			item.Expect, ok = r.expect(c, n)
		}
		if ok {
			out.Items = append(out.Items, item)
		}
	}
	r.out.Examples = append(r.out.Examples, out)
}

// exampleDog resolves what is said of the dog.
func (r *resolver) exampleDog(c *ctx, n *dogStmt) (*curriculum.ExampleDog, bool) {
	out, ok := &curriculum.ExampleDog{}, true
	first := map[string]spot{}
	once := func(what string, at spot) bool {
		if before, twice := first[what]; twice {
			r.fault(at, "line-doubled", what).relate(before, "first-here")
			return false
		}
		first[what] = at
		return true
	}
	for i := range n.Parts {
		p := &n.Parts[i]
		at := c.spot(p.Span())
		good := true
		switch {
		case p.Amount != nil:
			good = r.dogAmount(c, out, p, once)
		case p.Avoids != nil:
			out.Avoid = append(out.Avoid, p.Avoids.Text)
			good = once("avoids "+p.Avoids.Text, at) && r.eaten(p.Avoids.Text, c.spot(p.Avoids.Span))
		case p.Senses != nil:
			out.Cues = append(out.Cues, p.Senses.Text)
			good = once("senses "+p.Senses.Text, at) && r.cueKind(p.Senses.Text, c.spot(p.Senses.Span))
		case p.Neutered != nil:
			out.Neutered, good = curriculum.Yes, once("neutered", at)
		case p.Intact != nil:
			out.Neutered, good = curriculum.No, once("neutered", at)
		case p.Profile != nil:
			out.Profile, good = p.Profile.Text, once("a name", at)
		}
		ok = ok && good
	}
	return out, ok
}

// dogAmount resolves an age or a weight.
func (r *resolver) dogAmount(c *ctx, out *curriculum.ExampleDog, p *dogPart, once func(string, spot) bool) bool {
	v, at := p.Amount.value, c.spot(p.Span())
	switch {
	case p.Months != nil:
		n, ok := r.count(c, v, 1)
		out.AgeMonths = n
		return once("the age", at) && ok
	case p.Old != nil:
		q, ok := r.positive(c, v, curriculum.Time, "the age")
		if days := q.In(curriculum.Day); ok && (q.Unit != curriculum.Day && q.Unit != curriculum.Week || days != math.Trunc(days)) {
			r.fault(c.spot(v.Span), "dog-age", valueText(v))
			return false
		}
		if ok {
			out.AgeDays = int(q.In(curriculum.Day))
		}
		return once("the age", at) && ok
	}
	q, ok := r.positive(c, v, curriculum.Mass, "the weight")
	if p.Grown != nil {
		out.AdultWeightKg = q.In(curriculum.Kilogram)
		return once("the grown weight", at) && ok
	}
	out.WeightKg = q.In(curriculum.Kilogram)
	return once("the weight", at) && ok
}

// eaten reports whether a food or something in one has that name.
func (r *resolver) eaten(name string, at spot) bool {
	var known []string
	for _, f := range r.out.Foods {
		known = append(append(known, f.Name), f.Contains...)
	}
	if slices.Contains(known, name) {
		return true
	}
	r.unknown("food or ingredient", name, at, known, "one-of", strings.Join(known, ", "))
	return false
}

// cueKind reports whether some behaviour has a cue of that kind.
func (r *resolver) cueKind(name string, at spot) bool {
	known := []string{}
	for _, b := range r.out.Behaviours {
		cues := b.Sheet.Cues
		for _, s := range b.Steps {
			cues = append(slices.Clip(cues), s.Sheet.Cues...)
		}
		for _, q := range cues {
			if !slices.Contains(known, q.Kind) {
				known = append(known, q.Kind)
			}
		}
	}
	if slices.Contains(known, name) {
		return true
	}
	r.unknown("kind of cue", name, at, known, "one-of", strings.Join(known, ", "))
	return false
}

func (r *resolver) exampleStart(c *ctx, n *startStmt) (*curriculum.ExampleStart, bool) {
	b, s, ref, ok := r.place(c, n.Behaviour, n.Step, n.Level)
	return &curriculum.ExampleStart{Behaviour: b, Step: s, Level: ref, Kept: n.Kept != nil}, ok
}

// place resolves a behaviour and, where one is named, its step and level.
func (r *resolver) place(c *ctx, behaviour name, step *name, level []levelPart) (b, s string, ref curriculum.LevelRef, ok bool) {
	b = behaviour.Text
	if !r.known(aBehaviour, b, c.spot(behaviour.Span)) {
		return b, "", nil, false
	}
	if step == nil {
		return b, "", nil, true
	}
	w := r.behaviours[b]
	i := r.knownStep(w, step.Text, c.spot(step.Span))
	if i < 0 {
		return b, "", nil, false
	}
	ref, ok = r.levelRef(c, w.drafts[i], level, true)
	return b, step.Text, ref, ok
}

func (r *resolver) tally(c *ctx, behaviour name, step *name, level []levelPart, marks []mark) (*curriculum.ExampleTrials, bool) {
	b, s, ref, ok := r.place(c, behaviour, step, level)
	out := &curriculum.ExampleTrials{Behaviour: b, Step: s, Level: ref}
	for _, m := range marks {
		mark, good := r.mark(c, m)
		out.Marks, ok = append(out.Marks, mark), ok && good
	}
	return out, ok
}

func (r *resolver) exampleCase(c *ctx, n *caseStmt) (*curriculum.ExampleCase, bool) {
	trials, ok := r.tally(c, n.Behaviour, n.Step, n.Level, n.Marks)
	out := &curriculum.ExampleCase{ExampleTrials: *trials}
	for i := range n.Then {
		p := &n.Then[i]
		e, good := r.expected(c, n.Behaviour, p.Step, p.Level, p.State, p.No, p.Notes)
		e.Pos = c.pos(p.Span())
		out.Then, ok = append(out.Then, *e), ok && good
	}
	return out, ok
}

func (r *resolver) mark(c *ctx, n mark) (curriculum.Mark, bool) {
	m := curriculum.Mark{Pos: c.pos(n.Span())}
	switch n.Sign.Value {
	case "|", "||":
		m.Bar = curriculum.Bar(len(n.Sign.Value))
		if len(n.Measured) > 0 {
			r.fault(c.spot(n.Measured[0].Span()), "bar-measured")
			return m, false
		}
	case "+":
		m.Outcome = curriculum.Success
	case "h":
		m.Outcome, m.Help = curriculum.Success, curriculum.LateHelp
	case "e":
		m.Outcome, m.Help = curriculum.Success, curriculum.EarlyHelp
	case "-":
		m.Outcome = curriculum.Wrong
	case "0":
		m.Outcome = curriculum.Silent
	case "o!":
		m.Outcome = curriculum.OptOut
	case "x":
		m.Outcome = curriculum.Void
	}
	ok := true
	for _, p := range n.Measured {
		if p.Paid != nil {
			if m.Rewarded != curriculum.NotSaid {
				r.fault(c.spot(p.Span()), "paid-twice")
				ok = false
			}
			m.Rewarded = map[string]curriculum.YesNo{"rewarded": curriculum.Yes, "unrewarded": curriculum.No}[p.Paid.Value]
			continue
		}
		name, dim, good := r.measure(c, p.Name)
		if !good {
			ok = false
			continue
		}
		unit := r.measureUnit(name)
		q, good := r.bareOr(c, p.Value, dim, unit, name)
		if !good {
			ok = false
			continue
		}
		m.Measures = append(m.Measures, curriculum.MeasureValue{Name: name, Value: q.In(unit)})
	}
	return m, ok
}

// bareOr is a quantity; a number without a unit is in the measure's own.
func (r *resolver) bareOr(c *ctx, v value, dim curriculum.Dimension, unit curriculum.Unit, thing string) (curriculum.Quantity, bool) {
	if v.Number != "" && v.Unit == "" {
		v.Unit = string(unit)
	}
	return r.quantity(c, v, dim, thing)
}

func (r *resolver) exampleSession(c *ctx, n *exampleSessionStmt) (*curriculum.ExampleSession, bool) {
	out, ok := &curriculum.ExampleSession{}, true
	if n.After != nil {
		out.AfterDays, ok = r.days(c, *n.After, "the pause")
	}
	if n.Place != nil {
		out.Place = n.Place.Text
		ok = r.known(aPlace, out.Place, c.spot(n.Place.Span)) && ok
	}
	if n.Handler != nil {
		out.Handler = n.Handler.Text
		ok = r.known(aHandler, out.Handler, c.spot(n.Handler.Span)) && ok
	}
	return out, ok
}

// exampleSign resolves a sign that is seen or cleared.
func (r *resolver) exampleSign(c *ctx, n *exampleSignStmt) (*curriculum.ExampleSign, bool) {
	out := &curriculum.ExampleSign{Name: n.Name.Text}
	ok := r.known(aSign, out.Name, c.spot(n.Name.Span))
	if n.Behaviour != nil {
		out.Behaviour = n.Behaviour.Text
		ok = r.known(aBehaviour, out.Behaviour, c.spot(n.Behaviour.Span)) && ok
	}
	switch {
	case n.ByText != nil:
		out.By = n.ByText.Text
	case n.ByName != nil:
		out.By = n.ByName.Text
	}
	if n.Word.Value == "clear" && strings.TrimSpace(out.By) == "" {
		r.fault(c.spot(n.Span()), "clear-nobody", out.Name)
		ok = false
	}
	return out, ok
}

var states = []string{string(curriculum.Open), string(curriculum.Waiting), string(curriculum.Working), string(curriculum.Kept), string(curriculum.Lapsed), string(curriculum.Paused)}

func (r *resolver) expect(c *ctx, n *expectStmt) (*curriculum.Expectation, bool) {
	if other := n.Has; other != nil || n.Leaves != nil {
		out := &curriculum.Expectation{Plan: true, Pos: c.pos(n.Span())}
		if other == nil {
			other, out.LeftOut = n.Leaves, true
		}
		if n.Because != nil {
			out.Because = n.Because.Text
		}
		out.Behaviour = other.Text
		return out, r.known(aBehaviour, other.Text, c.spot(other.Span))
	}
	out, ok := r.expected(c, n.Behaviour, n.Step, n.Level, n.State, n.No, n.Notes)
	out.Pos = c.pos(n.Span())
	return out, ok
}

// expected resolves what is expected of a behaviour.
func (r *resolver) expected(c *ctx, behaviour name, step *name, level []levelPart, state *name, no, notes *token) (*curriculum.Expectation, bool) {
	out := &curriculum.Expectation{}
	var ok bool
	out.Behaviour, out.Step, out.Level, ok = r.place(c, behaviour, step, level)
	switch {
	case state != nil:
		out.State = curriculum.State(state.Text)
		if !slices.Contains(states, state.Text) {
			r.unknown("state", state.Text, c.spot(state.Span), states, "one-of", strings.Join(states, ", "))
			ok = false
		}
	case notes != nil:
		out.Noted, out.Not = notes.Value, no != nil
	}
	return out, ok
}
