package dsl

import (
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// session resolves a session block.
func (r *resolver) session(c *ctx, s *sessionStmt) {
	out := &curriculum.Session{Pos: c.pos(s.Span())}
	if s.Name != nil {
		out.Name = s.Name.Text
		if !r.isFirst(aSession, *s.Name, c) {
			return
		}
	} else if i := slices.IndexFunc(r.out.Sessions, func(o *curriculum.Session) bool { return o.Name == "" }); i >= 0 {
		r.fault(c.spot(s.Span()), "session-doubled")
		return
	}
	first := map[string]spot{}
	once := func(what string, at spot) bool {
		if before, twice := first[what]; twice {
			r.fault(at, "line-doubled", what).relate(before, "first-here")
			return false
		}
		first[what] = at
		return true
	}
	for _, stmt := range s.Body {
		r.sessionLine(c.at(stmt), out, stmt, once)
	}
	r.out.Sessions = append(r.out.Sessions, out)
}

func (r *resolver) sessionLine(c *ctx, out *curriculum.Session, stmt statement, once func(string, spot) bool) {
	word := func(w string) spot {
		at := c.spot(stmt.Span())
		at.span.To = at.span.From + len(w)
		return at
	}
	switch n := stmt.(type) {
	case *lastsStmt:
		if once("lasts", word("lasts")) {
			out.Lasts, _ = r.positive(c, n.Time, curriculum.Time, "the time a session lasts")
		}
	case *limitStmt:
		for i := range n.Limits {
			r.limit(c, out, &n.Limits[i], once)
		}
	case *slotStmt:
		if once(n.Word.Value, word(n.Word.Value)) {
			slot := curriculum.Slot{Known: n.Known != nil, Pos: c.pos(n.Span())}
			if n.Behaviour != nil && r.known(aBehaviour, n.Behaviour.Text, c.spot(n.Behaviour.Span)) {
				slot.Behaviour = n.Behaviour.Text
			}
			if n.Word.Value == "opens" {
				out.OpensWith = slot
			} else {
				out.ClosesWith = slot
			}
		}
	case *extrasStmt:
		if once("extras", word("extras")) {
			out.Extras, _ = r.share(c, n.Share, false)
			out.ExtrasPos = c.pos(n.Span())
		}
	case *awayStmt:
		r.away(c, out, n)
	}
}

func (r *resolver) limit(c *ctx, out *curriculum.Session, n *limit, once func(string, spot) bool) {
	to, what := &out.MaxTrials, "trials"
	switch {
	case n.New != nil:
		to, what = &out.MaxNew, "new behaviours"
	case n.InARow != nil:
		to, what = &out.MaxInARow, "in a row of one behaviour"
	case n.Behaviours != nil:
		to, what = &out.MaxBehaviours, "behaviours"
	case n.PerOne != nil:
		to, what = &out.MaxPerBehaviour, "trials of one behaviour"
	}
	k, ok := r.count(c, n.N, 1)
	if once("at most ... "+what, c.spot(n.Span())) && ok {
		*to = k
	}
}

func (r *resolver) away(c *ctx, out *curriculum.Session, n *awayStmt) {
	days, ok := r.days(c, n.After, "the time away")
	away := curriculum.Away{Days: days, Levels: r.levels(c, n.By), Pos: c.pos(n.Span())}
	if !ok || away.Levels == 0 {
		return
	}
	for _, before := range out.Away {
		if before.Days == days {
			r.fault(c.spot(n.After.Span), "line-doubled", valueText(n.After))
			return
		}
	}
	out.Away = append(out.Away, away)
}

// orderSessions puts the unnamed session first.
func (r *resolver) orderSessions() {
	slices.SortStableFunc(r.out.Sessions, func(a, b *curriculum.Session) int {
		switch {
		case a.Name == "" && b.Name != "":
			return -1
		case b.Name == "" && a.Name != "":
			return 1
		}
		return 0
	})
}

// example resolves an example block.
func (r *resolver) example(c *ctx, s *exampleStmt) {
	out := curriculum.Example{Name: s.Name.Text, Pos: c.pos(s.Span())}
	for _, stmt := range s.Body {
		c := c.at(stmt)
		item := curriculum.ExampleItem{Pos: c.pos(stmt.Span())}
		var ok bool
		switch n := stmt.(type) {
		case *tallyStmt:
			item.Trials, ok = r.tally(c, n)
		case *exampleSessionStmt:
			item.Session, ok = r.exampleSession(c, n)
		case *expectStmt:
			item.Expect, ok = r.expect(c, n)
		}
		if ok {
			out.Items = append(out.Items, item)
		}
	}
	r.out.Examples = append(r.out.Examples, out)
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

func (r *resolver) tally(c *ctx, n *tallyStmt) (*curriculum.ExampleTrials, bool) {
	b, s, ref, ok := r.place(c, n.Behaviour, n.Step, n.Level)
	out := &curriculum.ExampleTrials{Behaviour: b, Step: s, Level: ref}
	for _, m := range n.Marks {
		mark, good := r.mark(c, m)
		out.Marks, ok = append(out.Marks, mark), ok && good
	}
	return out, ok
}

func (r *resolver) mark(c *ctx, n mark) (curriculum.Mark, bool) {
	m := curriculum.Mark{}
	switch n.Sign.Value {
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

var states = []string{string(curriculum.Open), string(curriculum.Waiting), string(curriculum.Working), string(curriculum.Kept), string(curriculum.Lapsed), string(curriculum.Paused)}

func (r *resolver) expect(c *ctx, n *expectStmt) (*curriculum.Expectation, bool) {
	out := &curriculum.Expectation{}
	if other := n.Has; other != nil || n.Leaves != nil {
		out.Plan = true
		if other == nil {
			other, out.LeftOut = n.Leaves, true
		}
		if n.Because != nil {
			out.Because = n.Because.Text
		}
		out.Behaviour = other.Text
		return out, r.known(aBehaviour, other.Text, c.spot(other.Span))
	}
	var ok bool
	out.Behaviour, out.Step, out.Level, ok = r.place(c, n.Behaviour, n.Step, n.Level)
	switch {
	case n.State != nil:
		out.State = curriculum.State(n.State.Text)
		if !slices.Contains(states, n.State.Text) {
			r.unknown("state", n.State.Text, c.spot(n.State.Span), states, "one-of", strings.Join(states, ", "))
			ok = false
		}
	case n.Notes != nil:
		out.Noted = n.Notes.Value
	}
	return out, ok
}
