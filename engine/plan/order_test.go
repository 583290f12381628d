package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/plan"
)

// Care work straight after lively work is never planned: common practice of the trade, no source. Small days, by hand.
func TestCareNeverComesStraightAfterLivelyWork(t *testing.T) {
	known := func(name string) func(views) { return at(name, curriculum.Kept, 0, 0, 10, 10, 0) }
	only := func(in ...string) func(views) {
		return func(by views) {
			for n, b := range by {
				b.Stopped = true
				for _, i := range in {
					b.Stopped = b.Stopped && n != i
				}
			}
		}
	}
	for _, k := range []struct {
		name   string
		change []func(views)
		rules  func(*curriculum.Session)
		want   []string
		out    string
	}{
		{"care first, lively last", []func(views){only("call-in", "chin-rest")}, func(s *curriculum.Session) {}, []string{"chin-rest", "call-in"}, ""},
		{"a lively opening leaves no row for care alone", []func(views){known("call-in"), only("call-in", "chin-rest")}, func(s *curriculum.Session) {
			s.OpensWith = curriculum.Slot{Known: true}
		}, []string{"call-in"}, "care is never straight after lively work, and there is nothing to put between"},
		{"with something calm between there is one", []func(views){known("call-in"), only("call-in", "chin-rest", "settle")}, func(s *curriculum.Session) {
			s.OpensWith = curriculum.Slot{Known: true}
		}, []string{"call-in", "settle", "chin-rest"}, ""},
		{"care that closes", []func(views){only("call-in", "chin-rest", "hand-touch")}, func(s *curriculum.Session) {
			s.ClosesWith, s.MaxInARow = curriculum.Slot{Behaviour: "chin-rest"}, 12
		}, []string{"call-in", "hand-touch", "chin-rest"}, ""},
	} {
		t.Run(k.name, func(t *testing.T) {
			c := yard()
			s := &curriculum.Session{Lasts: curriculum.Q(20, curriculum.Minute), MaxNew: 1}
			k.rules(s)
			c.Sessions[0] = s
			c.Behaviour("call-in").Kinds = []curriculum.Kind{curriculum.Lively}
			p := plannedOf(t, c, gantry(c, k.change...), plan.Request{Place: "yard"})
			require.Equal(t, k.want, names(p))
			if k.out != "" {
				require.Equal(t, plan.LeftOut{Behaviour: "chin-rest", Code: plan.NoOrder, Reason: k.out}, out(t, p, "chin-rest"))
			}
		})
	}
}
