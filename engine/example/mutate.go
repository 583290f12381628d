package example

import (
	"math/big"
	"regexp"
	"slices"
	"strconv"

	"example.com/rung/curriculum"
)

// mutants are the criteria that differ from c in one number or one joining word, or lack one part; what stands behind a
// name is left alone.
func mutants(c curriculum.Criterion) (out []curriculum.Criterion) {
	switch c := c.(type) {
	case curriculum.Window:
		return windowMutants(c)
	case curriculum.InSessionCount:
		return slices.Concat(
			with(c, around(c.N, 1), func(m *curriculum.InSessionCount, n int) { m.N = n }),
			with(c, expressionMutants(c.Where), func(m *curriculum.InSessionCount, e *curriculum.Expression) { m.Where = e }))
	case curriculum.Done:
		return with(c, around(c.N, 1), func(m *curriculum.Done, n int) { m.N = n })
	case curriculum.InSession:
		return append([]curriculum.Criterion{c.Is}, with(c, mutants(c.Is), func(m *curriculum.InSession, is curriculum.Criterion) { m.Is = is })...)
	case curriculum.Repeated:
		return repeatedMutants(c)
	case curriculum.SessionShare:
		return sessionShareMutants(c)
	case curriculum.FirstTrial:
		out = with(c, around(c.N, 2), func(m *curriculum.FirstTrial, n int) { m.N = n })
		if c.InARow {
			out = append(out, curriculum.FirstTrial{N: c.N})
		}
		return out
	case curriculum.Confidence:
		return slices.Concat(
			with(c, nearShares(c.Share, 10), func(m *curriculum.Confidence, s curriculum.Share) { m.Share = s }),
			with(c, nearShares(c.Confidence, 4), func(m *curriculum.Confidence, s curriculum.Share) { m.Confidence = s }),
			with(c, around(c.N, 1), func(m *curriculum.Confidence, n int) { m.N = n }))
	case curriculum.Sequential:
		return sequentialMutants(c)
	case curriculum.Statistic:
		return slices.Concat(
			with(c, around(c.N, 1), func(m *curriculum.Statistic, n int) { m.N = n }),
			with(c, nearQuantities(c.Value), func(m *curriculum.Statistic, q curriculum.Quantity) { m.Value = q }))
	case curriculum.After:
		return with(c, around(c.N, 1), func(m *curriculum.After, n int) { m.N = n })
	case curriculum.Eased:
		return with(c, around(c.N, 1), func(m *curriculum.Eased, n int) { m.N = n })
	case curriculum.Holds:
		return with(c, expressionMutants(c.Expr), func(m *curriculum.Holds, e *curriculum.Expression) { m.Expr = e })
	case curriculum.Not:
		return with(c, mutants(c.Is), func(m *curriculum.Not, is curriculum.Criterion) { m.Is = is })
	case curriculum.And:
		for _, parts := range joinedMutants(c.All) {
			out = append(out, joined(parts, curriculum.And{All: parts}))
		}
		return append(out, curriculum.Or{Any: c.All})
	case curriculum.Or:
		for _, parts := range joinedMutants(c.Any) {
			out = append(out, joined(parts, curriculum.Or{Any: parts}))
		}
		return append(out, curriculum.And{All: c.Any})
	}
	return nil
}

// with is a criterion again and again, each with one of the values.
func with[C curriculum.Criterion, V any](c C, values []V, set func(*C, V)) (out []curriculum.Criterion) {
	for _, v := range values {
		m := c
		set(&m, v)
		out = append(out, m)
	}
	return out
}

// joined is a single part by itself.
func joined(parts []curriculum.Criterion, all curriculum.Criterion) curriculum.Criterion {
	if len(parts) == 1 {
		return parts[0]
	}
	return all
}

func sequentialMutants(c curriculum.Sequential) (out []curriculum.Criterion) {
	for i := range 4 {
		for _, s := range nearShares(*sharesOf(&c)[i], 4) {
			m := c
			*sharesOf(&m)[i] = s
			if m.Low.Rat().Cmp(m.High.Rat()) < 0 {
				out = append(out, m)
			}
		}
	}
	return out
}

func sharesOf(c *curriculum.Sequential) [4]*curriculum.Share {
	return [...]*curriculum.Share{&c.Low, &c.High, &c.WronglyUp, &c.WronglyDown}
}

// around is one less, if that is not below low, and one more.
func around(n, low int) []int {
	if n > low {
		return []int{n - 1, n + 1}
	}
	return []int{n + 1}
}

// joinedMutants are lists of criteria with one of them changed or missing.
func joinedMutants(list []curriculum.Criterion) (out [][]curriculum.Criterion) {
	for i, c := range list {
		for _, m := range mutants(c) {
			changed := slices.Clone(list)
			changed[i] = m
			out = append(out, changed)
		}
		out = append(out, slices.Delete(slices.Clone(list), i, i+1))
	}
	return out
}

func windowMutants(w curriculum.Window) (out []curriculum.Criterion) {
	add := func(m curriculum.Window) {
		if m.K <= m.N && m.N >= 1 && (m.K >= 1 || m.AtMost && m.K >= 0) && !(m.AtMost && m.K == m.N) {
			out = append(out, m)
		}
	}
	switch {
	case w.InARow:
		for _, n := range around(w.N, 1) {
			m := w
			m.K, m.N = n, n
			add(m)
		}
	case !w.Share.IsZero():
		for _, s := range nearShares(w.Share, 10) {
			m := w
			m.Share, m.K = s, s.Of(w.N)
			add(m)
		}
	default:
		for _, k := range around(w.K, 0) {
			m := w
			m.K = k
			add(m)
		}
	}
	if !w.InARow {
		for _, n := range around(w.N, 1) {
			m := w
			m.N = n
			if !w.Share.IsZero() {
				m.K = w.Share.Of(n)
			}
			add(m)
		}
		if !w.AtMost && !w.Twice {
			m := w
			m.Each = !w.Each
			add(m)
		}
	}
	if w.Twice {
		m := w
		m.Twice = false
		add(m)
	}
	for _, q := range qualifierMutants(w.Qualify) {
		m := w
		m.Qualify = q
		add(m)
	}
	return out
}

func qualifierMutants(q curriculum.Qualifiers) (out []curriculum.Qualifiers) {
	change := func(do func(*curriculum.Qualifiers)) {
		m := q
		do(&m)
		out = append(out, m)
	}
	if q.EvenHelped {
		change(func(m *curriculum.Qualifiers) { m.EvenHelped = false })
	}
	if q.Within != nil {
		for _, v := range nearQuantities(*q.Within) {
			change(func(m *curriculum.Qualifiers) { m.Within = &v })
		}
		change(func(m *curriculum.Qualifiers) { m.Within = nil })
	}
	if q.Holding != nil {
		for _, v := range nearQuantities(*q.Holding) {
			change(func(m *curriculum.Qualifiers) { m.Holding = &v })
		}
		change(func(m *curriculum.Qualifiers) { m.Holding = nil })
	}
	for _, e := range expressionMutants(q.Where) {
		change(func(m *curriculum.Qualifiers) { m.Where = e })
	}
	if q.Where != nil {
		change(func(m *curriculum.Qualifiers) { m.Where = nil })
	}
	for _, e := range expressionMutants(q.Among) {
		change(func(m *curriculum.Qualifiers) { m.Among = e })
	}
	if q.Among != nil {
		change(func(m *curriculum.Qualifiers) { m.Among = nil })
	}
	return out
}

func repeatedMutants(c curriculum.Repeated) (out []curriculum.Criterion) {
	for _, is := range mutants(c.Is) {
		m := c
		m.Is = is
		out = append(out, m)
	}
	for _, n := range around(c.N, 2) {
		m := c
		m.N = n
		out = append(out, m)
	}
	if c.N == 2 {
		out = append(out, c.Is) // in one of them is no more than the criterion itself
	}
	if c.InARow {
		m := c
		m.InARow = false
		out = append(out, m)
	}
	return out
}

func sessionShareMutants(c curriculum.SessionShare) (out []curriculum.Criterion) {
	add := func(do func(*curriculum.SessionShare)) {
		m := c
		do(&m)
		out = append(out, m)
	}
	for _, s := range nearShares(c.Share, 10) {
		add(func(m *curriculum.SessionShare) { m.Share = s })
	}
	for _, n := range around(c.MinTrials, 1) {
		add(func(m *curriculum.SessionShare) { m.MinTrials = n })
	}
	for _, n := range around(max(c.N, 1), 1) {
		add(func(m *curriculum.SessionShare) { m.N, m.InARow = n, c.InARow && n > 1 })
	}
	if c.InARow {
		add(func(m *curriculum.SessionShare) { m.InARow = false })
	}
	for _, q := range qualifierMutants(c.Qualify) {
		add(func(m *curriculum.SessionShare) { m.Qualify = q })
	}
	return out
}

// nearShares are so many points less and more, within 0% and 100%.
func nearShares(s curriculum.Share, points int64) (out []curriculum.Share) {
	for _, d := range []int64{-points, points} {
		r := new(big.Rat).Add(s.Rat(), big.NewRat(d, 100))
		if r.Sign() > 0 && r.Cmp(big.NewRat(1, 1)) <= 0 && r.Num().IsInt64() && r.Denom().IsInt64() {
			out = append(out, curriculum.Share{Num: r.Num().Int64(), Den: r.Denom().Int64()})
		}
	}
	return out
}

// nearQuantities are one unit less and more; half and twice as much where one less would be nothing.
func nearQuantities(q curriculum.Quantity) (out []curriculum.Quantity) {
	if q.Den == 0 {
		return nil
	}
	if q.Num > q.Den {
		return []curriculum.Quantity{{Num: q.Num - q.Den, Den: q.Den, Unit: q.Unit}, {Num: q.Num + q.Den, Den: q.Den, Unit: q.Unit}}
	}
	return []curriculum.Quantity{{Num: q.Num, Den: 2 * q.Den, Unit: q.Unit}, {Num: 2 * q.Num, Den: q.Den, Unit: q.Unit}}
}

var numberInExpression = regexp.MustCompile(`"[^"]*"|'[^']*'|[A-Za-z_][A-Za-z_0-9]*|[0-9]+(?:\.[0-9]+)?`)

// expressionMutants are conditions with one number one less or more.
func expressionMutants(e *curriculum.Expression) (out []*curriculum.Expression) {
	if e == nil {
		return nil
	}
	for _, at := range numberInExpression.FindAllStringIndex(e.Text, -1) {
		word := e.Text[at[0]:at[1]]
		n, err := strconv.Atoi(word)
		if err != nil {
			continue
		}
		for _, m := range around(n, 1) {
			out = append(out, &curriculum.Expression{Text: e.Text[:at[0]] + strconv.Itoa(m) + e.Text[at[1]:], Pos: e.Pos})
		}
	}
	return out
}
