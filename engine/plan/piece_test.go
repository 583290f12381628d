package plan_test

import (
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
