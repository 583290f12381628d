package dsl

import "example.com/rung/curriculum"

// use is where a criterion stands: what is around it decides whether it may stand there.
type use struct {
	word   curriculum.RuleWord // of the rule; "" in a criterion's own definition
	decide *curriculum.Decide  // of the step, for rules that wait for it
	inside *spot               // the innermost `in ...` around it
	not    bool                // under `not`
	via    *spot               // the use of a named criterion through which it was reached
}

// fits reports every part of a criterion that may not stand where it does. A part reached through a criterion's name is
// reported at the name.
func (r *resolver) fits(c *ctx, node criterion, u use) {
	at := func(span Span) spot {
		if u.via != nil {
			return *u.via
		}
		return c.spot(span)
	}
	fault := func(span Span, key string, args ...string) {
		d := r.fault(at(span), key, args...)
		if u.via != nil {
			d.relate(c.spot(span), "part-here")
		}
	}
	if u.word == curriculum.Skip && !fitsSkip(node) {
		fault(node.Span(), "skip-counts")
		return
	}
	switch n := node.(type) {
	case *windowCriterion:
		if n.Kind == eachWindow {
			r.blockFits(c, n, u, fault)
		}
	case *sessionShareCriterion:
		if u.inside != nil {
			fault(n.Span(), "in-around-share", "a share of a session")
		}
		if u.decide != nil && u.decide.EveryTrials > 0 {
			fault(n.Span(), "share-decide")
		}
	case *firstTrialCriterion:
		if u.inside != nil {
			fault(n.Span(), "in-around-share", "a first trial")
		}
	case *afterCriterion:
		if u.inside != nil {
			fault(n.Span(), "in-around-after", "after")
		}
	case *easedCriterion:
		if u.inside != nil {
			fault(n.Span(), "in-around-after", "eased")
		} else if u.word == curriculum.Ease {
			fault(n.Span(), "eased-place")
		}
	case *sequentialCriterion:
		switch {
		case u.word != "" && u.word != curriculum.Advance && u.word != curriculum.Ease:
			fault(n.Span(), "sequential-place", string(u.word))
		case u.not:
			fault(n.Span(), "sequential-not")
		}
	case *inSessionCriterion:
		in := c.spot(n.In)
		u.inside = &in
		r.fits(c, n.Is, u)
	case *repeatedCriterion:
		in := c.spot(n.In)
		u.inside = &in
		r.fits(c, n.Is, u)
	case *notCriterion:
		u.not = true
		r.fits(c, n.Is, u)
	case *andCriterion:
		for _, p := range n.All {
			r.fits(c, p, u)
		}
	case *orCriterion:
		for _, p := range n.Any {
			r.fits(c, p, u)
		}
	case *namedCriterion:
		r.namedFits(c, n, u)
	}
}

func (r *resolver) namedFits(c *ctx, n *namedCriterion, u use) {
	name, at, ok := r.name(c, n.Name)
	w := r.criteria[name]
	if !ok || w == nil || w.state != 2 || !w.ok || w.stmt == nil {
		return
	}
	if u.via == nil {
		u.via = &at
	}
	r.fits(w.c, w.stmt.Is.Is, u)
}

// blockFits checks blocks against `decide`.
func (r *resolver) blockFits(c *ctx, n *windowCriterion, u use, fault func(Span, string, ...string)) {
	if u.decide == nil {
		return
	}
	if u.decide.EachSession {
		fault(n.Span(), "block-session")
		return
	}
	v, _, ok := r.value(c, n.N)
	size, good := 0, false
	if ok {
		size, good = wholeNumber(v)
	}
	every := u.decide.EveryTrials
	if good && size > 0 && every > 0 && size%every != 0 && every%size != 0 {
		fault(n.Span(), "block-decide", itoa(size), itoa(every))
	}
}

func wholeNumber(v value) (int, bool) {
	q, ok := curriculum.ParseQuantity(v.Number)
	return int(q.Num), ok && q.Den == 1 && q.Num <= maxCount && v.Unit == ""
}

// fitsSkip: counts and `after N trials`, and what joins them.
func fitsSkip(node criterion) bool {
	switch n := node.(type) {
	case *windowCriterion, *doneCriterion, *andCriterion, *orCriterion, *notCriterion, *namedCriterion:
		return true
	case *afterCriterion:
		return n.Unit == curriculum.AfterTrials && !n.AtStep
	}
	return false
}
