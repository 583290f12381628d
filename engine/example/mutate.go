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
	add := func(m ...curriculum.Criterion) { out = append(out, m...) }
	switch c := c.(type) {
	case curriculum.Window:
		return windowMutants(c)
	case curriculum.InSessionCount:
		for _, n := range around(c.N, 1) {
			m := c
			m.N = n
			add(m)
		}
		for _, e := range expressionMutants(c.Where) {
			m := c
			m.Where = e
			add(m)
		}
	case curriculum.Done:
		for _, n := range around(c.N, 1) {
			add(curriculum.Done{N: n})
		}
	case curriculum.InSession:
		add(c.Is)
		for _, is := range mutants(c.Is) {
			add(curriculum.InSession{Is: is})
		}
	case curriculum.Repeated:
		return repeatedMutants(c)
	case curriculum.SessionShare:
		return sessionShareMutants(c)
	case curriculum.FirstTrial:
		for _, n := range around(c.N, 2) {
			add(curriculum.FirstTrial{N: n, InARow: c.InARow})
		}
		if c.InARow {
			add(curriculum.FirstTrial{N: c.N})
		}
	case curriculum.Confidence:
		for _, s := range nearShares(c.Share, 10) {
			add(curriculum.Confidence{Share: s, Confidence: c.Confidence, N: c.N})
		}
		for _, s := range nearShares(c.Confidence, 4) {
			add(curriculum.Confidence{Share: c.Share, Confidence: s, N: c.N})
		}
		for _, n := range around(c.N, 1) {
			add(curriculum.Confidence{Share: c.Share, Confidence: c.Confidence, N: n})
		}
	case curriculum.Sequential:
		for i := range 4 {
			for _, s := range nearShares(*[]*curriculum.Share{&c.Low, &c.High, &c.WronglyUp, &c.WronglyDown}[i], 4) {
				m := c
				*[]*curriculum.Share{&m.Low, &m.High, &m.WronglyUp, &m.WronglyDown}[i] = s
				if m.Low.Rat().Cmp(m.High.Rat()) < 0 {
					add(m)
				}
			}
		}
	case curriculum.Statistic:
		for _, n := range around(c.N, 1) {
			m := c
			m.N = n
			add(m)
		}
		for _, q := range nearQuantities(c.Value) {
			m := c
			m.Value = q
			add(m)
		}
	case curriculum.After:
		for _, n := range around(c.N, 1) {
			m := c
			m.N = n
			add(m)
		}
	case curriculum.Eased:
		for _, n := range around(c.N, 1) {
			add(curriculum.Eased{N: n})
		}
	case curriculum.Holds:
		for _, e := range expressionMutants(c.Expr) {
			add(curriculum.Holds{Expr: e})
		}
	case curriculum.Not:
		for _, is := range mutants(c.Is) {
			add(curriculum.Not{Is: is})
		}
	case curriculum.And:
		for _, parts := range joinedMutants(c.All) {
			if len(parts) == 1 {
				add(parts[0])
				continue
			}
			add(curriculum.And{All: parts})
		}
		add(curriculum.Or{Any: c.All})
	case curriculum.Or:
		for _, parts := range joinedMutants(c.Any) {
			if len(parts) == 1 {
				add(parts[0])
				continue
			}
			add(curriculum.Or{Any: parts})
		}
		add(curriculum.And{All: c.Any})
	}
	return out
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
