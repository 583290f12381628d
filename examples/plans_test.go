package examples_test

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

// What must be right in each dog's plan, in the sheet that people read and in the JSON that programs do.
func TestEachDogsPlanIsRightAndExplained(t *testing.T) {
	p := house(t)
	warm := func(celsius float64) *float64 { return &celsius }
	for _, k := range []struct {
		name, dog, at string
		cleared       bool // the growl was looked at
		request       plan.Request
		in            []string
		out           map[string]plan.Code
		says          []string // on the sheet and in the JSON
		never         []string
	}{
		{"a puppy too young for pulling, twelve pivots a day", "okapi", "2026-04-18 15:00", false, plan.Request{Place: "room-a", Favour: []string{"step-platform"}}, []string{"step-platform"},
			map[string]plan.Code{"drawer-open": plan.Waiting, "pivot-left": plan.CapReached},
			[]string{"the dog to be at least 12 months old (now 3)", "12 trials today already, 12 is the most", "This body is still growing"}, nil},
		{"equipment that is elsewhere", "gantry", "2026-04-25 09:00", false, plan.Request{Place: "room-a", Equipment: []string{"mat", "towel"}}, []string{"chin-rest"},
			map[string]plan.Code{"pivot-left": plan.NoEquipment, "drawer-shut": plan.NoEquipment, "call-in": plan.WrongPlace},
			[]string{"needs platform, not at hand", "needs drawer and card, not at hand", "is trained in yard or lane at this step, not in room-a"}, nil},
		{"reviews that are overdue, in or said to be left out", "gantry", "2026-04-25 09:00", false, plan.Request{Place: "room-a"}, []string{"step-platform", "take", "give"},
			map[string]plan.Code{"drawer-shut": plan.LimitReached},
			[]string{"finished; its review is 3 days overdue", "5 behaviours a session is the most; its review is 1 day overdue"}, nil},
		{"a growl that nobody cleared", "thimble", "2026-04-20 09:00", false, plan.Request{}, nil,
			map[string]plan.Code{"hand-touch": plan.Locked, "nail-file": plan.Locked}, []string{"See a veterinarian first", "growl on 18 April 2026, noted by Dov Marsh"}, nil},
		{"cleared by name, and still never chicken", "thimble", "2026-04-20 09:00", true, plan.Request{Place: "home", Favour: []string{"take", "hold"}}, []string{"take", "mat-settle"}, nil,
			[]string{"thimble must not have: chicken.", "Not for thimble: chicken."}, []string{"pieces of chicken", `"food": "chicken"`}},
		{"a deaf dog, without a word", "pewter", "2026-04-20 09:00", false, plan.Request{Place: "room-a"}, []string{"name-check"},
			map[string]plan.Code{"drawer-open": plan.Profile}, []string{"pewter takes these kinds of cue only: hand and tap.", "no pulling, by order of his vet", "thumb up"},
			[]string{`"kind": "word"`, `"boop"`, `"perch"`}},
		{"a flat-faced dog on a warm day", "bisk", "2026-04-20 09:00", false, plan.Request{Place: "yard", Celsius: warm(24)}, []string{"mat-settle", "basket-nose"},
			map[string]plan.Code{"call-in": plan.TooWarm, "take": plan.TooWarm},
			[]string{"It is 24 degrees: heat can kill at ordinary temperatures", "bisk's profile says nothing lively above 16"}, nil},
		{"new work on the better food, within a tenth of the day", "sorrel", "2026-04-20 09:00", false, plan.Request{Place: "room-a"}, []string{"hand-touch"}, nil,
			[]string{"Extras: at most 10% of about", "cheese"}, nil},
	} {
		t.Run(k.name, func(t *testing.T) {
			at := clock(t, k.at)
			f := p.Replay(until(t, k.dog, at), at, dogs(t)...)
			if k.cleared {
				require.NoError(t, f.Note(&curriculum.Event{Dog: k.dog, At: at, Kind: curriculum.SignCleared, Sign: "growl", By: "Halla Oke"}))
				at = at.Add(1)
			}
			k.request.Dog, k.request.At = k.dog, at
			next, err := plan.Next(p, f, k.request)
			require.NoError(t, err)
			for _, name := range k.in {
				require.Positive(t, trialsOf(next, name), "%s is not in: %+v", name, next.LeftOut)
			}
			for name, code := range k.out {
				require.Equal(t, code, leftOut(t, next, name).Code, name)
			}
			var b bytes.Buffer
			require.NoError(t, next.WriteJSON(&b))
			sheet := strings.Join(strings.Fields(next.Text()), " ")
			for _, text := range k.says {
				require.Contains(t, sheet, text)
				require.Contains(t, plainly(t, b.Bytes()), text)
			}
			for _, text := range k.never {
				require.NotContains(t, sheet, text)
				require.NotContains(t, b.String(), text)
			}
			require.True(t, next.Choice == nil || next.Choice.Exact && next.Choice.OrderExact)
		})
	}
}

// plainly is every text of a JSON document.
func plainly(t *testing.T, doc []byte) string {
	t.Helper()
	var out []string
	var walk func(v any)
	walk = func(v any) {
		switch v := v.(type) {
		case string:
			out = append(out, v)
		case []any:
			for _, x := range v {
				walk(x)
			}
		case map[string]any:
			for _, x := range v {
				walk(x)
			}
		}
	}
	var v any
	require.NoError(t, json.Unmarshal(doc, &v))
	walk(v)
	slices.Sort(out)
	return strings.Join(out, "\n")
}

// The plan that is read is the plan that programs get: the same items, the same reasons.
func TestTheSheetNamesAllThatIsLeftOut(t *testing.T) {
	p := house(t)
	for _, dog := range []string{"okapi", "sorrel", "gantry", "pewter", "bisk"} {
		next := planFor(t, p, dog, now(t), plan.Request{Place: "room-a"})
		sheet := strings.Join(strings.Fields(next.TextFor(engine.ForTrainer)), " ")
		for _, l := range next.LeftOut {
			require.Contains(t, sheet, l.Behaviour+": "+l.Reason, dog)
		}
		for _, it := range next.Items {
			require.Contains(t, sheet, it.Reason, dog)
		}
	}
}
