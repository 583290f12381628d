package cases

import (
	"fmt"
	"math/rand/v2"

	"example.com/rung/curriculum"
)

type gen struct {
	*rand.Rand
	on          map[Feature]bool
	used        map[Feature]bool
	line        int
	c           *curriculum.Curriculum
	long        bool // windows of many words and histories that fill them
	eachSession bool // the step being made is decided each session
}

func (g *gen) chance(p float64) bool { return g.Float64() < p }

// may is a chance that a feature is used where it is on.
func (g *gen) may(f Feature, p float64) bool {
	if !g.on[f] || !g.chance(p) {
		return false
	}
	g.mark(f)
	return true
}

func (g *gen) mark(f Feature) {
	if g.used != nil {
		g.used[f] = true
	}
}

func (g *gen) between(a, b int) int { return a + g.IntN(b-a+1) }

func (g *gen) pos() curriculum.Pos {
	g.line++
	return curriculum.Pos{File: "case.rung", Line: g.line, Column: 3}
}

func pick[T any](g *gen, of ...T) T { return of[g.IntN(len(of))] }

func (g *gen) curriculum() *curriculum.Curriculum {
	g.c = &curriculum.Curriculum{
		Name:     "Pindrift case",
		Places:   []string{"room-a", "yard", "lane"},
		Handlers: []string{"senior", "junior", "owner"},
		Measures: []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}, {Name: "sway", Unit: curriculum.Centimetre, SmallerIsBetter: true}},
		Signs: []curriculum.Sign{
			{Name: "limp", Locks: curriculum.LockEverything}, {Name: "growl", Locks: curriculum.LockBehaviour},
			{Name: "shiver", Locks: curriculum.LockNamed, Only: []string{"spin"}}, {Name: "yawn", Locks: curriculum.EndBehaviour},
		},
	}
	g.long = g.may(Long, 0.01)
	if g.may(Away, 0.5) {
		s := &curriculum.Session{Away: []curriculum.Away{{Days: g.between(2, 6), Levels: g.between(1, 2), Pos: g.pos()}}}
		if g.chance(0.4) {
			s.Away = append(s.Away, curriculum.Away{Days: g.between(7, 12), Levels: g.between(2, 4), Pos: g.pos()})
		}
		g.c.Sessions = []*curriculum.Session{s}
		if g.chance(0.4) {
			g.c.Sessions = append(g.c.Sessions, &curriculum.Session{Name: "short",
				Away: []curriculum.Away{{Days: g.between(2, 12), Levels: g.between(1, 3), Pos: g.pos()}}})
		}
	}
	for i := range g.between(2, 4) {
		g.c.Behaviours = append(g.c.Behaviours, g.behaviour(i))
	}
	return g.c
}

func (g *gen) behaviour(i int) *curriculum.Behaviour {
	b := &curriculum.Behaviour{Name: []string{"spin", "mat", "wait", "bow"}[i], Pos: g.pos()}
	if g.may(Formerly, 0.4) {
		b.Formerly = []string{"old-" + b.Name}
	}
	for s := range g.between(1, 4) {
		b.Steps = append(b.Steps, g.step(s, b))
	}
	if i > 0 {
		g.needs(b, i)
	}
	if g.may(Review, 0.5) {
		for _, q := range []curriculum.Quantity{curriculum.Q(1, curriculum.Day), curriculum.Q(50, curriculum.Hour), curriculum.Q(1, curriculum.Week)} {
			if g.chance(0.7) {
				b.Review = append(b.Review, q)
			}
		}
	}
	if g.may(Lapse, 0.7) {
		for range g.between(1, 2) {
			r := curriculum.Rule{Word: curriculum.Lapse, When: g.criterion(curriculum.Lapse, curriculum.Decide{}, 1), Pos: g.pos()}
			if g.chance(0.6) {
				r.To = pick(g, b.Steps...).Name
				r.ToFirst = g.chance(0.3)
			}
			b.Lapse = append(b.Lapse, r)
		}
	}
	return b
}

// needs are on behaviours before it in the file, so that no circle closes.
func (g *gen) needs(b *curriculum.Behaviour, i int) {
	if !g.chance(0.5) {
		return
	}
	for range g.between(1, 2) {
		other := g.c.Behaviours[g.IntN(i)]
		n := curriculum.Need{Pos: g.pos()}
		switch {
		case g.may(NeedsDog, 0.3):
			n.Dog = &curriculum.Expression{Text: pick(g, "dog.age_months >= 12", "dog.age_days < 400", "dog.weight_kg > 4"), Pos: n.Pos}
		case g.may(NeedsKept, 0.25):
			n.Other = other.Name
		case g.may(Needs, 1):
			s := pick(g, other.Steps...)
			n.Other, n.Step = other.Name, s.Name
			if len(s.Levels) > 1 && g.may(NeedsLevel, 0.5) {
				n.Level = curriculum.LevelRef(pick(g, s.Levels...).Values)
			}
		default:
			return
		}
		n.Firmly = g.may(NeedsFirmly, 0.4)
		b.Needs = append(b.Needs, n)
	}
}

func (g *gen) step(i int, b *curriculum.Behaviour) *curriculum.Step {
	s := &curriculum.Step{Name: []string{"start", "second", "third", "fourth"}[i], Pos: g.pos()}
	if g.may(Formerly, 0.3) {
		s.Formerly = []string{"old-" + s.Name}
	}
	s.Prompts = pick(g, nil, []string{"word"}, []string{"word", "lure"})
	s.Help = pick(g, nil, []string{"lure"}, []string{"touch"})
	switch {
	case g.may(TwoRamps, 0.3):
		s.Ramps = g.ramps(2)
		if g.may(Lowering, 0.4) {
			s.Raise = curriculum.Raise{OneAtATime: true, LowerBy: 1}
		}
	case g.may(OneRamp, 0.7):
		s.Ramps = g.ramps(1)
	}
	s.Levels = curriculum.LayOut(s.Ramps, s.Raise)
	if g.may(Chain, 0.15) {
		s.Chain = []string{"spin", "mat"}
	}
	switch {
	case g.may(DecideTrials, 0.2):
		s.Decide = curriculum.Decide{EveryTrials: g.between(2, 3), Pos: g.pos()}
	case g.may(DecideSession, 0.2):
		s.Decide = curriculum.Decide{EachSession: true, Pos: g.pos()}
	}
	g.rules(s, i, b)
	curriculum.AskFullValue(s)
	return s
}

func (g *gen) rules(s *curriculum.Step, i int, b *curriculum.Behaviour) {
	add := func(r curriculum.Rule) {
		r.When = g.criterion(r.Word, s.Decide, 2)
		r.Pos = g.pos()
		s.Rules = append(s.Rules, r)
	}
	times := func(f Feature, p float64) int {
		if !g.may(f, p) {
			return 0
		}
		return pick(g, 1, 1, 1, 2)
	}
	for range pick(g, 1, 1, 1, 1, 2) {
		add(curriculum.Rule{Word: curriculum.Advance})
	}
	for range times(Ease, 0.65) {
		r := curriculum.Rule{Word: curriculum.Ease}
		if i > 0 && g.may(EaseTo, 0.4) {
			r.To = b.Steps[g.IntN(i)].Name
			r.ToFirst = g.may(EaseToFirst, 0.4)
		}
		add(r)
	}
	for range times(Stop, 0.3) {
		add(curriculum.Rule{Word: curriculum.StopToday})
	}
	for range times(Flag, 0.3) {
		add(curriculum.Rule{Word: curriculum.Flag})
	}
	for range times(Split, 0.4) {
		r := curriculum.Rule{Word: curriculum.Split}
		if g.may(SplitInto, 0.3) {
			r.Into = []string{"one paw", "two paws"}[:g.between(1, 2)]
		}
		add(r)
	}
	if i > 0 {
		for range times(Skip, 0.4) {
			add(curriculum.Rule{Word: curriculum.Skip})
		}
	}
	g.Shuffle(len(s.Rules), func(a, b int) { s.Rules[a], s.Rules[b] = s.Rules[b], s.Rules[a] })
}

func (g *gen) ramps(n int) []curriculum.Ramp {
	q := func(u curriculum.Unit, ns ...int64) (out []curriculum.LevelValue) {
		for _, n := range ns {
			out = append(out, curriculum.LevelValue{Quantity: curriculum.Q(n, u)})
		}
		return out
	}
	names := func(ns ...string) (out []curriculum.LevelValue) {
		for _, n := range ns {
			out = append(out, curriculum.LevelValue{Name: n})
		}
		return out
	}
	thin := func(rs ...int64) (out []curriculum.LevelValue) {
		for _, r := range rs {
			out = append(out, curriculum.LevelValue{Thin: &curriculum.Schedule{Kind: curriculum.VariableRatio, Value: curriculum.Q(r, curriculum.NoUnit)}})
		}
		return out
	}
	all := []curriculum.Ramp{
		{Of: "duration", Values: append(q(curriculum.Second, 2, 5, 20), q(curriculum.Minute, 1)...), Measured: true},
		{Of: "distance", Values: append(q(curriculum.Centimetre, 0, 50), q(curriculum.Metre, 1, 3)...), Measured: true, Grain: curriculum.Q(20, curriculum.Centimetre)},
		{Of: "turn", Values: q(curriculum.Degree, 30, 60, 115), Measured: true, Grain: curriculum.Q(15, curriculum.Degree)},
		{Of: "sway", Values: q(curriculum.Centimetre, 20, 10, 4), Measured: true, Falling: true, Grain: curriculum.Q(4, curriculum.Centimetre)},
		{Of: "pause", Values: q(curriculum.Second, 1, 2, 5), Grain: curriculum.Q(2, curriculum.Second)},
		{Of: "distraction", Values: names("none", "toys", "people")},
		{Of: curriculum.ThinRamp, Values: thin(2, 3, 4)},
	}
	g.Shuffle(len(all), func(a, b int) { all[a], all[b] = all[b], all[a] })
	all = all[:n]
	for i := range all {
		all[i].Values = all[i].Values[:g.between(2, len(all[i].Values))]
		all[i].Pos = g.pos()
		if v := &all[i]; v.Values[0].Name == "" && v.Values[0].Thin == nil && !v.Falling {
			v.Varied = g.may(Varied, 0.3)
		}
	}
	return all
}

// expression is one of a few conditions over a trial or the dog.
func (g *gen) expression() *curriculum.Expression {
	one := func() string {
		return pick(g, `place == "yard"`, `place != "room-a"`, `handler == "owner"`, "latency <= 2", "duration >= 5", "sway < 6.5",
			"turn > 45", "dog.age_months >= 12", "rewarded", "not rewarded", "not early", "distance != 1")
	}
	t := one()
	if g.chance(0.25) {
		t += pick(g, " and ", " or ") + one()
	}
	return &curriculum.Expression{Text: t, Pos: g.pos()}
}

func (g *gen) named(c curriculum.Criterion) curriculum.Criterion {
	name := fmt.Sprintf("rule-%d", len(g.c.Criteria)+1)
	g.c.Criteria = append(g.c.Criteria, curriculum.NamedCriterion{Name: name, Is: c, Pos: g.pos()})
	return curriculum.Named{Name: name, Is: c}
}
