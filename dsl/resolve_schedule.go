package dsl

import "example.com/rung/curriculum"

// schedule resolves a reward schedule.
func (r *resolver) schedule(c *ctx, s *schedule) (*curriculum.Schedule, bool) {
	switch {
	case s.Every != nil:
		return &curriculum.Schedule{Kind: curriculum.EverySuccess}, true
	case s.Kind != nil:
		return r.valued(c, *s.Kind, s.Unit, s.Value, s.Unpaid)
	case s.Best != nil:
		return r.best(c, bestPart{*s.Best, s.Last, s.Measure, s.Low, s.High})
	}
	return nil, false
}

// valued resolves a ratio, interval or duration schedule.
func (r *resolver) valued(c *ctx, kind, unit token, v value, unpaid *value) (*curriculum.Schedule, bool) {
	k := curriculum.ScheduleKind(kind.Value + " " + unit.Value)
	span := Span{spanOf(kind).From, spanOf(unit).To}
	if kind.Value == "random" && unit.Value != "ratio" {
		r.fault(c.spot(span), "schedule-random", unit.Value).replace("variable " + unit.Value)
		return nil, false
	}
	dim := curriculum.Time
	if unit.Value == "ratio" {
		dim = curriculum.Number
	}
	q, ok := r.positive(c, v, dim, "a "+string(k))
	if !ok {
		return nil, false
	}
	_, at, _ := r.value(c, v)
	if dim == curriculum.Number {
		if q.Cmp(curriculum.Q(1, curriculum.NoUnit)) < 0 {
			r.fault(at, "ratio-low", q.String())
			return nil, false
		}
		if k == curriculum.FixedRatio && q.Den != 1 {
			r.fault(at, "count-whole", q.String())
			return nil, false
		}
	}
	out := &curriculum.Schedule{Kind: k, Value: q}
	if unpaid != nil {
		out.MostUnpaid, ok = r.unpaid(c, k, q, at, *unpaid)
	}
	return out, ok
}

// unpaid resolves `with at most N unpaid`: a mean of so many successes a reward leaves at least one fewer unpaid.
func (r *resolver) unpaid(c *ctx, k curriculum.ScheduleKind, mean curriculum.Quantity, at spot, v value) (int, bool) {
	n, ok := r.count(c, v, 1)
	if !ok {
		return 0, false
	}
	_, here, _ := r.value(c, v)
	random := k == curriculum.RandomRatio
	switch over := mean.Cmp(curriculum.Q(int64(n)+1, curriculum.NoUnit)); {
	case mean.Unit.Dimension() != curriculum.Number:
		r.fault(here, "unpaid-times", string(k))
		return 0, false
	case over > 0, over == 0 && random:
		least := ceiling(mean) - 1
		if random && mean.Den == 1 {
			least++
		}
		r.fault(here, "unpaid-few", mean.String(), itoa(n)).help("unpaid-few.help", itoa(least)).relate(at, "the-ratio")
		return 0, false
	}
	return n, true
}

// ceiling is the smallest whole number that is not less.
func ceiling(q curriculum.Quantity) int { return int((q.Num + q.Den - 1) / q.Den) }

// bestPart is what stands behind `best`.
type bestPart struct {
	share, last value
	measure     name
	low, high   *value
}

// best resolves a percentile schedule.
func (r *resolver) best(c *ctx, n bestPart) (*curriculum.Schedule, bool) {
	share, ok1 := r.share(c, n.share, false)
	window, ok2 := r.count(c, n.last, 1)
	measure, dim, ok3 := r.measure(c, n.measure)
	if !ok1 || !ok2 || !ok3 {
		return nil, false
	}
	out := &curriculum.Schedule{Kind: curriculum.Percentile, Share: share, Window: window, Measure: measure}
	ok := true
	bound := func(v *value, to *curriculum.Quantity) {
		if v != nil && ok {
			*to, ok = r.positive(c, *v, dim, measure)
		}
	}
	bound(n.low, &out.From)
	bound(n.high, &out.To)
	if ok && n.low != nil && n.high != nil {
		order := out.From.Cmp(out.To)
		if r.smaller(measure) {
			order = -order
		}
		if order > 0 {
			_, at, _ := r.value(c, *n.high)
			_, was, _ := r.value(c, *n.low)
			r.fault(at, "best-order", out.To.String(), out.From.String()).relate(was, "value-before")
			return nil, false
		}
	}
	return out, ok
}

// smaller reports whether smaller is better of a measure.
func (r *resolver) smaller(measure string) bool {
	for _, m := range r.out.Measures {
		if m.Name == measure {
			return m.SmallerIsBetter
		}
	}
	return measure == "latency"
}

// thin resolves `thin variable ratio 1.5, 2, 3` or `thin best 80%, 60% of last 10 for turn`: a ramp whose levels are
// reward schedules.
func (r *resolver) thin(c *ctx, d *stepDraft, n *thinStmt) {
	ramp := curriculum.Ramp{Of: curriculum.ThinRamp, Pos: c.pos(n.Span())}
	values := n.Values
	if n.Kind == nil {
		values = n.Best
	}
	var before *curriculum.Schedule
	for i, v := range values {
		s, ok := r.thinned(c, n, v)
		if !ok {
			d.rampFault = true
			continue
		}
		if before != nil && !thinner(s, before) {
			_, at, _ := r.value(c, v)
			_, was, _ := r.value(c, values[i-1])
			r.fault(at, "thin-order", amountOf(s), amountOf(before)).relate(was, "value-before")
			d.rampFault = true
			return
		}
		before = s
		ramp.Values = append(ramp.Values, curriculum.LevelValue{Thin: s})
	}
	if !d.rampFault {
		d.step.Ramps = append(d.step.Ramps, ramp)
	}
}

// thinned is the schedule of one level. A cap that a ratio stays within by itself is left to the thinner ones.
func (r *resolver) thinned(c *ctx, n *thinStmt, v value) (*curriculum.Schedule, bool) {
	if n.Kind == nil {
		return r.best(c, bestPart{v, n.Last, n.Measure, n.Low, n.High})
	}
	return r.valued(c, *n.Kind, n.Unit, v, n.Unpaid)
}

// thinner reports whether s pays less often than before.
func thinner(s, before *curriculum.Schedule) bool {
	if s.Kind == curriculum.Percentile {
		return s.Share.Rat().Cmp(before.Share.Rat()) < 0
	}
	return s.Value.Cmp(before.Value) > 0
}

// amountOf is what a thinning raises or lowers.
func amountOf(s *curriculum.Schedule) string {
	if s.Kind == curriculum.Percentile {
		return s.Share.String()
	}
	return s.Value.String()
}
