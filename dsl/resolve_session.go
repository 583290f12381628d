package dsl

import (
	"slices"

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
		if out.LimitsPos.Line == 0 {
			out.LimitsPos = c.pos(n.Span())
		}
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
	case *keepStmt:
		if once("keep success", word("keep")) {
			out.Success, _ = r.share(c, n.Share, false)
			out.SuccessPos = c.pos(n.Span())
		}
	case *restStmt:
		if once("rest", word("rest")) {
			var ok bool
			if out.Rest.For, ok = r.positive(c, n.Rest, curriculum.Time, "a rest"); ok {
				out.Rest.Every, _ = r.positive(c, n.Every, curriculum.Time, "the time between two rests")
			}
			out.Rest.Pos = c.pos(n.Span())
		}
	case *warmStmt:
		if once("nothing lively", word("nothing")) {
			out.LivelyUpTo, _ = r.count(c, n.Most, 1)
		}
	case *awayStmt:
		r.away(c, out, n)
	}
}

func (r *resolver) limit(c *ctx, out *curriculum.Session, n *limit, once func(string, spot) bool) {
	if n.Impact != nil {
		k, ok := r.count(c, n.N, 1)
		if once("at most ... impact trials a "+n.Per.Value, c.spot(n.Span())) && ok {
			out.Impact = append(out.Impact, curriculum.Cap{N: k, Per: perOf(n.Per.Value), Pos: c.pos(n.Span())})
		}
		return
	}
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
