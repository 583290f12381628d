package plan_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/plan"
)

func TestACueIsNotGivenBeforeItsStep(t *testing.T) {
	for _, k := range []struct {
		name    string
		prompts [2][]string // of the present step and of the next
		later   bool
	}{
		{"it is among the next step's prompts only", [2][]string{{"lure"}, {"word"}}, true},
		{"it is among the present step's prompts", [2][]string{{"word", "lure"}, {"word"}}, false},
		{"another kind of cue of the behaviour is", [2][]string{{"hand"}, {"word"}}, false},
		{"the prompt is simply called cue", [2][]string{{"cue"}, {"cue"}}, false},
		{"no step counts it among its prompts, so nothing is known", [2][]string{{"lure"}, {"palm"}}, false},
		{"the step has no prompts of its own", [2][]string{nil, {"word"}}, false},
	} {
		t.Run(k.name, func(t *testing.T) {
			c := yard()
			touch := c.Behaviour("hand-touch")
			touch.Steps = append(touch.Steps, step("word-first", "a word, then the palm"))
			touch.Steps[0].Prompts, touch.Steps[1].Prompts = k.prompts[0], k.prompts[1]
			v := shown(c, curriculum.Dog{Name: "gantry"}, at("hand-touch", curriculum.Working, 0, 0, 3, 4, 1))
			p, err := plan.ForView(program(t, c), v, plan.Request{Dog: "gantry", At: morning, Place: "room-a"})
			require.NoError(t, err)
			for _, it := range p.Items {
				if it.Behaviour == "hand-touch" {
					require.Equal(t, k.later, it.CueLater)
					require.Equal(t, k.later, strings.Contains(p.Text(), `none yet; "boop"`))
					return
				}
			}
			t.Fatal("hand-touch is not in the plan")
		})
	}
}
