package automaton_test

import (
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/automaton"
)

// step is a curriculum whose only step has these lines.
func step(t testing.TB, lines string) *curriculum.Curriculum {
	t.Helper()
	c, ds := dsl.ReadString("a.rung", "rung 1\nplace room-a, yard, lane, foyer\nhandler senior, owner\nmeasure turn in deg\nbehaviour spin {\n  step one {\n    prompt word\n"+lines+"\n  }\n}\n")
	require.Empty(t, ds.Text())
	return c
}

func built(t testing.TB, lines string, opts automaton.Options) *automaton.Machine {
	t.Helper()
	m, err := automaton.Build(step(t, lines), "spin", 0, 0, opts)
	require.NoError(t, err)
	return m
}

func marksOf(m *automaton.Machine) string {
	var out []string
	for _, l := range m.Letters() {
		out = append(out, l.Mark)
	}
	return strings.Join(out, " ")
}

func TestLettersAreWhatTheRulesTellApart(t *testing.T) {
	for _, c := range []struct{ name, lines, want string }{
		{"misses are one, and so is all that is no evidence", "advance when 4 of last 5\nease when 3 misses of last 5", "+ - e"},
		{"silence is another thing where a rule asks for it", "advance when 4 of last 5\nease when 2 silent in a row", "+ - 0 e"},
		{"late help may count as a success", "advance when 4 of last 5 even helped", "+ - e"},
		{"opt-outs are evidence of nothing and have their counts", "advance when 4 of last 5\nease when 2 opt-outs of last 4", "+ - e o!"},
		{"sessions matter to a session's counts", "advance when 4 of last 5 in this session", "+ - e |"},
		{"dates matter to days", "advance when 3 in a row and after 2 days", "+ - e ||"},
		{"both, and a session past midnight", "advance when 3 in a row in 2 days\nease when 2 misses in this session", "+ - e | || ~"},
		{"a measure is cut where a rule cuts it", "advance when 3 in a row within 2 s", "- e +(latency 1 s)"},
		{"places that are asked for, and none", "advance when 2 in a row in 2 places", "- + - e + - e"},
		{"attempts", "advance when done 8 times", "+ o!"},
	} {
		require.Equal(t, c.want, marksOf(built(t, c.lines, automaton.Options{})), c.name)
	}
}

func TestCasesOfALetterAreAllThatItStandsFor(t *testing.T) {
	m := built(t, "advance when 4 of last 5\nease when 3 misses of last 5", automaton.Options{})
	miss := m.Letters()[1]
	require.Equal(t, []automaton.Kind{automaton.Wrong, automaton.Silent, automaton.Helped}, miss.Kinds())
	require.True(t, miss.Miss())
	require.Equal(t, "wrong or silent or helped", miss.Text)
	li, ok := m.LetterOf(&automaton.Case{Kind: automaton.Silent, Place: "beach"})
	require.True(t, ok)
	require.Equal(t, 1, li)
	m = built(t, "advance when 2 in a row in 2 places", automaton.Options{})
	_, ok = m.LetterOf(&automaton.Case{Kind: automaton.Silent, Place: "beach"})
	require.False(t, ok, "a place the machine does not cover")
}

func TestHistoriesReadAsTheyWereMade(t *testing.T) {
	at := func(m *automaton.Machine, marks ...string) (out []int) {
		for _, mark := range marks {
			for li, l := range m.Letters() {
				if l.Mark == mark {
					out = append(out, li)
					break
				}
			}
		}
		return out
	}
	m := built(t, "advance when 3 in a row in 2 days\nease when 2 misses in this session", automaton.Options{})
	h := at(m, "+", "-", "|", "+", "|", "||", "-", "~", "+", "|")
	require.Equal(t, []string{"+ -", "next session: +", "next day: -", "past midnight: +", "then the session ends"}, m.Write(h))
	require.Equal(t, "+ - | + || - ~ + |", strings.Join(m.Marks(h), " "))

	m = built(t, "advance when 2 in a row in 2 places", automaton.Options{})
	h, ok := m.Shortest(func(_ automaton.At, st automaton.Step) bool { return st.Takes >= 0 })
	require.True(t, ok)
	require.Equal(t, []string{"room-a: + +", "yard: + +"}, m.Write(h))
	require.Equal(t, "+(room-a) + +(yard) +", strings.Join(m.Marks(h), " "))

	m = built(t, "advance when 2 in a row within 2 s", automaton.Options{})
	h, _ = m.Shortest(func(_ automaton.At, st automaton.Step) bool { return st.Takes >= 0 })
	require.Equal(t, "+(latency 1 s) +(latency 1 s)", strings.Join(m.Marks(h), " "))
	trials := m.Trials(h, "okapi", "spin", monday)
	require.Len(t, trials, 2)
	v, _ := trials[1].Measure("latency")
	require.InDelta(t, 1, v, 0)
}

// The shortest history to each rule is compared with all histories, the short ones first, through the engine.
func TestNoHistoryIsShorterThanTheShortest(t *testing.T) {
	for _, lines := range []string{
		"advance when 4 of last 5\nease when 3 misses of last 5",
		"advance when 3 of each 4\nease when 2 misses in a row",
		"advance when at most 1 wrong of last 5\nease when 3 misses of last 4",
		"advance when 60% of last 5 and after 4 trials\nease when 2 silent of last 3",
		"decide every 3 trials\nadvance when 2 of last 3\nease when 3 misses of last 6",
		"advance when 2 of each 3 twice in a row\nease when 2 helped of last 4 or 3 wrong in a row",
		"advance when not 1 misses of last 3 and 2 of last 2\nease when done 6 times",
	} {
		c := step(t, lines)
		p, err := engine.Compile(c)
		require.NoError(t, err)
		m := built(t, lines, automaton.Options{})
		for i, r := range m.Rules() {
			h, ok := m.Shortest(func(_ automaton.At, st automaton.Step) bool { return int(st.Takes) == i })
			require.True(t, ok)
			require.Equal(t, len(h), shortestByTrying(t, p, m, r.Source.Pos.Line), "%s: %s", lines, r.Text)
		}
	}
}

// shortestByTrying is how many trials it takes to the first move by the rule of a line, found by trying all.
func shortestByTrying(t *testing.T, p *engine.Program, m *automaton.Machine, line int) int {
	for n := 1; n <= 7; n++ {
		letters := len(m.Letters())
		total := 1
		for range n {
			total *= letters
		}
		for code := range total {
			f := p.NewFold()
			rest := code
			var history []int
			for range n {
				history = append(history, rest%letters)
				rest /= letters
			}
			trials := m.Trials(history, "okapi", "spin", monday)
			for i := range trials {
				require.NoError(t, f.Record(&trials[i]))
			}
			moves := f.Standing(f.Now()).Dogs[0].Behaviours[0].Moves
			if len(moves) > 0 && moves[0].Line == line && moves[0].Trial == fmt.Sprintf("t%d", n) {
				return n
			}
		}
	}
	return 0
}

func TestTwoWindowsTogetherHaveNoMoreStatesThanTheyMust(t *testing.T) {
	m := built(t, "advance when 4 of last 5\nease when 3 misses of last 5", automaton.Options{})
	_, least := m.Minimise()
	require.True(t, m.Complete())
	// no three misses among the last five and no four successes: fewer than 2^5, and the same as a machine over the
	// last five trials has once those that nothing tells apart are joined
	require.Equal(t, leastOverLastFive(), least)
}

// leastOverLastFive counts the states of 4 of 5 against 3 misses of 5 from scratch: histories of up to five trials,
// joined where the future is the same.
func leastOverLastFive() int {
	var live []string
	ended := func(h string) string {
		switch {
		case strings.Count(h, "-") >= 3:
			return "ease"
		case strings.Count(h, "+") >= 4:
			return "advance"
		}
		return ""
	}
	seen := map[string]bool{"": true}
	for queue := []string{""}; len(queue) > 0; queue = queue[1:] {
		live = append(live, queue[0])
		for _, x := range "+-" {
			h := queue[0] + string(x)
			h = h[max(0, len(h)-5):]
			if ended(h) == "" && !seen[h] {
				seen[h] = true
				queue = append(queue, h)
			}
		}
	}
	class := map[string]string{}
	for n := 0; ; {
		ids := map[string]string{}
		next := map[string]string{}
		for _, h := range live {
			key := class[h]
			for _, x := range "+-" {
				to := h + string(x)
				to = to[max(0, len(to)-5):]
				if e := ended(to); e != "" {
					key += "/" + e
				} else {
					key += "/" + class[to]
				}
			}
			if _, ok := ids[key]; !ok {
				ids[key] = fmt.Sprint(len(ids))
			}
			next[h] = ids[key]
		}
		class = next
		if len(ids) == n {
			return n
		}
		n = len(ids)
	}
}

// A window is looked at again from all its trials, the slow way.
func TestWindowsAreWhatCountingFromScratchSays(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(rt, "n")
		k := rapid.IntRange(1, n).Draw(rt, "k")
		each := rapid.Bool().Draw(rt, "each")
		m, err := automaton.Of(curriculum.Window{K: k, N: n, Each: each}, nil, automaton.Options{GoesOn: true})
		require.NoError(rt, err)
		var all []bool
		s := m.Start()
		for range rapid.IntRange(1, 40).Draw(rt, "trials") {
			li := rapid.IntRange(0, len(m.Letters())-1).Draw(rt, "letter")
			kind := m.Letters()[li].Cases[0].Kind
			if kind.Evidence() {
				all = append(all, kind == automaton.Success)
			}
			st := m.Next(s, li)
			last := all[max(0, len(all)-n):]
			good := 0
			for _, x := range last {
				if x {
					good++
				}
			}
			want := good >= k
			if each {
				want = want && kind.Evidence() && len(all)%n == 0
			}
			require.Equal(rt, want, st.Holds == 1, "%v", all)
			s = st.To
		}
	})
}

func TestWhatCannotBeWorkedOutMayHoldOrNot(t *testing.T) {
	m := built(t, "advance when 2 in a row and { dog.age_months >= 12 }", automaton.Options{})
	require.Equal(t, []string{"{ dog.age_months >= 12 }"}, m.Opaque())
	dog := curriculum.Dog{Name: "okapi", Born: time.Date(2024, 1, 1, 0, 0, 0, 0, time.UTC)}
	m = built(t, "advance when 2 in a row and { dog.age_months >= 12 }", automaton.Options{Dog: &dog, Day: monday})
	require.Empty(t, m.Opaque())
	_, ok := m.Shortest(func(_ automaton.At, st automaton.Step) bool { return st.Takes >= 0 })
	require.True(t, ok)
	dog.Born = monday.AddDate(0, -3, 0)
	m = built(t, "advance when 2 in a row and { dog.age_months >= 12 }", automaton.Options{Dog: &dog, Day: monday})
	_, ok = m.Shortest(func(_ automaton.At, st automaton.Step) bool { return st.Takes >= 0 })
	require.False(t, ok, "a pup of three months")

	warm := expression.Function{Name: "warm", Returns: expression.Bool, Call: func([]expression.Value) expression.Value { return expression.Value{Type: expression.Bool} }}
	c := step(t, "advance when 4 of last 5")
	when := curriculum.Window{K: 2, N: 2, Qualify: curriculum.Qualifiers{Where: &curriculum.Expression{Text: "warm()"}}}
	m, err := automaton.Of(when, c, automaton.Options{Functions: []expression.Function{warm}})
	require.NoError(t, err)
	require.Equal(t, []string{"{ warm() }"}, m.Opaque())
	m, err = automaton.Of(when, c, automaton.Options{})
	require.NoError(t, err)
	require.Equal(t, []string{"{ warm() }"}, m.Opaque(), "a function that nobody named")
	h, ok := m.Shortest(func(_ automaton.At, st automaton.Step) bool { return st.Takes >= 0 })
	require.True(t, ok)
	require.Equal(t, []string{"+ +"}, m.Write(h))
	require.Contains(t, m.Letters()[h[0]].Text, "{ warm() } holds")
}

func TestAMachineSaysHowFarItKnows(t *testing.T) {
	m := built(t, "advance when 4 of last 5", automaton.Options{})
	require.Equal(t, -1, m.Horizon())
	small := automaton.Options{Budget: 30}
	m = built(t, "advance when sequential 60% against 90% wrongly up 5% wrongly down 10%\nease when sequential 60% against 90% wrongly up 5% wrongly down 10%", small)
	require.False(t, m.Complete())
	require.Equal(t, 30, m.Len())
	n := m.Horizon()
	require.Positive(t, n)
	for at, st := range m.Steps() {
		if st.To == automaton.Unexplored {
			require.GreaterOrEqual(t, len(m.Path(at.State)), n)
		}
	}
	// a test whose two errors balance is finite: a success and a miss cancel out
	m = built(t, "advance when sequential 40% against 60% wrongly up 5% wrongly down 5%\nease when sequential 40% against 60% wrongly up 5% wrongly down 5%", automaton.Options{})
	require.True(t, m.Complete())
	require.Equal(t, 15, m.Len(), "from 7 down to 7 up: 1.5^7 is less than 19, 1.5^8 is more")
	require.NotEmpty(t, built(t, "advance when mean latency of last 3 successes <= 2 s", automaton.Options{}).Assumptions())
	require.NotEmpty(t, built(t, "advance when 80% of a session of at least 5 trials", automaton.Options{}).Assumptions())
}

func TestWhatIsNotThereIsSaid(t *testing.T) {
	c := step(t, "advance when 4 of last 5")
	for _, err := range []error{
		func() error { _, err := automaton.Build(c, "spun", 0, 0, automaton.Options{}); return err }(),
		func() error { _, err := automaton.Build(c, "spin", 2, 0, automaton.Options{}); return err }(),
		func() error { _, err := automaton.Build(c, "spin", 0, 1, automaton.Options{}); return err }(),
		func() error { _, err := automaton.Build(c, "spin", -1, 0, automaton.Options{}); return err }(),
		func() error { _, err := automaton.Build(nil, "spin", 0, 0, automaton.Options{}); return err }(),
	} {
		require.ErrorIs(t, err, automaton.ErrNoSuch)
	}
	_, err := automaton.Of(curriculum.Window{K: 6, N: 5}, nil, automaton.Options{})
	require.ErrorContains(t, err, "6 of 5")
	_, err = automaton.Make(nil, &automaton.Stay{Rules: []curriculum.Rule{{Word: curriculum.Flag}}}, automaton.Options{})
	require.Error(t, err)
	var many []curriculum.Criterion
	for _, m := range []string{"latency", "duration", "distance", "turn"} {
		for i := range 12 {
			many = append(many, curriculum.Holds{Expr: &curriculum.Expression{Text: fmt.Sprintf("%s > %d", m, i)}})
		}
	}
	_, err = automaton.Of(curriculum.Or{Any: many}, c, automaton.Options{})
	require.ErrorIs(t, err, automaton.ErrAlphabet)
}

func TestManyMayReadOneMachineAtOnce(t *testing.T) {
	m := built(t, "advance when 4 of last 5\nease when 3 misses of last 5", automaton.Options{})
	want, _ := m.Shortest(func(_ automaton.At, st automaton.Step) bool { return st.Takes == 1 })
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for range 50 {
				got, _ := m.Shortest(func(_ automaton.At, st automaton.Step) bool { return st.Takes == 1 })
				if !strings.EqualFold(fmt.Sprint(got), fmt.Sprint(want)) {
					panic("another answer")
				}
				m.Minimise()
				m.LetterOf(&automaton.Case{Kind: automaton.Helped})
			}
		})
	}
	wg.Wait()
}

func FuzzTheMachineAgreesWithTheEngine(f *testing.F) {
	for seed := range uint64(20) {
		f.Add(seed)
	}
	on := everything()
	f.Fuzz(func(t *testing.T, seed uint64) {
		if _, _, _, err := compare(seed, on, 400); err != nil {
			t.Fatal(err)
		}
	})
}
