package plan_test

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

// lived records some weeks of random trials of one dog, at its present levels, up to shortly before now.
func (d dice) lived(t require.TestingT, p *engine.Program, dog curriculum.Dog) *engine.Fold {
	f := p.NewFold(dog)
	when := morning.AddDate(0, 0, -d.IntN(25)-1)
	bs := p.Curriculum().Behaviours
	bs = bs[:1+d.IntN(len(bs))] // some nobody has begun
	good := 0.5 + d.Float64()/2
	for when.Before(morning) {
		for range d.IntN(25) {
			tr := curriculum.Trial{Dog: dog.Name, Behaviour: bs[d.IntN(len(bs))].Name, At: when, Place: d.of(somePlaces...), Outcome: curriculum.Success}
			if d.Float64() > good {
				tr.Outcome = []curriculum.Outcome{curriculum.Wrong, curriculum.Silent, curriculum.OptOut, curriculum.Void}[d.IntN(4)]
			}
			require.NoError(t, f.Record(&tr))
			when = when.Add(time.Duration(5+d.IntN(20)) * time.Second)
		}
		when = when.Add(time.Duration(1+d.IntN(50)) * time.Hour)
	}
	return f
}

// Days that the engine made: histories are recorded, not invented standings.
func TestNoPlanFromAHistoryBreaksALimit(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	states := map[curriculum.State]int{}
	rapid.Check(t, func(t *rapid.T) {
		d := dice{rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))}
		for range 10 {
			c := d.curriculum(3 + d.IntN(5))
			p := program(t, c)
			dog := d.dog(c)
			f := d.lived(t, p, dog)
			r := d.request()
			next, err := plan.Next(p, f, r)
			require.NoError(t, err)
			var b bytes.Buffer
			require.NoError(t, next.WriteJSON(&b))
			v := f.Dog(dog.Name, r.At)
			if faults := broken(c, v, r, b.Bytes()); len(faults) > 0 {
				t.Fatalf("%s\n%s", strings.Join(faults, "\n"), b.String())
			}
			for _, x := range v.Behaviours {
				states[x.State]++
			}
		}
	})
	for _, s := range []curriculum.State{curriculum.Open, curriculum.Waiting, curriculum.Working, curriculum.Kept} {
		require.Greater(t, states[s], 20, "the histories must reach every state: %v", states)
	}
}

func TestADogNobodyKnows(t *testing.T) {
	p := program(t, yard())
	_, err := plan.Next(p, p.NewFold(curriculum.Dog{Name: "okapi"}), plan.Request{Dog: "okapy", At: morning})
	require.EqualError(t, err, `dog "okapy" is not known; did you mean "okapi"?`)
}

// The checker must see what it is there to see: each change to a good plan is one fault.
func TestTheCheckerFindsPlantedFaults(t *testing.T) {
	c := yard()
	v := gantry(c)
	r := plan.Request{Dog: "gantry", At: morning, Place: "yard", Minutes: 5, Pieces: 40, Kcal: 80, Equipment: []string{"mat", "towel", "platform"}}
	good := planned(t, v, r)
	data, err := json.Marshal(good)
	require.NoError(t, err)
	require.Empty(t, broken(c, v, r, data))
	for _, k := range []struct {
		name, fault string
		spoil       func(*plan.Plan)
	}{
		{"one trial more than stated", "trials, 3 in the list", func(p *plan.Plan) { p.Items[0].Trials++ }},
		{"seconds shaved off", "at least", func(p *plan.Plan) { p.Items[0].Seconds /= 2 }},
		{"pieces left out", "pieces, 3 in the list", func(p *plan.Plan) { p.Items[0].Pieces-- }},
		{"energy understated", "are not", func(p *plan.Plan) { p.Items[0].Kcal = 0 }},
		{"the same item again and again", "in a row", func(p *plan.Plan) { p.Items = append([]plan.Item{p.Items[0]}, p.Items...) }},
		{"too long", "s, 300 allowed", func(p *plan.Plan) { p.Items[1].Seconds += 200 }},
		{"its enemy let in", "with pivot-left", func(p *plan.Plan) {
			it := p.Items[3]
			it.Behaviour = "pivot-right"
			p.Items = append(p.Items[:4:4], append([]plan.Item{it}, p.Items[4:]...)...)
		}},
		{"another step", "stands at", func(p *plan.Plan) { p.Items[1].Step = "down" }},
		{"the place left out", "and no note", func(p *plan.Plan) { p.Items = p.Items[1:] }},
	} {
		t.Run(k.name, func(t *testing.T) {
			var p plan.Plan
			require.NoError(t, json.Unmarshal(data, &p))
			k.spoil(&p)
			spoilt, err := json.Marshal(p)
			require.NoError(t, err)
			require.Contains(t, strings.Join(broken(c, v, r, spoilt), "\n"), k.fault)
		})
	}
	for _, k := range []struct {
		name, fault string
		spoil       func(*engine.DogView, *plan.Request, *curriculum.Curriculum)
	}{
		{"a lock came in", "everything is locked", func(v *engine.DogView, _ *plan.Request, _ *curriculum.Curriculum) {
			v.Locked = []engine.Lock{{Sign: "limp"}}
		}},
		{"an allergy", "must not have milk", func(v *engine.DogView, _ *plan.Request, _ *curriculum.Curriculum) { v.Dog.Avoid = []string{"milk"} }},
		{"a deaf dog", "cue of kind word", func(v *engine.DogView, _ *plan.Request, _ *curriculum.Curriculum) {
			v.Dog.Cues = []string{"hand"}
		}},
		{"no weight", "unknown weight", func(v *engine.DogView, _ *plan.Request, _ *curriculum.Curriculum) { v.Dog.WeightKg = 0 }},
		{"less equipment", "is not at hand", func(_ *engine.DogView, r *plan.Request, _ *curriculum.Curriculum) { r.Equipment = []string{} }},
		{"another place", "is not trained in", func(_ *engine.DogView, r *plan.Request, _ *curriculum.Curriculum) { r.Place = "room-a" }},
		{"fewer pieces", "pieces, 5 allowed", func(_ *engine.DogView, r *plan.Request, _ *curriculum.Curriculum) { r.Pieces = 5 }},
		{"less energy", "kcal, 5 allowed", func(_ *engine.DogView, r *plan.Request, _ *curriculum.Curriculum) { r.Kcal = 5 }},
		{"extras eaten before", "of extras beside 145", func(_ *engine.DogView, r *plan.Request, _ *curriculum.Curriculum) { r.ExtrasFed = 145 }},
		{"a cap", "cap of settle", func(_ *engine.DogView, _ *plan.Request, c *curriculum.Curriculum) {
			c.Behaviour("settle").Caps = []curriculum.Cap{{N: 1}}
		}},
		{"a pair", "ahead of chin-rest", func(_ *engine.DogView, _ *plan.Request, c *curriculum.Curriculum) {
			c.Behaviour("settle").Pairs = []curriculum.Pair{{Other: "chin-rest"}}
		}},
		{"a lower limit for the dog", "level 60 deg beyond", nil},
	} {
		t.Run(k.name, func(t *testing.T) {
			c := yard()
			v, r, p := gantry(c), r, data
			if k.spoil == nil {
				v.Dog.Limits.Behaviours = map[string]curriculum.BehaviourLimits{"pivot-left": {Level: curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(75, curriculum.Degree)}}}}}
				p, k.fault = bytes.ReplaceAll(data, []byte(`"turn":"60 deg"`), []byte(`"turn":"90 deg"`)), "level 90 deg beyond"
			} else {
				k.spoil(v, &r, c)
			}
			require.Contains(t, strings.Join(broken(c, v, r, p), "\n"), k.fault)
		})
	}
}
