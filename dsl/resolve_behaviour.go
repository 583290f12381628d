package dsl

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// resolveBehaviours goes over all behaviours three times: their steps and levels, then their rules, which name steps,
// then their doors and neighbours, which name steps and levels of others.
func (r *resolver) resolveBehaviours() {
	for _, w := range r.works {
		r.collect(w)
		for _, d := range w.drafts {
			r.step(w, d)
		}
	}
	for _, w := range r.works {
		for _, d := range w.drafts {
			r.rules(w, d)
			w.b.Steps = append(w.b.Steps, d.step)
		}
		r.stepsFormerly(w)
		if r.behaviours[w.b.Name] == w {
			r.out.Behaviours = append(r.out.Behaviours, w.b)
		}
	}
	for _, w := range r.works {
		r.behaviour(w)
	}
	r.behavioursFormerly()
}

// behaviour resolves the lines of a behaviour that are not about its steps.
func (r *resolver) behaviour(w *behaviourWork) {
	if w.stmt.Text != nil {
		w.b.Text = w.stmt.Text.Text
	}
	first := map[string]spot{}
	w.needs = map[string]spot{}
	for _, stmt := range w.stmt.Body {
		c := w.c.at(stmt)
		if key := onceInBehaviour(stmt); key != "" {
			at := c.spot(stmt.Span())
			at.span.To = at.span.From + len(strings.Fields(key)[0])
			if before, twice := first[key]; twice {
				r.fault(at, "line-doubled", key).relate(before, "first-here")
				continue
			}
			first[key] = at
		}
		r.behaviourLine(w, c, stmt)
	}
	r.pieceDoors(w)
}

// onceInBehaviour is the word of a line that may stand once in a behaviour, or "".
func onceInBehaviour(stmt statement) string {
	switch s := stmt.(type) {
	case *cueStmt, *markStmt, *takesStmt, *wordStmt, *namesStmt:
		return lineKey(stepLine{&ctx{}, stmt})
	case *reviewStmt:
		return "review"
	case *countsStmt:
		return "counts as"
	case *betterStmt:
		return "better after"
	case *needsStmt:
		_ = s // several needs lines add up
	}
	return ""
}

func (r *resolver) behaviourLine(w *behaviourWork, c *ctx, stmt statement) {
	b := w.b
	switch n := stmt.(type) {
	case *namesStmt:
		switch n.Word.Value {
		case "equipment":
			b.Sheet.Equipment = r.declaredList(c, anEquipment, n.Names)
		case "caution":
			b.Sheet.Cautions = r.declaredList(c, aCaution, n.Names)
		case "formerly":
			b.Formerly = r.nameList(c, "former name", n.Names)
		}
	case *needsStmt:
		r.needs(w, c, n)
	case *betterStmt:
		known := r.declaredList(c, aBehaviour, n.Behaviours)
		for _, m := range n.Behaviours {
			if r.notSelf(w, c.spot(m.Span), "better after", m.Text) && slices.Contains(known, m.Text) && !slices.Contains(b.BetterAfter, m.Text) {
				b.BetterAfter, b.BetterPos = append(b.BetterAfter, m.Text), append(b.BetterPos, c.pos(m.Span))
			}
		}
	case *neverStmt:
		r.neverWith(w, c, n)
	case *pairsStmt:
		at := c.spot(n.Behaviour.Span)
		k, ok := r.count(c, n.Within, 1)
		if r.known(aBehaviour, n.Behaviour.Text, at) && r.notSelf(w, at, "pairs with", n.Behaviour.Text) && ok {
			b.Pairs = append(b.Pairs, curriculum.Pair{Other: n.Behaviour.Text, Within: k, Pos: c.pos(n.Span())})
		}
	case *reviewStmt:
		r.review(b, c, n)
	case *ruleStmt:
		r.lapse(w, c, n)
	case *countsStmt:
		r.counts(b, c, n)
	case *capsStmt:
		b.Caps = append(b.Caps, r.caps(c, n)...)
	case *allowStmt:
		r.allow(c, n, b.Name, "")
	case *stepStmt, *chainStmt, *climbStmt, *changeStmt:
	default:
		r.sheetLine(c, &b.Sheet, stmt)
	}
}

// notSelf reports a behaviour that names itself.
func (r *resolver) notSelf(w *behaviourWork, at spot, what, name string) bool {
	if name != w.b.Name {
		return true
	}
	r.fault(at, "self", what, name)
	return false
}

func (r *resolver) needs(w *behaviourWork, c *ctx, n *needsStmt) {
	if n.Dog != nil {
		e, ok := r.expression(c, n.Dog, true)
		if ok {
			w.b.Needs = append(w.b.Needs, curriculum.Need{Firmly: n.Firmly != nil, Dog: e, Pos: c.pos(n.Span())})
		}
		return
	}
	for _, item := range n.Items {
		name, at, ok := r.name(c, item.Behaviour)
		if !ok || !r.notSelf(w, at, "needs", name) || !r.known(aBehaviour, name, at) {
			continue
		}
		need := curriculum.Need{Other: name, Firmly: n.Firmly != nil, Pos: at.pos()}
		if item.Step != nil {
			other := r.behaviours[name]
			i := r.knownStep(other, item.Step.Text, c.spot(item.Step.Span))
			if i < 0 {
				continue
			}
			need.Step = item.Step.Text
			level, ok := r.levelRef(c, other.drafts[i], item.Level, false)
			if !ok {
				continue
			}
			need.Level = level
		}
		key := fmt.Sprint(need.Firmly, " ", need.Other, " ", need.Step, " ", need.Level)
		if before, twice := w.needs[key]; twice {
			r.fault(at, "need-doubled", name).relate(before, "first-here")
			continue
		}
		w.needs[key] = at
		w.b.Needs = append(w.b.Needs, need)
	}
}

// pieceDoors adds `needs PIECE` for a chain's pieces that are behaviours, unless a need on it is stated.
func (r *resolver) pieceDoors(w *behaviourWork) {
	for _, p := range w.pieces {
		if r.behaviours[p.name] == nil || slices.ContainsFunc(w.b.Needs, func(n curriculum.Need) bool { return n.Other == p.name }) {
			continue
		}
		w.b.Needs = append(w.b.Needs, curriculum.Need{Other: p.name, Pos: p.at.pos()})
	}
}

// neverWith needs the step in both behaviours: the two stay apart until both stand there.
func (r *resolver) neverWith(w *behaviourWork, c *ctx, n *neverStmt) {
	at := c.spot(n.Behaviour.Span)
	if !r.known(aBehaviour, n.Behaviour.Text, at) || !r.notSelf(w, at, "never with", n.Behaviour.Text) {
		return
	}
	until := c.spot(n.Until.Span)
	if r.knownStep(w, n.Until.Text, until) < 0 || r.knownStep(r.behaviours[n.Behaviour.Text], n.Until.Text, until) < 0 {
		return
	}
	w.b.NeverWith = append(w.b.NeverWith, curriculum.NeverWith{Other: n.Behaviour.Text, Until: n.Until.Text, Pos: c.pos(n.Span())})
}

func (r *resolver) review(b *curriculum.Behaviour, c *ctx, n *reviewStmt) {
	for _, v := range n.Gaps {
		q, ok := r.positive(c, v, curriculum.Time, "a gap between reviews")
		if !ok {
			return
		}
		if k := len(b.Review); k > 0 && q.Cmp(b.Review[k-1]) <= 0 {
			r.fault(c.spot(v.Span), "review-order", q.String(), b.Review[k-1].String())
			return
		}
		b.Review = append(b.Review, q)
	}
}

func (r *resolver) lapse(w *behaviourWork, c *ctx, n *ruleStmt) {
	rule := curriculum.Rule{Word: curriculum.Lapse, ToFirst: n.First != nil, Pos: c.pos(n.Span())}
	ok := true
	if n.To != nil {
		rule.To = n.To.Text
		ok = r.knownStep(w, n.To.Text, c.spot(n.To.Span)) >= 0
	}
	is, good := r.criterion(c, n.When.Is)
	good = good && r.notTooLarge(r.size(is), c.spot(n.When.Span()))
	if good {
		r.fits(c, n.When.Is, use{word: curriculum.Lapse})
	}
	rule.When = is
	if ok && good {
		w.b.Lapse = append(w.b.Lapse, rule)
	}
}

var kinds = []string{string(curriculum.Care), string(curriculum.Impact), string(curriculum.Lively), string(curriculum.Calm), string(curriculum.Safety)}

func (r *resolver) counts(b *curriculum.Behaviour, c *ctx, n *countsStmt) {
	for _, m := range n.Kinds {
		at := c.spot(m.Span)
		switch {
		case !slices.Contains(kinds, m.Text):
			near := kinds // so few words that only a slip of one letter is taken for one of them
			if slices.IndexFunc(kinds, func(k string) bool { return k[:1] == m.Text[:1] }) < 0 {
				near = nil
			}
			r.unknown("kind of work", m.Text, at, near, "one-of", strings.Join(kinds, ", "))
		case slices.Contains(b.Kinds, curriculum.Kind(m.Text)):
			r.fault(at, "line-doubled", m.Text)
		default:
			b.Kinds = append(b.Kinds, curriculum.Kind(m.Text))
		}
	}
}

// stepsFormerly reports former names of steps that are taken.
func (r *resolver) stepsFormerly(w *behaviourWork) {
	former := map[string]spot{}
	for _, d := range w.drafts {
		for _, l := range d.lines {
			n, ok := l.stmt.(*namesStmt)
			if !ok || n.Word.Value != "formerly" {
				continue
			}
			r.formers(l.c, n.Names, w.steps, former)
		}
	}
}

// behavioursFormerly does the same for behaviours.
func (r *resolver) behavioursFormerly() {
	former := map[string]spot{}
	for _, w := range r.works {
		for _, stmt := range w.stmt.Body {
			n, ok := stmt.(*namesStmt)
			if !ok || n.Word.Value != "formerly" {
				continue
			}
			r.formers(w.c.at(stmt), n.Names, r.names[aBehaviour].first, former)
		}
	}
}

// formers notes the former names of one line and reports those that are taken.
func (r *resolver) formers(c *ctx, names []name, present, former map[string]spot) {
	here := map[string]bool{}
	for _, n := range names {
		name, at, ok := r.name(c, n)
		if !ok || here[name] { // twice in one line has been reported
			continue
		}
		here[name] = true
		first, taken := present[name]
		if !taken {
			first, taken = former[name]
		}
		if taken {
			r.fault(at, "former-taken", name).relate(first, "first-here")
			continue
		}
		former[name] = at
	}
}
