package engine_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

func TestEveryCriterionHasWordsForAnOwner(t *testing.T) {
	misses := curriculum.Misses
	for want, c := range map[string]curriculum.Criterion{
		"four of the last five go well":                                                      last(4, 5),
		"three go wrong or need help, one after the other":                                   curriculum.Window{K: 3, N: 3, InARow: true, Count: misses},
		"eight of ten go well, twice":                                                        curriculum.Window{K: 8, N: 10, Each: true, Twice: true},
		"at most one of the last four goes wrong":                                            curriculum.Window{K: 1, N: 4, AtMost: true, Count: curriculum.WrongOnes},
		"the dog leaves twice in one session":                                                curriculum.InSessionCount{N: 2, Count: curriculum.OptOuts},
		"one gets no answer in one session":                                                  curriculum.InSessionCount{N: 1, Count: curriculum.Silents},
		"it was done eight times":                                                            curriculum.Done{N: 8},
		"four of the last five go well, at three different places":                           curriculum.Repeated{Is: last(4, 5), N: 3, Over: curriculum.Places},
		"two whole sessions go well":                                                         curriculum.SessionShare{N: 2, MinTrials: 10},
		"the first try of a session goes well":                                               curriculum.FirstTrial{N: 1},
		"the time to the answer of the last five that went well is on the whole at most 2 s": curriculum.Statistic{Stat: curriculum.Median, Measure: "latency", N: 5, Op: "<=", Value: curriculum.Q(2, curriculum.Second)},
		"the worst turn of the last one that went well is under 60 degrees":                  curriculum.Statistic{Stat: curriculum.Worst, Measure: "turn", N: 1, Op: "<", Value: curriculum.Q(60, curriculum.Degree)},
		"it has been one day":                                                                curriculum.After{N: 1, Unit: curriculum.AfterDays},
		"it has been three sessions, or it had to be made easier twice":                      curriculum.Or{Any: []curriculum.Criterion{curriculum.After{N: 3, Unit: curriculum.AfterSessions}, curriculum.Eased{N: 2}}},
		"your trainer says so":                                                               curriculum.Holds{Expr: &curriculum.Expression{Text: "trial.turn >= 60"}},
		"your trainer says so, and it is not so that three of the last four need help":       curriculum.And{All: []curriculum.Criterion{curriculum.Sequential{}, curriculum.Confidence{}, curriculum.Not{Is: curriculum.Window{K: 3, N: 4, Count: curriculum.HelpedOnes}}}},
		"four of the last five go well, each within 2 s":                                     curriculum.Named{Name: "swift", Is: curriculum.Window{K: 4, N: 5, Qualify: curriculum.Qualifiers{Within: within(2)}}},
	} {
		require.Equal(t, want, engine.OwnerWords(c))
	}
}

func within(seconds int64) *curriculum.Quantity {
	q := curriculum.Q(seconds, curriculum.Second)
	return &q
}

// What an owner reads holds no percent, no words of rules, no ids of trials; both voices keep to the page's width.
func TestAnOwnersExplanationIsFreeOfTheTrade(t *testing.T) {
	c := nearAndFurther()
	c.Behaviours[0].Steps[0].Text = "palm close to the nose"
	p := compile(t, c)
	d := okapi().tally("touch", "+ - x + h + + + D - - + x")
	f := p.Replay(d.list, d.at)
	w, err := f.Why("okapi", "touch", f.Now())
	require.NoError(t, err)
	owner := w.Words(engine.ForOwner)
	require.Equal(t, w.Text(), w.Words(engine.ForTrainer))
	require.Contains(t, owner, "palm close to the nose")
	for _, word := range []string{"advance", "ease", "streak", "%", "house.rung", "evidence", "t1"} {
		require.NotContains(t, strings.ReplaceAll(owner, "easier", ""), word)
	}
	for _, line := range strings.Split(owner+w.Text(), "\n") {
		require.LessOrEqual(t, len(line), 80)
	}
}
