// Package cases makes random curricula and histories for comparing readers of them. A case is made from its seed
// alone. Every feature of the language has a switch of its own and a count, so that none is covered by luck.
package cases

import (
	"maps"
	"math/rand/v2"
	"slices"
	"time"

	"example.com/rung/curriculum"
)

// Feature is one thing of the language that a case may use.
type Feature string

// Features of rules and criteria; what a history may hold is always on, as every reader of a history meets it.
const (
	Ease, EaseTo, EaseToFirst, Stop, Flag      Feature = "ease", "ease to", "ease to first level", "stop today", "flag"
	Sliding, Streak, Percent, AtMost           Feature = "k of last n", "in a row", "percent of last n", "at most k of last n"
	Block, BlockTwice                          Feature = "blocks", "blocks twice in a row"
	Misses, WrongOnes, Silents, Helped         Feature = "misses", "wrong", "silent", "helped"
	OptOuts                                    Feature = "opt-outs"
	EvenHelped, Within, Holding, Where, Among  Feature = "even helped", "within", "holding", "where", "among"
	Done, CountInSession, InSession            Feature = "done", "n misses in this session", "in this session"
	AfterTrials, AfterAtStep                   Feature = "after n trials", "after n trials at this step"
	AfterSessions, AfterDays                   Feature = "after n sessions", "after n days"
	Holds, Not, And, Or, Named                 Feature = "expression", "not", "and", "or", "named criterion"
	Needs, NeedsLevel, NeedsKept               Feature = "needs at step", "needs at step and level", "needs kept"
	NeedsDog, NeedsFirmly                      Feature = "needs dog", "needs firmly"
	OneRamp, TwoRamps, Lowering                Feature = "one ramp", "two ramps", "raise lowering others"
	Split, SplitInto, Skip, Lapse, Away        Feature = "split", "split into", "skip", "lapse", "away"
	DecideTrials, DecideSession                Feature = "decide every n trials", "decide each session"
	InSessions, InSessionsRow                  Feature = "in n sessions", "in n sessions in a row"
	InPlaces, InHandlers, InDays               Feature = "in n places", "in n handlers", "in n days"
	Share, ShareSessions, ShareRow             Feature = "session share", "session share in n sessions", "session share in n in a row"
	FirstTrial, FirstTrialRow                  Feature = "first trial in n sessions", "first trial in n in a row"
	Confidence, Sequential, Statistic, Easings Feature = "confidence", "sequential", "statistic", "eased"
	Formerly, Chain                            Feature = "formerly", "chain"
	Long, Review, Varied                       Feature = "windows of more than 64", "review", "varied"
)

// All are all features, in order.
var All = []Feature{
	Ease, EaseTo, EaseToFirst, Stop, Flag, Sliding, Streak, Percent, AtMost, Block, BlockTwice, Misses, WrongOnes, Silents,
	Helped, OptOuts, EvenHelped, Within, Holding, Where, Among, Done, CountInSession, InSession, AfterTrials, AfterAtStep,
	AfterSessions, AfterDays, Holds, Not, And, Or, Named, Needs, NeedsLevel, NeedsKept, OneRamp, TwoRamps, Lowering, Long,
	NeedsDog, NeedsFirmly, Formerly, Chain, Split, SplitInto, Skip, Lapse, Away, DecideTrials, DecideSession,
	InSessions, InSessionsRow, InPlaces, InHandlers, InDays, Share, ShareSessions, ShareRow, FirstTrial, FirstTrialRow,
	Confidence, Sequential, Statistic, Easings, Review, Varied,
}

// Case is one curriculum with one history.
type Case struct {
	Seed       uint64
	Curriculum *curriculum.Curriculum
	Dogs       []curriculum.Dog
	Entries    []curriculum.Entry
	Now        time.Time
}

// Make makes the case of a seed, with only the features that are on.
func Make(seed uint64, on map[Feature]bool) *Case {
	g := &gen{Rand: rand.New(rand.NewPCG(seed, 0x72756e67)), on: on, line: 1}
	c := &Case{Seed: seed, Curriculum: g.curriculum()}
	g.history(c)
	return c
}

// Probe is a small curriculum that uses one feature, to ask an engine whether it knows it; nil for what a probe cannot
// show by itself.
func Probe(f Feature) *curriculum.Curriculum {
	on := map[Feature]bool{f: true, Sliding: true, Ease: true, OneRamp: true, Needs: true}
	if f == Lowering {
		on[TwoRamps] = true
	}
	if f == EaseToFirst {
		on[EaseTo] = true
	}
	if f == ShareSessions || f == ShareRow {
		on[Share] = true
	}
	if f == Easings || f == SplitInto {
		on[Split] = true
	}
	for seed := range uint64(400) {
		g := &gen{Rand: rand.New(rand.NewPCG(seed, 7)), on: on, line: 1, used: map[Feature]bool{}}
		if c := g.curriculum(); g.used[f] {
			return c
		}
	}
	return nil
}

// Clone copies a case deeply enough to leave rules, needs, steps and lines out of the copy.
func (c *Case) Clone() *Case {
	n := *c
	n.Entries = slices.Clone(c.Entries)
	cur := *c.Curriculum
	cur.Behaviours = nil
	for _, b := range c.Curriculum.Behaviours {
		nb := *b
		nb.Needs = slices.Clone(b.Needs)
		nb.Lapse = slices.Clone(b.Lapse)
		nb.Steps = nil
		for _, s := range b.Steps {
			ns := *s
			ns.Rules = slices.Clone(s.Rules)
			nb.Steps = append(nb.Steps, &ns)
		}
		cur.Behaviours = append(cur.Behaviours, &nb)
	}
	n.Curriculum = &cur
	return &n
}

// FeaturesOf are the features in a criterion.
func FeaturesOf(c curriculum.Criterion) []Feature {
	found := map[Feature]bool{}
	collect(c, found)
	return slices.Sorted(maps.Keys(found))
}

func collect(c curriculum.Criterion, found map[Feature]bool) {
	add := func(yes bool, f Feature) {
		if yes {
			found[f] = true
		}
	}
	counted := func(n curriculum.Counted) {
		if n != curriculum.Successes {
			found[map[curriculum.Counted]Feature{curriculum.Misses: Misses, curriculum.WrongOnes: WrongOnes,
				curriculum.Silents: Silents, curriculum.HelpedOnes: Helped, curriculum.OptOuts: OptOuts}[n]] = true
		}
	}
	switch c := c.(type) {
	case curriculum.Window:
		counted(c.Count)
		add(c.InARow, Streak)
		add(c.N > 64, Long)
		add(!c.InARow && !c.Each && !c.AtMost && c.Share.IsZero(), Sliding)
		add(!c.Share.IsZero(), Percent)
		add(c.AtMost, AtMost)
		add(c.Each && !c.Twice, Block)
		add(c.Twice, BlockTwice)
		q := c.Qualify
		add(q.EvenHelped, EvenHelped)
		add(q.Within != nil, Within)
		add(q.Holding != nil, Holding)
		add(q.Where != nil, Where)
		add(q.Among != nil, Among)
	case curriculum.InSessionCount:
		counted(c.Count)
		found[CountInSession] = true
		add(c.Where != nil, Where)
	case curriculum.Done:
		found[Done] = true
	case curriculum.InSession:
		found[InSession] = true
		collect(c.Is, found)
	case curriculum.Repeated:
		found[map[curriculum.Over]Feature{curriculum.Sessions: InSessions, curriculum.Places: InPlaces, curriculum.Handlers: InHandlers, curriculum.Days: InDays}[c.Over]] = true
		add(c.InARow, InSessionsRow)
		collect(c.Is, found)
	case curriculum.SessionShare:
		found[Share] = true
		add(c.N > 1 && !c.InARow, ShareSessions)
		add(c.N > 1 && c.InARow, ShareRow)
	case curriculum.FirstTrial:
		add(!c.InARow, FirstTrial)
		add(c.InARow, FirstTrialRow)
	case curriculum.Confidence:
		found[Confidence] = true
	case curriculum.Sequential:
		found[Sequential] = true
	case curriculum.Statistic:
		found[Statistic] = true
	case curriculum.After:
		add(c.Unit == curriculum.AfterTrials && !c.AtStep, AfterTrials)
		add(c.AtStep, AfterAtStep)
		add(c.Unit == curriculum.AfterSessions, AfterSessions)
		add(c.Unit == curriculum.AfterDays, AfterDays)
	case curriculum.Eased:
		found[Easings] = true
	case curriculum.Holds:
		found[Holds] = true
	case curriculum.Not:
		found[Not] = true
		collect(c.Is, found)
	case curriculum.And:
		found[And] = true
		for _, p := range c.All {
			collect(p, found)
		}
	case curriculum.Or:
		found[Or] = true
		for _, p := range c.Any {
			collect(p, found)
		}
	case curriculum.Named:
		found[Named] = true
		collect(c.Is, found)
	}
}
