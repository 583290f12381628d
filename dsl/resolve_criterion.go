package dsl

import (
	"math/big"

	"example.com/rung/curriculum"
)

// namedCriterionWork is a `criterion NAME = C` and what became of it.
type namedCriterionWork struct {
	c       *ctx
	stmt    *criterionStmt
	state   uint8 // 0 not begun, 1 under way, 2 done
	is      curriculum.Criterion
	ok      bool
	size    int  // parts, with those of the criteria it names
	circles bool // it is part of a circle, which was reported
}

// named resolves the criterion of that name; ok is false where it was faulty, which has been reported.
func (r *resolver) named(name string, at spot) (curriculum.Criterion, bool) {
	w := r.criteria[name]
	if w == nil {
		return nil, false
	}
	switch w.state {
	case 0:
		w.state = 1
		before := len(r.diag)
		w.is, w.ok = r.criterion(w.c, w.stmt.Is.Is)
		if w.ok {
			r.fits(w.c, w.stmt.Is.Is, use{})
		}
		w.ok = w.ok && len(r.diag) == before
		if w.ok {
			w.size = r.size(w.is)
			w.ok = r.notTooLarge(w.size, w.c.spot(w.stmt.Name.Span))
		}
		w.state = 2
	case 1:
		if !w.circles {
			w.circles = true
			r.fault(at, "criterion-circle", name).relate(w.c.spot(w.stmt.Name.Span), "declared-here", name)
		}
		return nil, false
	}
	return w.is, w.ok
}

// maxParts is how many parts a criterion may have once the criteria it names are written out: a few names that name one
// another twice would otherwise make millions.
const maxParts = 1000

func (r *resolver) notTooLarge(size int, at spot) bool {
	if size <= maxParts {
		return true
	}
	r.fault(at, "criterion-large", itoa(maxParts))
	return false
}

// size counts the parts of a criterion.
func (r *resolver) size(c curriculum.Criterion) int {
	all := func(cs []curriculum.Criterion) int {
		n := 0
		for _, p := range cs {
			n += r.size(p)
		}
		return n
	}
	switch c := c.(type) {
	case curriculum.Named:
		if w := r.criteria[c.Name]; w != nil {
			return max(1, w.size)
		}
	case curriculum.InSession:
		return r.size(c.Is)
	case curriculum.Repeated:
		return r.size(c.Is)
	case curriculum.Not:
		return r.size(c.Is)
	case curriculum.And:
		return all(c.All)
	case curriculum.Or:
		return all(c.Any)
	}
	return 1
}

// criterion resolves a criterion by itself; whether it fits where it stands is for fits to say.
func (r *resolver) criterion(c *ctx, node criterion) (curriculum.Criterion, bool) {
	switch n := node.(type) {
	case nil:
		return nil, false
	case *windowCriterion:
		return r.window(c, n)
	case *inSessionCountCriterion:
		return r.inSessionCount(c, n)
	case *sessionShareCriterion:
		return r.sessionShare(c, n)
	case *firstTrialCriterion:
		k, ok := r.count(c, n.N, 1)
		return curriculum.FirstTrial{N: k, InARow: n.InARow}, ok
	case *confidenceCriterion:
		return r.confidence(c, n)
	case *sequentialCriterion:
		return r.sequential(c, n)
	case *statisticCriterion:
		return r.statistic(c, n)
	case *doneCriterion:
		k, ok := r.count(c, n.N, 1)
		return curriculum.Done{N: k}, ok
	case *afterCriterion:
		return r.after(c, n)
	case *easedCriterion:
		k, ok := r.count(c, n.N, 1)
		return curriculum.Eased{N: k}, ok
	case *holdsCriterion:
		e, ok := r.expression(c, n.Expr, false)
		return curriculum.Holds{Expr: e}, ok
	case *namedCriterion:
		return r.useNamed(c, n)
	case *inSessionCriterion:
		is, ok := r.criterion(c, n.Is)
		return curriculum.InSession{Is: is}, ok
	case *repeatedCriterion:
		return r.repeated(c, n)
	case *notCriterion:
		is, ok := r.criterion(c, n.Is)
		return curriculum.Not{Is: is}, ok
	case *andCriterion:
		all, ok := r.all(c, n.All)
		return curriculum.And{All: all}, ok
	case *orCriterion:
		anyOf, ok := r.all(c, n.Any)
		return curriculum.Or{Any: anyOf}, ok
	}
	return nil, false
}

func (r *resolver) all(c *ctx, nodes []criterion) ([]curriculum.Criterion, bool) {
	out, ok := make([]curriculum.Criterion, 0, len(nodes)), true
	for _, n := range nodes {
		is, good := r.criterion(c, n)
		out, ok = append(out, is), ok && good
	}
	return out, ok
}

func (r *resolver) useNamed(c *ctx, n *namedCriterion) (curriculum.Criterion, bool) {
	name, at, ok := r.name(c, n.Name)
	if !ok {
		return nil, false
	}
	if !r.known(aCriterion, name, at) {
		return nil, false
	}
	is, ok := r.named(name, at)
	return curriculum.Named{Name: name, Is: is}, ok
}

// window resolves "4 of last 5" and its kin.
func (r *resolver) window(c *ctx, n *windowCriterion) (curriculum.Criterion, bool) {
	w := curriculum.Window{Count: n.Count, Each: n.Kind == eachWindow, AtMost: n.AtMost, Twice: n.Twice != Span{}}
	kv, kAt, kKnown := r.value(c, n.K)
	isShare := kKnown && kv.Unit == "%"
	ok := kKnown
	if n.Kind == inARowWindow {
		if isShare {
			r.fault(kAt, "share-in-a-row", valueText(kv))
			return nil, false
		}
		k, good := r.count(c, n.K, 1)
		w.K, w.N, w.InARow = k, k, true
		ok = ok && good
	} else {
		size, good := r.count(c, n.N, 1)
		w.N = size
		ok = ok && good
		switch {
		case isShare && n.AtMost:
			r.fault(kAt, "at-most-share", valueText(kv))
			ok = false
		case isShare:
			share, good := r.share(c, n.K, false)
			ok = ok && good
			w.Share, w.K = share, share.Of(w.N)
		case kKnown:
			low := 1
			if n.AtMost {
				low = 0
			}
			ok = r.windowCount(c, n, kv, kAt, low, &w, good) && ok
		}
	}
	q, good := r.qualifiers(c, n.Qualify, n.Count, n.CountSpan)
	w.Qualify = q
	return w, ok && good
}

// windowCount resolves the k of "k of last n" where it is a count; sized says whether w.N is known.
func (r *resolver) windowCount(c *ctx, n *windowCriterion, kv value, kAt spot, low int, w *curriculum.Window, sized bool) bool {
	if kv.Number != "" && kv.Unit == "" && onlyZero(kv.Number) && low == 1 {
		r.fault(kAt, "none-of", kv.Number)
		return false
	}
	k, ok := r.count(c, n.K, low)
	w.K = k
	if !ok || !sized || k <= w.N {
		return ok
	}
	nv, nAt, _ := r.value(c, n.N)
	if kAt.used != nil || nAt.used == nil {
		r.fault(kAt, "more-than-all", kv.Number, nv.Number)
	} else {
		r.fault(nAt, "more-than-all", kv.Number, nv.Number)
	}
	return false
}

func onlyZero(number string) bool {
	q, ok := curriculum.ParseQuantity(number)
	return ok && q.Num == 0
}

// qualifiers resolves what stands behind a window and checks that it may stand behind what the window counts.
func (r *resolver) qualifiers(c *ctx, n qualifiers, count curriculum.Counted, countAt Span) (q curriculum.Qualifiers, ok bool) {
	ok = true
	refuse := func(at Span, word string) {
		key := "qualifier-misses"
		if count == curriculum.OptOuts {
			key = "qualifier-opt-outs"
		}
		r.fault(c.spot(at), key, word).relate(c.spot(countAt), "counted-here")
		ok = false
	}
	successes := count == curriculum.Successes
	if n.EvenHelped != (Span{}) {
		q.EvenHelped = true
		if !successes {
			refuse(n.EvenHelped, "even helped")
		}
	}
	timed := func(v *value, word, thing string) *curriculum.Quantity {
		if v == nil {
			return nil
		}
		if !successes {
			refuse(v.Span, word)
			return nil
		}
		t, good := r.positive(c, *v, curriculum.Time, thing)
		ok = ok && good
		return &t
	}
	q.Within = timed(n.Within, "within", "latency")
	q.Holding = timed(n.Holding, "holding", "duration")
	if n.Where != nil {
		e, good := r.expression(c, n.Where, false)
		q.Where, ok = e, ok && good
	}
	if n.Among != nil {
		if count == curriculum.OptOuts {
			refuse(n.Among.Span, "among")
			return q, ok
		}
		e, good := r.expression(c, n.Among, false)
		q.Among, ok = e, ok && good
	}
	return q, ok
}

func (r *resolver) inSessionCount(c *ctx, n *inSessionCountCriterion) (curriculum.Criterion, bool) {
	if n.AtMost {
		r.fault(c.spot(n.span), "session-count-at-most")
		return nil, false
	}
	k, ok := r.count(c, n.N, 1)
	if n.Qualify.Among != nil {
		r.fault(c.spot(n.Qualify.Among.Span), "session-count-among")
		ok = false
	}
	qualify := n.Qualify
	qualify.Among = nil
	q, good := r.qualifiers(c, qualify, n.Count, n.CountSpan)
	return curriculum.InSessionCount{N: k, Count: n.Count, Where: q.Where}, ok && good
}

func (r *resolver) sessionShare(c *ctx, n *sessionShareCriterion) (curriculum.Criterion, bool) {
	share, ok := r.share(c, n.Share, false)
	trials, ok2 := r.count(c, n.MinTrials, 1)
	q, ok3 := r.qualifiers(c, n.Qualify, curriculum.Successes, Span{})
	times := 1
	if n.N != nil {
		k, good := r.times(c, *n.N, "sessions")
		times, ok = k, ok && good
	}
	return curriculum.SessionShare{Share: share, MinTrials: trials, N: times, InARow: n.InARow, Qualify: q}, ok && ok2 && ok3
}

// times is the N of "in N sessions": two or more.
func (r *resolver) times(c *ctx, v value, over string) (int, bool) {
	got, at, ok := r.value(c, v)
	if !ok {
		return 0, false
	}
	if over == "days" {
		got.Unit = "" // "in 3 days": the unit is the word
	}
	n, ok := r.countOf(got, at, 1)
	if ok && n == 1 {
		d := r.fault(at, "in-one", map[string]string{"sessions": "session", "places": "place", "handlers": "handler", "days": "day"}[over])
		if over != "sessions" {
			d.help("in-one-place")
		}
		return n, false
	}
	return n, ok
}

func (r *resolver) repeated(c *ctx, n *repeatedCriterion) (curriculum.Criterion, bool) {
	is, ok := r.criterion(c, n.Is)
	k, good := r.times(c, n.N, n.Over.String())
	return curriculum.Repeated{Is: is, N: k, Over: n.Over, InARow: n.InARow}, ok && good
}

// confidence also finds a bound that not even a full row of successes would reach.
func (r *resolver) confidence(c *ctx, n *confidenceCriterion) (curriculum.Criterion, bool) {
	share, ok1 := r.share(c, n.Share, true)
	sure, ok2 := r.share(c, n.Confidence, true)
	size, ok3 := r.count(c, n.N, 1)
	if !ok1 || !ok2 || !ok3 {
		return nil, false
	}
	// n of n successes have the lower bound alpha^(1/n): it reaches the share where share^n <= alpha
	alpha := new(big.Rat).Sub(big.NewRat(1, 1), sure.Rat())
	if need := successesNeeded(share.Rat(), alpha); need > size {
		_, at, _ := r.value(c, n.N)
		r.fault(at, "confidence-never", itoa(size), share.String(), sure.String()).help("confidence-needs", itoa(need))
		return nil, false
	}
	return curriculum.Confidence{Share: share, Confidence: sure, N: size}, true
}

// successesNeeded is the smallest n with share^n <= alpha, at most maxCount+1. The powers are taken with 256 bits,
// rounded down, which is exact enough to tell: a report is only made where the bound is missed.
func successesNeeded(share, alpha *big.Rat) int {
	p := new(big.Float).SetPrec(256).SetMode(big.ToZero).SetRat(share)
	a := new(big.Float).SetPrec(256).SetMode(big.AwayFromZero).SetRat(alpha)
	pow := new(big.Float).SetPrec(256).SetMode(big.ToZero).SetInt64(1)
	for n := 1; n <= maxCount; n++ {
		if pow.Mul(pow, p); pow.Cmp(a) <= 0 {
			return n
		}
	}
	return maxCount + 1
}

func (r *resolver) sequential(c *ctx, n *sequentialCriterion) (curriculum.Criterion, bool) {
	s := curriculum.Sequential{}
	ok := true
	for _, f := range []struct {
		to *curriculum.Share
		v  value
	}{{&s.Low, n.Low}, {&s.High, n.High}, {&s.WronglyUp, n.WronglyUp}, {&s.WronglyDown, n.WronglyDown}} {
		share, good := r.share(c, f.v, true)
		*f.to, ok = share, ok && good
	}
	if !ok {
		return nil, false
	}
	if s.Low.Rat().Cmp(s.High.Rat()) >= 0 {
		r.fault(c.spot(Span{n.Low.Span.From, n.High.Span.To}), "sequential-order", s.Low.String(), s.High.String())
		ok = false
	}
	if sum := new(big.Rat).Add(s.WronglyUp.Rat(), s.WronglyDown.Rat()); sum.Cmp(big.NewRat(1, 1)) >= 0 {
		r.fault(c.spot(Span{n.WronglyUp.Span.From, n.WronglyDown.Span.To}), "sequential-errors")
		ok = false
	}
	return s, ok
}

func (r *resolver) statistic(c *ctx, n *statisticCriterion) (curriculum.Criterion, bool) {
	measure, dim, ok := r.measure(c, n.Measure)
	size, ok2 := r.count(c, n.N, 1)
	if !ok {
		return nil, false
	}
	q, ok3 := r.quantity(c, n.Value, dim, measure)
	return curriculum.Statistic{Stat: n.Stat, Measure: measure, N: size, Op: n.Op, Value: q}, ok2 && ok3
}

func (r *resolver) after(c *ctx, n *afterCriterion) (curriculum.Criterion, bool) {
	out := curriculum.After{Unit: n.Unit, AtStep: n.AtStep}
	var ok bool
	if n.Unit == curriculum.AfterDays {
		out.N, ok = r.days(c, n.N, "the time since entry")
	} else {
		out.N, ok = r.count(c, n.N, 1)
	}
	return out, ok
}
