package cases

import (
	"example.com/rung/curriculum"
)

// criterion is a random one that the language allows behind the rule's word.
func (g *gen) criterion(word curriculum.RuleWord, decide curriculum.Decide, depth int) curriculum.Criterion {
	g.eachSession = decide.EachSession
	if depth > 0 {
		sub := func() curriculum.Criterion { return g.criterion(word, decide, depth-1) }
		switch {
		case g.may(And, 0.12):
			return curriculum.And{All: []curriculum.Criterion{sub(), sub()}}
		case g.may(Or, 0.1):
			return curriculum.Or{Any: []curriculum.Criterion{sub(), sub()}}
		case word != curriculum.Skip && g.may(Not, 0.06):
			return curriculum.Not{Is: g.leaf(word, decide, true)}
		case g.may(Named, 0.08):
			return g.named(sub())
		}
	}
	return g.leaf(word, decide, false)
}

type choice struct {
	f      Feature
	weight int
	make   func() curriculum.Criterion
}

// leaf is a criterion without and, or and not.
func (g *gen) leaf(word curriculum.RuleWord, decide curriculum.Decide, inNot bool) curriculum.Criterion {
	window := func() curriculum.Criterion { return g.window(word, decide) }
	after := func(u curriculum.AfterUnit, atStep bool, most int) func() curriculum.Criterion {
		return func() curriculum.Criterion { return curriculum.After{N: g.between(1, most), Unit: u, AtStep: atStep} }
	}
	inside := func(over curriculum.Over, row bool) func() curriculum.Criterion {
		return func() curriculum.Criterion {
			return curriculum.Repeated{Is: g.inner(word, decide), N: g.between(2, 3), Over: over, InARow: row}
		}
	}
	of := []choice{{Sliding, 12, window}, {Streak, 8, window}, {Percent, 4, window}, {AtMost, 3, window}, {Misses, 4, window},
		{WrongOnes, 2, window}, {Silents, 2, window}, {Helped, 2, window}, {OptOuts, 2, window}}
	if !decide.EachSession {
		of = append(of, choice{Block, 4, window}, choice{BlockTwice, 2, window})
	}
	if word == curriculum.Skip {
		of = append(of, choice{AfterTrials, 3, after(curriculum.AfterTrials, false, 4)})
		return g.choose(of)
	}
	of = append(of,
		choice{Done, 3, func() curriculum.Criterion { return curriculum.Done{N: g.between(1, 8)} }},
		choice{CountInSession, 4, g.countInSession},
		choice{InSession, 4, func() curriculum.Criterion { return curriculum.InSession{Is: g.inner(word, decide)} }},
		choice{Holds, 2, func() curriculum.Criterion { return curriculum.Holds{Expr: g.expression()} }})
	if word == curriculum.StopToday {
		return g.choose(of)
	}
	of = append(of,
		choice{AfterTrials, 2, after(curriculum.AfterTrials, false, 8)}, choice{AfterAtStep, 2, after(curriculum.AfterTrials, true, 12)},
		choice{AfterSessions, 2, after(curriculum.AfterSessions, false, 2)}, choice{AfterDays, 2, after(curriculum.AfterDays, false, 3)},
		choice{InSessions, 3, inside(curriculum.Sessions, false)}, choice{InSessionsRow, 3, inside(curriculum.Sessions, true)},
		choice{InPlaces, 3, inside(curriculum.Places, false)}, choice{InHandlers, 2, inside(curriculum.Handlers, false)}, choice{InDays, 2, inside(curriculum.Days, false)},
		choice{FirstTrial, 2, func() curriculum.Criterion { return curriculum.FirstTrial{N: g.between(1, 3)} }},
		choice{FirstTrialRow, 2, func() curriculum.Criterion { return curriculum.FirstTrial{N: g.between(2, 3), InARow: true} }},
		choice{Confidence, 2, func() curriculum.Criterion {
			return curriculum.Confidence{Share: curriculum.Percent(int64(10 * g.between(3, 8))), Confidence: curriculum.Percent(int64(5 * g.between(10, 18))), N: g.between(3, 12)}
		}},
		choice{Statistic, 2, g.statistic})
	if decide.EveryTrials == 0 || word == curriculum.Flag || word == curriculum.Lapse {
		share := func(n int, row bool) func() curriculum.Criterion {
			return func() curriculum.Criterion {
				return curriculum.SessionShare{Share: curriculum.Percent(int64(10 * g.between(4, 9))), MinTrials: g.between(1, 4), N: n, InARow: row}
			}
		}
		of = append(of, choice{Share, 3, share(1, false)}, choice{ShareSessions, 3, share(g.between(2, 3), false)}, choice{ShareRow, 3, share(2, true)})
	}
	if (word == curriculum.Advance || word == curriculum.Ease) && !inNot {
		of = append(of, choice{Sequential, 2, func() curriculum.Criterion {
			return curriculum.Sequential{Low: curriculum.Percent(int64(10 * g.between(2, 5))), High: curriculum.Percent(int64(10 * g.between(6, 9))),
				WronglyUp: curriculum.Percent(int64(5 * g.between(1, 8))), WronglyDown: curriculum.Percent(int64(5 * g.between(1, 8)))}
		}})
	}
	if word != curriculum.Ease && word != curriculum.Lapse {
		weight := 2
		if word == curriculum.Split {
			weight = 40
		}
		of = append(of, choice{Easings, weight, func() curriculum.Criterion { return curriculum.Eased{N: g.between(1, 3)} }})
	}
	return g.choose(of)
}

// choose picks among what is on.
func (g *gen) choose(of []choice) curriculum.Criterion {
	sum := 0
	for _, c := range of {
		if g.on[c.f] {
			sum += c.weight
		}
	}
	n := g.IntN(sum)
	for _, c := range of {
		if !g.on[c.f] {
			continue
		}
		if n -= c.weight; n < 0 {
			if c.f == Sliding || c.f == Streak || c.f == Percent || c.f == AtMost || c.f == Block || c.f == BlockTwice || isCounted(c.f) {
				w := c.make().(curriculum.Window)
				g.mark(c.f)
				return g.shape(w, c.f)
			}
			g.mark(c.f)
			return c.make()
		}
	}
	panic("cases: nothing is on")
}

func isCounted(f Feature) bool {
	return f == Misses || f == WrongOnes || f == Silents || f == Helped || f == OptOuts
}

// window is a plain k of last n with qualifiers; shape makes it what was chosen.
func (g *gen) window(word curriculum.RuleWord, decide curriculum.Decide) curriculum.Window {
	w := curriculum.Window{N: g.between(1, 6)}
	if decide.EveryTrials > 0 {
		w.N = decide.EveryTrials * g.between(1, 2)
	}
	w.K = max(1, w.N-g.IntN(3))
	if g.long && g.chance(0.7) {
		w.N = g.between(50, 140) // more than a machine word holds
		if decide.EveryTrials > 0 {
			w.N = g.between(25, 50) * decide.EveryTrials
		}
		w.K = g.between(w.N/2, w.N)
		w.Count = pick(g, curriculum.Successes, curriculum.Successes, curriculum.Misses)
		return w
	}
	if word == curriculum.Ease || word == curriculum.StopToday || word == curriculum.Split || word == curriculum.Lapse {
		if g.on[Misses] && g.chance(0.7) {
			w.Count = curriculum.Misses
			w.K = g.between(1, min(w.N, 3))
		}
	}
	return w
}

func (g *gen) shape(w curriculum.Window, f Feature) curriculum.Criterion {
	switch f {
	case Streak:
		w.InARow = true
		w.N = min(w.N, 4)
		if g.long && g.chance(0.3) {
			w.N = g.between(20, 70)
		}
		w.K = w.N
	case Percent:
		w.Share = curriculum.Percent(int64(g.between(20, 100)))
		w.K = w.Share.Of(w.N)
		w.Count = curriculum.Successes
		w.Each = g.on[Block] && !g.eachSession && g.chance(0.2)
	case AtMost:
		w.AtMost = true
		w.Count = pick(g, curriculum.Misses, curriculum.WrongOnes, curriculum.Silents, curriculum.HelpedOnes)
		w.K = g.IntN(w.N)
	case Block, BlockTwice:
		w.Each = true
		w.Twice = f == BlockTwice
	case Misses, WrongOnes, Silents, Helped, OptOuts:
		w.Count = map[Feature]curriculum.Counted{Misses: curriculum.Misses, WrongOnes: curriculum.WrongOnes, Silents: curriculum.Silents, Helped: curriculum.HelpedOnes, OptOuts: curriculum.OptOuts}[f]
		w.K = g.between(1, min(w.N, 2))
		if g.long {
			w.K = g.between(1, max(1, w.N/3))
		}
		if w.InARow = g.chance(0.3); w.InARow {
			w.N = w.K
		}
	}
	w.Qualify = g.qualifiers(w.Count)
	return w
}

func (g *gen) qualifiers(of curriculum.Counted) (q curriculum.Qualifiers) {
	if of == curriculum.Successes {
		q.EvenHelped = g.may(EvenHelped, 0.1)
		if g.may(Within, 0.08) {
			v := curriculum.QFrac(int64(g.between(2, 6)), 2, curriculum.Second)
			q.Within = &v
		}
		if g.may(Holding, 0.06) {
			v := curriculum.Q(int64(g.between(1, 8)), curriculum.Second)
			q.Holding = &v
		}
	}
	if g.may(Where, 0.08) {
		q.Where = g.expression()
	}
	if of != curriculum.OptOuts && g.may(Among, 0.1) {
		q.Among = g.expression()
	}
	return q
}

// inner is what may stand before an `in`.
func (g *gen) inner(word curriculum.RuleWord, decide curriculum.Decide) curriculum.Criterion {
	of := []choice{{Sliding, 8, nil}, {Streak, 5, nil}, {Percent, 2, nil}, {AtMost, 1, nil}, {Misses, 2, nil}, {Silents, 1, nil}, {OptOuts, 1, nil}}
	if !decide.EachSession {
		of = append(of, choice{Block, 2, nil})
	}
	for i := range of {
		of[i].make = func() curriculum.Criterion {
			w := g.window(word, decide)
			w.N = min(w.N, 4)
			if decide.EveryTrials > 0 {
				w.N = decide.EveryTrials
			}
			w.K = min(w.K, w.N)
			return w
		}
	}
	c := g.choose(of)
	if g.may(And, 0.1) {
		return curriculum.And{All: []curriculum.Criterion{c, g.choose(of)}}
	}
	if g.may(Done, 0.08) {
		return curriculum.Done{N: g.between(1, 5)}
	}
	return c
}

func (g *gen) countInSession() curriculum.Criterion {
	c := curriculum.InSessionCount{N: g.between(1, 4), Count: pick(g, curriculum.Misses, curriculum.Misses, curriculum.WrongOnes, curriculum.Silents, curriculum.HelpedOnes, curriculum.OptOuts)}
	if g.may(Where, 0.15) {
		c.Where = g.expression()
	}
	return c
}

func (g *gen) statistic() curriculum.Criterion {
	s := curriculum.Statistic{Stat: pick(g, curriculum.Median, curriculum.Mean, curriculum.Best, curriculum.Worst), N: g.between(1, 5), Op: pick(g, "<=", "<", ">=", ">")}
	s.Measure = pick(g, "latency", "duration", "turn", "sway")
	s.Value = map[string]curriculum.Quantity{"latency": curriculum.QFrac(3, 2, curriculum.Second), "duration": curriculum.Q(5, curriculum.Second),
		"turn": curriculum.Q(60, curriculum.Degree), "sway": curriculum.Q(8, curriculum.Centimetre)}[s.Measure]
	return s
}
