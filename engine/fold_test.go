package engine_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
)

func TestAWindowFiresAtTheTrialTheLanguageSays(t *testing.T) {
	misses := func(k curriculum.Counted) func(int, int) curriculum.Window {
		return func(n, of int) curriculum.Window { return curriculum.Window{K: n, N: of, Count: k} }
	}
	for name, c := range map[string]struct {
		when  curriculum.Criterion
		marks string
		at    string // trial of the move, "" for none
	}{
		"four of last five with a miss between":                {last(4, 5), "+ + - + +", "t5"},
		"four straight settle four of last five":               {last(4, 5), "+ + + +", "t4"},
		"three of five hold":                                   {last(4, 5), "+ - + + -", ""},
		"a late help is a miss in the window":                  {last(4, 5), "- + + h + +", "t6"},
		"an early help leaves the window as it is":             {last(4, 5), "- + + e + +", "t6"},
		"void trials count nowhere":                            {last(4, 5), "+ + x x + +", "t6"},
		"a window runs on over sessions":                       {last(4, 5), "+ + + | +", "t4"},
		"in this session it does not":                          {curriculum.InSession{Is: last(4, 5)}, "+ + + | + + + +", "t7"},
		"eight of last ten":                                    {last(8, 10), "+ + + - + + + + + - + + +", "t9"},
		"a streak runs on over sessions":                       {streak(5), "+ + + + | +", "t5"},
		"a streak is broken by a miss":                         {streak(3), "+ + - + + 0 + + +", "t9"},
		"blocks hold only at their end":                        {curriculum.Window{K: 4, N: 5, Each: true}, "+ + + + | - - - - - - + + + + +", "t5"},
		"blocks do not slide":                                  {curriculum.Window{K: 4, N: 5, Each: true}, "- - + + + + - - - - + + + + -", "t15"},
		"two blocks running":                                   {curriculum.Window{K: 2, N: 3, Each: true, Twice: true}, "+ + - - - + + + - + - +", "t12"},
		"at most one wrong needs the full number":              {curriculum.Window{K: 1, N: 4, Count: curriculum.WrongOnes, AtMost: true}, "- 0 h", ""},
		"at most one wrong counts only wrong ones":             {curriculum.Window{K: 1, N: 4, Count: curriculum.WrongOnes, AtMost: true}, "- - 0 h +", "t5"},
		"silent ones":                                          {misses(curriculum.Silents)(2, 2), "- 0 - 0 0", "t5"},
		"helped ones":                                          {misses(curriculum.HelpedOnes)(2, 5), "h - - + + h + + h", "t9"},
		"even helped":                                          {curriculum.Window{K: 3, N: 3, Qualify: curriculum.Qualifiers{EvenHelped: true}}, "+ - + h +", "t5"},
		"opt-outs among evidence and opt-outs":                 {misses(curriculum.OptOuts)(2, 3), "o + + o e x o", "t7"},
		"a count of opt-outs in this session":                  {curriculum.InSessionCount{N: 2, Count: curriculum.OptOuts}, "o | + + o - - o", "t7"},
		"a count of misses in this session":                    {curriculum.InSessionCount{N: 3, Count: curriculum.Misses}, "- - | - h + + 0", "t7"},
		"done counts early help, not opt-outs":                 {curriculum.Done{N: 4}, "e o x - h 0", "t6"},
		"after trials counts evidence":                         {curriculum.After{N: 3}, "e - o - x -", "t6"},
		"after sessions counts closed ones":                    {curriculum.After{N: 2, Unit: curriculum.AfterSessions}, "- | - - | e", "t4"},
		"a session without evidence was not worked":            {curriculum.After{N: 2, Unit: curriculum.AfterSessions}, "- | e | - | -", "t4"},
		"after days counts dates from the entry":               {curriculum.After{N: 2, Unit: curriculum.AfterDays}, "- D - D -", "t3"},
		"not":                                                  {curriculum.And{All: []curriculum.Criterion{curriculum.After{N: 2}, curriculum.Not{Is: missesOf(1, 2)}}}, "+ - + +", "t4"},
		"one of two":                                           {curriculum.Or{Any: []curriculum.Criterion{streak(4), curriculum.After{N: 6}}}, "+ + - + - +", "t6"},
		"a named criterion is what it names":                   {curriculum.Named{Name: "steady", Is: last(4, 5)}, "+ + + +", "t4"},
		"a long window keeps its whole history":                {last(70, 100), repeat("+ -", 20) + repeat("+", 50), "t90"},
		"a share is the smallest whole number that reaches it": {curriculum.Window{K: curriculum.Percent(80).Of(7), N: 7, Share: curriculum.Percent(80)}, "+ + + + + +", "t6"},
	} {
		t.Run(name, func(t *testing.T) {
			p := compile(t, house(behaviour("spin", step("follow", rule(curriculum.Advance, c.when)), step("next"))))
			got := stands(t, p, okapi().tally("spin", c.marks))
			if c.at == "" {
				require.Empty(t, got.Moves)
				return
			}
			require.NotEmpty(t, got.Moves)
			require.Equal(t, c.at, got.Moves[0].Trial)
			require.Contains(t, got.Moves[0].Because, curriculum.CriterionText(c.when))
		})
	}
}

func repeat(s string, n int) string {
	out := ""
	for range n {
		out += s
	}
	return out
}

func TestMovesGoUpAndDownTheLevels(t *testing.T) {
	p := compile(t, house(behaviour("spin",
		turning(step("follow", rule(curriculum.Advance, last(2, 2)), rule(curriculum.Ease, missesOf(2, 2))), 30, 60),
		step("alone", rule(curriculum.Advance, streak(2)), rule(curriculum.Ease, missesOf(2, 2))))))
	got := stands(t, p, okapi().tally("spin", "-- ++ -- ++ ++ 00 -- +++ +++ +"))
	var path []string
	for _, m := range got.Moves {
		path = append(path, m.Trial+" "+m.Rule+" "+m.To.Step+" "+m.To.Level["turn"])
	}
	require.Equal(t, []string{
		"t2 ease follow 30 deg", // from the very first level to itself
		"t4 advance follow 60 deg",
		"t6 ease follow 30 deg",
		"t8 advance follow 60 deg",
		"t10 advance alone ",
		"t12 ease follow 60 deg",
		"t14 ease follow 30 deg",
		"t16 advance follow 60 deg",
		"t18 advance alone ",
		"t20 advance alone ",
	}, path)
	require.Equal(t, curriculum.Kept, got.State)
	require.True(t, got.Moves[9].To.Kept)
	require.Equal(t, []string{"t19", "t20"}, got.Moves[9].Trials)
	require.Equal(t, 1, got.Trials)
	require.Equal(t, "alone", got.Step)
}
