package plan_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

// Where a chain breaks at one piece again and again, the piece is worked by itself: common practice of the trade, no source.
func TestAPieceAtWhichAChainBreaksIsWorkedAlone(t *testing.T) {
	c := yard()
	for _, k := range []struct {
		name           string
		state          curriculum.State
		failed, before int
		in             bool
	}{
		{"never", curriculum.Kept, 0, 0, false},
		{"once", curriculum.Kept, 1, 0, false},
		{"twice", curriculum.Kept, 2, 0, true},
		{"once here and once at the level before the ease", curriculum.Kept, 1, 1, true},
		{"a piece still at work", curriculum.Working, 3, 0, true},
	} {
		t.Run(k.name, func(t *testing.T) {
			v := gantry(c, func(all map[string]*engine.BehaviourView) {
				touch := all["hand-touch"]
				*touch = engine.BehaviourView{Behaviour: touch.Behaviour, State: k.state, At: touch.At, LastTrained: morning.AddDate(0, 0, -1), Card: touch.Card}
				settle := all["settle"]
				settle.Failed = []engine.PieceCount{{Piece: "chin-rest", Trials: 9}, {Piece: "hand-touch", Trials: k.failed}}
				settle.FailedBefore = []engine.PieceCount{{Piece: "hand-touch", Trials: k.before}}
			})
			alone := false
			for _, it := range planned(t, v, plan.Request{Place: "yard"}).Items {
				alone = alone || it.Behaviour == "hand-touch" && strings.Contains(it.Reason, "so it is worked alone")
			}
			require.Equal(t, k.in, alone)
		})
	}
}

func TestAPairThatMayNotMeetTakesTurnsBySessions(t *testing.T) {
	c := yard()
	left, right := c.Behaviour("pivot-left"), c.Behaviour("pivot-right")
	left.Pairs = []curriculum.Pair{{Other: "pivot-right", Within: 2}}
	for _, b := range []*curriculum.Behaviour{left, right} {
		b.Needs, b.Caps = nil, nil
	}
	left.NeverWith = []curriculum.NeverWith{{Other: "pivot-right", Until: left.Steps[len(left.Steps)-1].Name}}
	planned := func(lefts, rights int) (in []string) {
		v := gantry(c, func(all map[string]*engine.BehaviourView) {
			for name, n := range map[string]int{"pivot-left": lefts, "pivot-right": rights} {
				b := all[name]
				b.State, b.Trials7Days, b.MissingDoors = curriculum.Working, n, nil
			}
		})
		for _, n := range names(plannedOf(t, c, v, plan.Request{Place: "yard"})) {
			if strings.HasPrefix(n, "pivot") && !slices.Contains(in, n) {
				in = append(in, n)
			}
		}
		return in
	}
	require.Len(t, planned(0, 0), 1, "neither waits for the other for ever")
	require.Equal(t, []string{"pivot-right"}, planned(6, 0), "the one that is behind")
	require.Equal(t, []string{"pivot-left"}, planned(5, 6))
}

func TestAnOwnerIsToldTheHelpThatIsPartOfTheStep(t *testing.T) {
	p := &plan.Plan{Dog: "okapi", At: morning, Items: []plan.Item{{Behaviour: "pivot-left", Step: "follow", Part: 1, Parts: 1, Trials: 2, Rewarded: []bool{true, true},
		Cues: []plan.Cue{{Kind: "hand", Text: "sweep"}}, Prompts: []string{"word", "hand", "lure", "touch"}}}}
	require.Contains(t, p.TextFor(engine.ForOwner), "With         lure and touch, in every try\n")
	p.Items[0].Prompts = []string{"cue"}
	require.NotContains(t, p.TextFor(engine.ForOwner), "With ")
}
