package plan_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

// paid plans a session of one behaviour with that schedule at a level with that hold.
func paid(t *testing.T, s curriculum.Schedule, hold int64, seed uint64) plan.Item {
	t.Helper()
	c := &curriculum.Curriculum{Name: "one", Foods: []curriculum.Food{{Name: "ration", Energy: curriculum.Q(1, curriculum.Kilocalorie), EatenIn: curriculum.Q(2, curriculum.Second)}},
		Measures: []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}, {Name: "gap", Unit: curriculum.Second, SmallerIsBetter: true}}, Sessions: []*curriculum.Session{{Lasts: curriculum.Q(10, curriculum.Minute)}}}
	var ramps []curriculum.Ramp
	if hold > 0 {
		ramps = []curriculum.Ramp{{Of: "duration", Measured: true, Values: quantities(curriculum.Second, hold)}}
	}
	st := step("only", "", ramps...)
	st.Reward = &s
	c.Behaviours = []*curriculum.Behaviour{{Name: "mat", Steps: []*curriculum.Step{st}}}
	v := shown(c, curriculum.Dog{Name: "okapi"}, func(by map[string]*engine.BehaviourView) { by["mat"].State = curriculum.Working })
	p := plannedOf(t, c, v, plan.Request{Seed: seed})
	require.Len(t, p.Items, 1)
	require.Equal(t, 12, p.Items[0].Trials)
	return p.Items[0]
}

func ratioOf(k curriculum.ScheduleKind, num, den int64) curriculum.Schedule {
	return curriculum.Schedule{Kind: k, Value: curriculum.QFrac(num, den, curriculum.NoUnit)}
}

func marks(yes []bool) string {
	var b strings.Builder
	for _, y := range yes {
		if y {
			b.WriteByte('*')
		} else {
			b.WriteByte('.')
		}
	}
	return b.String()
}

func TestWhichTrialsAreRewarded(t *testing.T) {
	for _, k := range []struct {
		name     string
		s        curriculum.Schedule
		rewarded string
		words    string
	}{
		{"every success", curriculum.Schedule{Kind: curriculum.EverySuccess}, "************", "feed every success"},
		{"every third", ratioOf(curriculum.FixedRatio, 3, 1), "..*..*..*..*", "feed the 3rd, 6th, 9th and 12th success; count successes only"},
		{"two of three", ratioOf(curriculum.FixedRatio, 3, 2), ".**.**.**.**", "feed the 2nd, 3rd, 5th, 6th, 8th, 9th, 11th and 12th success; count successes only"},
		{"a ratio that is none pays everything", ratioOf(curriculum.VariableRatio, 1, 2), "************", "feed every success"},
	} {
		t.Run(k.name, func(t *testing.T) {
			it := paid(t, k.s, 0, 1)
			require.Equal(t, k.rewarded, marks(it.Rewarded))
			require.Equal(t, k.words, it.PayWords)
			require.Equal(t, strings.Count(k.rewarded, "*"), it.Pieces)
		})
	}
}

func TestACapOnTheUnpaidIsKeptAndItsCostIsSaid(t *testing.T) {
	s := ratioOf(curriculum.VariableRatio, 4, 1)
	s.MostUnpaid = 4
	c := lasting(s)
	p := plannedOf(t, c, shown(c, curriculum.Dog{Name: "okapi"}), plan.Request{})
	require.Contains(t, strings.Join(p.Notes, "\n"), "mat: rewards come 3 to 5 successes apart in place of 1 to 7, so they are easier to foresee: variance 0.67 in place of 4.")
	require.Equal(t, 1, strings.Count(strings.Join(p.Notes, "\n"), "successes apart"), "said once")
	paid, successes := week(t, c, 7, true, nil)
	require.InDelta(t, float64(successes)/4, float64(paid), 1)
	for seed := range uint64(30) {
		require.NotContains(t, marks(paidBy(t, s, seed)), ".....")
	}
}

func paidBy(t *testing.T, s curriculum.Schedule, seed uint64) []bool {
	return paid(t, s, 0, seed).Rewarded
}

func TestAVariableRatioIsBalancedAndFollowsTheSeed(t *testing.T) {
	seen := map[string]bool{}
	for seed := range uint64(20) {
		it := paid(t, ratioOf(curriculum.VariableRatio, 2, 1), 0, seed)
		m := marks(it.Rewarded)
		seen[m] = true
		require.Equal(t, 6, it.Pieces, "twelve successes are two whole lists of 1, 2 and 3: %s", m)
		require.NotContains(t, m, "....", "never more than two unpaid of one gap beside two of the next")
		require.Equal(t, it, paid(t, ratioOf(curriculum.VariableRatio, 2, 1), 0, seed))
	}
	require.Greater(t, len(seen), 5)
}

func TestIntervalsAreListedAsSeconds(t *testing.T) {
	it := paid(t, curriculum.Schedule{Kind: curriculum.FixedInterval, Value: curriculum.Q(20, curriculum.Second)}, 0, 1)
	// a trial without food takes 4.3 s, and its success counts from its end: 4 x 4.3 = 17.2 is not yet 20
	require.Equal(t, "....*", marks(it.Rewarded)[:5])
	require.Len(t, it.PayAfter, it.Pieces)
	require.Equal(t, strings.Count(marks(it.Rewarded), "*")+1, it.Pieces, "one more than expected may fall due")
	for _, s := range it.PayAfter {
		require.Equal(t, 20.0, s)
	}
	v := paid(t, curriculum.Schedule{Kind: curriculum.VariableInterval, Value: curriculum.Q(10, curriculum.Second)}, 0, 1)
	require.Len(t, v.PayAfter, v.Pieces)
	require.Contains(t, v.PayWords, "first success after each of these times")
}

func TestAnOwnerWithAWatchSeesNoStars(t *testing.T) {
	for s, stars := range map[curriculum.Schedule]bool{ratioOf(curriculum.FixedRatio, 3, 1): true, {Kind: curriculum.FixedInterval, Value: curriculum.Q(20, curriculum.Second)}: false} {
		c := lasting(s)
		text := plannedOf(t, c, shown(c, curriculum.Dog{Name: "okapi"}), plan.Request{}).TextFor(engine.ForOwner)
		require.Contains(t, text, "[ ]")
		require.Equal(t, stars, strings.Contains(text, "[*]"), "%s", s)
	}
}

func TestHoldsArePaidInsideAndAtTheirEnd(t *testing.T) {
	it := paid(t, curriculum.Schedule{Kind: curriculum.FixedDuration, Value: curriculum.Q(4, curriculum.Second)}, 10, 1)
	for _, at := range it.PayAt {
		require.Equal(t, []float64{4, 8, 10}, at)
	}
	require.Equal(t, 36, it.Pieces)
	require.InDelta(t, 12*(4.3+10+3), it.Seconds, 1e-9)

	short := paid(t, curriculum.Schedule{Kind: curriculum.VariableDuration, Value: curriculum.Q(40, curriculum.Second)}, 2, 1)
	require.Equal(t, 12, short.Pieces, "a completed hold is always paid")
	require.Equal(t, "feed every success, at the end of its hold", short.PayWords)

	// without a duration of its own the list says how long each hold is: eight times around 10 s, whole lists average it
	free := paid(t, curriculum.Schedule{Kind: curriculum.VariableDuration, Value: curriculum.Q(10, curriculum.Second)}, 0, 1)
	sum := 0.0
	for _, at := range free.PayAt[:8] {
		require.Len(t, at, 1)
		sum += at[0]
	}
	require.Equal(t, 80.0, sum)
}

// ranked plans a session of one behaviour that ramps over turn and is paid for the best half of the last nine.
func ranked(t *testing.T, measure string, values ...float64) plan.Item {
	t.Helper()
	best := curriculum.Schedule{Kind: curriculum.Percentile, Share: curriculum.Percent(50), Window: 9, Measure: measure}
	c := &curriculum.Curriculum{Name: "one", Measures: []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}, {Name: "gap", Unit: curriculum.Second, SmallerIsBetter: true}},
		Sessions: []*curriculum.Session{{Lasts: curriculum.Q(10, curriculum.Minute)}}}
	st := step("only", "", curriculum.Ramp{Of: "turn", Measured: true, Values: quantities(curriculum.Degree, 30, 60, 90)})
	st.Reward = &best
	c.Behaviours = []*curriculum.Behaviour{{Name: "spin", Steps: []*curriculum.Step{st}}}
	v := shown(c, curriculum.Dog{Name: "okapi"}, func(by map[string]*engine.BehaviourView) {
		by["spin"].State, by["spin"].Pay = curriculum.Working, engine.PayRun{Schedule: best, Values: values}
	})
	p := plannedOf(t, c, v, plan.Request{})
	require.Len(t, p.Items, 1)
	return p.Items[0]
}

func TestABarStaysBetweenTheStatedBounds(t *testing.T) {
	s := curriculum.Schedule{Kind: curriculum.Percentile, Share: curriculum.Percent(50), Window: 9, Measure: "turn", From: curriculum.Q(45, curriculum.Degree), To: curriculum.Q(80, curriculum.Degree)}
	for value, words := range map[float64]string{20: "turn at least 45 deg", 60: "turn over 60 deg", 170: "turn at least 80 deg"} {
		c := lasting(s)
		v := shown(c, curriculum.Dog{Name: "okapi"}, func(by map[string]*engine.BehaviourView) {
			by["mat"].State, by["mat"].Pay = curriculum.Working, engine.PayRun{Schedule: s, Values: []float64{value, value, value}}
		})
		require.Equal(t, words, plannedOf(t, c, v, plan.Request{}).Items[0].PayBar.String())
	}
}

func TestTheBestArePaidOverABarThatStandsForTheSession(t *testing.T) {
	for _, k := range []struct {
		name, measure string
		values        []float64
		words         string
		bar           *plan.PayBar
	}{
		{"nothing on record", "turn", nil, "feed every success and write its turn down: from the next session on the best 50% are fed", nil},
		{"the fifth lowest of nine", "turn", []float64{30, 35, 40, 45, 50, 55, 60, 65, 70}, "feed a success with a turn over 50 deg; write each turn down", &plan.PayBar{Measure: "turn", Words: "over", Value: 50, Unit: "deg"}},
		{"never easier than the level", "turn", []float64{10, 10, 10, 20, 20}, "feed a success with a turn at least 30 deg; write each turn down", &plan.PayBar{Measure: "turn", Words: "at least", Value: 30, Unit: "deg"}},
		{"never harder than the last level", "turn", []float64{180, 180, 180}, "feed a success with a turn at least 90 deg; write each turn down", &plan.PayBar{Measure: "turn", Words: "at least", Value: 90, Unit: "deg"}},
		{"smaller is better", "gap", []float64{1, 2, 3}, "feed a success with a gap under 2 s; write each gap down", &plan.PayBar{Measure: "gap", Words: "under", Value: 2, Unit: "s"}},
		{"latency", "latency", []float64{1.5, 2.5, 3.5}, "feed a success with a latency under 2.5 s; write each latency down", &plan.PayBar{Measure: "latency", Words: "under", Value: 2.5, Unit: "s"}},
	} {
		t.Run(k.name, func(t *testing.T) {
			it := ranked(t, k.measure, k.values...)
			require.Equal(t, k.words, it.PayWords)
			require.Equal(t, k.bar, it.PayBar)
			require.Equal(t, it.Trials, len(it.Rewarded), "counted as if every success were paid")
		})
	}
}

func TestAuthorsWordsStayWordsInMarkdown(t *testing.T) {
	c := yard()
	c.Behaviour("settle").Sheet.Success = "chest | <b>down</b> & *still* [see](x)\nfor 2 s"
	md := plannedOf(t, c, gantry(c), plan.Request{}).Markdown()
	require.Contains(t, md, `| Counts | chest \| &lt;b&gt;down&lt;/b&gt; &amp; \*still\* \[see\](x) for 2 s |`)
}

func TestLongWordsStandAlone(t *testing.T) {
	c := yard()
	c.Behaviour("settle").Sheet.Do = "say " + strings.Repeat("x", 120) + " once"
	require.Contains(t, plannedOf(t, c, gantry(c), plan.Request{}).Text(), "\n                 "+strings.Repeat("x", 120)+"\n")
}
