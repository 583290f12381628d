package engine_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
)

func TestALongPauseEasesBeforeTheFirstTrialIsTaken(t *testing.T) {
	c := house(behaviour("spin", turning(step("follow", rule(curriculum.Advance, last(1, 1))), 30, 60, 90)))
	c.Sessions = []*curriculum.Session{{Away: []curriculum.Away{{Days: 3, Levels: 1, Pos: curriculum.Pos{Line: 7}}, {Days: 9, Levels: 2, Pos: curriculum.Pos{Line: 8}}}}}
	p := compile(t, c)
	d := okapi().tally("spin", "+ +")
	f := fold(t, p, d)
	later := f.Now().AddDate(0, 0, 3)
	v := f.Dog("okapi", later).Behaviours[0]
	require.Equal(t, "turn 60 deg", v.At.String(), "the plan is made for the level the next trial will be at")
	require.Equal(t, "after 3 days away ease one level", v.Away)
	require.Equal(t, "90 deg", f.Standing(later).Dogs[0].Behaviours[0].Level["turn"], "nothing moves by time alone")
	w, err := f.Why("okapi", "spin", later)
	require.NoError(t, err)
	require.Contains(t, w.Text(), "the next trial first eases it")
	got := stands(t, p, d.tally("spin", "D D D x -"))
	require.Equal(t, "60 deg", got.Level["turn"])
	require.Equal(t, "t4", got.Moves[2].Trial, "a void trial ends no pause")
	require.Equal(t, 7, got.Moves[2].Line)
	require.Equal(t, 1, got.Trials)
	got = stands(t, p, okapi().tally("spin", "+ + D D D D D D D D D +"))
	require.Equal(t, []string{"30 deg", "60 deg"}, []string{got.Moves[2].To.Level["turn"], got.Moves[3].To.Level["turn"]}, "the longest pause counts, and the trial itself at the easier level")
}

func TestASplitGoesHalfWayToTheGrainAndTiesToTheEasierSide(t *testing.T) {
	q := func(n int64) curriculum.Quantity { return curriculum.Q(n, curriculum.Degree) }
	for name, c := range map[string]struct {
		from, to int64
		grain    curriculum.Quantity
		want     string // "" where there is no room
	}{
		"without a grain it is exact":        {30, 75, curriculum.Quantity{}, "52.5 deg"},
		"to the nearest multiple":            {30, 90, q(15), "60 deg"},
		"a tie goes to the easier side":      {30, 60, q(10), "40 deg"},
		"falling, the easier side is larger": {60, 30, q(10), "50 deg"},
		"a gap of the grain has no room":     {30, 45, q(15), ""},
		"a gap just beyond it has":           {30, 46, q(15), "45 deg"},
	} {
		t.Run(name, func(t *testing.T) {
			s := turning(step("follow", rule(curriculum.Advance, last(1, 1)), rule(curriculum.Split, missesOf(1, 1))), c.from, c.to)
			s.Ramps[0].Grain, s.Ramps[0].Falling = c.grain, c.from > c.to
			p := compile(t, house(behaviour("spin", s, step("next"))))
			got := stands(t, p, okapi().tally("spin", "+ -"))
			if c.want == "" {
				require.Len(t, got.Moves, 1)
				require.Equal(t, "flag", got.Noted[0].Rule)
				require.Contains(t, got.Noted[0].Because, "no room to split")
				return
			}
			require.Equal(t, c.want, got.Level["turn"])
			require.Equal(t, "split", got.Moves[1].Rule)
			got = stands(t, p, okapi().tally("spin", "+ - + +"))
			require.Equal(t, "next", got.Step, "the level put in, then the one it was put before")
		})
	}
}

func TestASplitFallsDueWithTheEaseThatCompletesItsCount(t *testing.T) {
	p := compile(t, house(behaviour("spin", turning(step("follow", rule(curriculum.Advance, last(1, 1)), rule(curriculum.Ease, missesOf(1, 1)), rule(curriculum.Split, curriculum.Eased{N: 2})), 30, 90))))
	got := stands(t, p, okapi().tally("spin", "+ - + -"))
	require.Equal(t, "ease", got.Moves[3].Rule, "the ease alone is listed")
	require.Equal(t, "30 deg", got.Level["turn"])
	got = stands(t, p, okapi().tally("spin", "+ - + - +"))
	require.Equal(t, "60 deg", got.Level["turn"], "the level put in is met on the way up")
}

func TestAKeptBehaviourLapsesAndIsKeptAgain(t *testing.T) {
	b := behaviour("spin", step("follow", rule(curriculum.Advance, last(1, 1))), step("alone", rule(curriculum.Advance, last(2, 2))))
	b.Lapse = []curriculum.Rule{{Word: curriculum.Lapse, When: missesOf(2, 3), To: "follow"}}
	p := compile(t, house(b))
	got := stands(t, p, okapi().tally("spin", "+ ++ - + -"))
	require.Equal(t, curriculum.Lapsed, got.State)
	require.Equal(t, "follow", got.Step)
	got = stands(t, p, okapi().tally("spin", "+ ++ - + - + ++"))
	require.Equal(t, curriculum.Kept, got.State)
	f := fold(t, p, okapi().tally("spin", "+ ++ -"))
	w, err := f.Why("okapi", "spin", f.Now())
	require.NoError(t, err)
	require.Equal(t, "-", w.Rules[0].Next.Marks)
	require.Contains(t, w.Text(), "it lapses to follow")
}

func TestSkipLooksAtEvidenceNamingTheLaterStepSinceTheLastMove(t *testing.T) {
	p := compile(t, house(behaviour("spin", step("follow", rule(curriculum.Advance, last(3, 3))), step("alone", rule(curriculum.Skip, streak(2)), rule(curriculum.Ease, missesOf(1, 1))))))
	d := okapi().tally("spin", "+ + + - +")
	for _, i := range []int{1, 3, 4} {
		d.list[i].Trial.Step = "alone"
	}
	got := stands(t, p, d)
	require.Empty(t, got.Moves)
	require.Equal(t, 2, got.Trials, "trials at the later step feed nothing else")
	d.list[3].Trial.Outcome = curriculum.Success
	got = stands(t, p, d)
	require.Equal(t, "skip", got.Moves[0].Rule)
	require.Equal(t, []string{"t2", "t4"}, got.Moves[0].Trials)
}

func TestDecideEveryTrialsMakesMovesWait(t *testing.T) {
	s := step("follow", rule(curriculum.Advance, last(2, 3)))
	s.Decide.EveryTrials = 4
	p := compile(t, house(behaviour("spin", s, step("next"))))
	require.Equal(t, "t4", stands(t, p, okapi().tally("spin", "++++")).Moves[0].Trial)
	require.Equal(t, "t9", stands(t, p, okapi().tally("spin", "++-- ++e++")).Moves[0].Trial)
}

func TestFirstTrialsOfSessions(t *testing.T) {
	p := compile(t, house(behaviour("spin", step("follow", rule(curriculum.Advance, curriculum.FirstTrial{N: 2, InARow: true})), step("next"))))
	require.Equal(t, "t4", stands(t, p, okapi().tally("spin", "+ - - | + +")).Moves[0].Trial)
	got := stands(t, p, okapi().tally("spin", "+ - | - + | + | x + "))
	require.Equal(t, "t7", got.Moves[0].Trial)
	require.Equal(t, []string{"t5", "t7"}, got.Moves[0].Trials)
}
