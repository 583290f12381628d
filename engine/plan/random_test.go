package plan_test

import (
	"fmt"
	"math/rand/v2"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

// dice makes random days; the same seed makes the same day.
type dice struct{ *rand.Rand }

func (d dice) one(in int) bool { return d.IntN(in) == 0 }

func (d dice) of(words ...string) string { return words[d.IntN(len(words))] }

func (d dice) some(words ...string) []string {
	out := []string{}
	for _, w := range words {
		if d.one(2) {
			out = append(out, w)
		}
	}
	return out
}

var (
	somePlaces = []string{"room-a", "yard", "lane"}
	someKit    = []string{"mat", "platform", "towel"}
)

func (d dice) schedule() *curriculum.Schedule {
	value := curriculum.QFrac(int64(2+d.IntN(7)), 2, curriculum.NoUnit)
	seconds := curriculum.Q(int64(1+d.IntN(30)), curriculum.Second)
	switch d.IntN(9) {
	case 0:
		return nil
	case 1:
		return &curriculum.Schedule{Kind: curriculum.FixedRatio, Value: value}
	case 2:
		return &curriculum.Schedule{Kind: curriculum.VariableRatio, Value: value}
	case 3:
		return &curriculum.Schedule{Kind: curriculum.RandomRatio, Value: value}
	case 4:
		return &curriculum.Schedule{Kind: curriculum.FixedInterval, Value: seconds}
	case 5:
		return &curriculum.Schedule{Kind: curriculum.VariableInterval, Value: seconds}
	case 6:
		return &curriculum.Schedule{Kind: curriculum.FixedDuration, Value: seconds}
	case 7:
		return &curriculum.Schedule{Kind: curriculum.VariableDuration, Value: seconds}
	}
	return &curriculum.Schedule{Kind: curriculum.Percentile, Share: curriculum.Percent(60), Window: 10, Measure: "turn"}
}

func (d dice) step(name string) *curriculum.Step {
	var ramps []curriculum.Ramp
	if d.one(3) {
		ramps = append(ramps, curriculum.Ramp{Of: "turn", Measured: true, Values: quantities(curriculum.Degree, 30, 60, 90, 180)})
	}
	if d.one(4) {
		ramps = append(ramps, curriculum.Ramp{Of: "duration", Measured: true, Values: quantities(curriculum.Second, 2, 9, 25)})
	}
	if d.one(4) {
		ramps = append(ramps, curriculum.Ramp{Of: "pause", Values: quantities(curriculum.Second, 1, 2)})
	}
	if d.one(4) {
		ramps = append(ramps, curriculum.Ramp{Of: "distraction", Values: []curriculum.LevelValue{{Name: "none"}, {Name: "toys"}, {Name: "dogs"}}})
	}
	if d.one(5) {
		thin := &curriculum.Schedule{Kind: curriculum.VariableRatio, Value: curriculum.Q(2, curriculum.NoUnit)}
		ramps = append(ramps, curriculum.Ramp{Of: curriculum.ThinRamp, Values: []curriculum.LevelValue{{Thin: &curriculum.Schedule{Kind: curriculum.EverySuccess}}, {Thin: thin}}})
	}
	s := step(name, "a step", ramps...)
	s.Reward = d.schedule()
	if d.one(6) {
		s.Places = d.some(somePlaces...)
	}
	if d.one(5) {
		s.Sheet.Takes = curriculum.QFrac(int64(20+d.IntN(300)), 10, curriculum.Second)
	}
	if d.one(6) {
		s.Sheet.Equipment = d.some(someKit...)
	}
	if d.one(8) {
		s.Caps = d.caps()
	}
	return s
}

func (d dice) caps() (out []curriculum.Cap) {
	for range 1 + d.IntN(2) {
		k := curriculum.Cap{N: 1 + d.IntN(8), Of: curriculum.CapTrials, Per: curriculum.CapPer(d.IntN(3))}
		if k.Per != curriculum.PerSession && d.one(3) {
			k.Of, k.N = curriculum.CapSessions, 1+d.IntN(3)
		}
		out = append(out, k)
	}
	return out
}

func (d dice) curriculum(behaviours int) *curriculum.Curriculum {
	c := &curriculum.Curriculum{Name: "random", Places: somePlaces, Measures: []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}}}
	for _, e := range someKit {
		c.Equipment = append(c.Equipment, curriculum.Equipment{Name: e})
	}
	for i := range (1 + d.IntN(6)) % 6 {
		f := curriculum.Food{Name: fmt.Sprintf("food-%d", i), Extra: d.one(2)}
		if d.one(2) {
			f.Contains = d.some("milk", "chicken")
		}
		if !d.one(6) {
			f.Energy = curriculum.QFrac(int64(1+d.IntN(70)), 12, curriculum.Kilocalorie)
		}
		if d.one(2) {
			f.EatenIn = curriculum.QFrac(int64(d.IntN(90)), 13, curriculum.Second)
		}
		c.Foods = append(c.Foods, f)
	}
	for i := range behaviours {
		b := &curriculum.Behaviour{Name: fmt.Sprintf("b%d", i)}
		for j := range 1 + d.IntN(3) {
			b.Steps = append(b.Steps, d.step(fmt.Sprintf("s%d", j)))
		}
		if d.one(2) {
			b.Sheet.Cues = append(b.Sheet.Cues, curriculum.Cue{Kind: "word", Text: "go"})
		}
		if d.one(2) {
			b.Sheet.Cues = append(b.Sheet.Cues, curriculum.Cue{Kind: "hand", Text: "palm"})
		}
		if d.one(3) {
			b.Sheet.Equipment = d.some(someKit...)
		}
		if d.one(3) {
			b.Caps = d.caps()
		}
		if d.one(2) {
			b.Review = []curriculum.Quantity{curriculum.Q(1, curriculum.Day), curriculum.Q(4, curriculum.Day), curriculum.Q(2, curriculum.Week)}
		}
		for _, k := range []curriculum.Kind{curriculum.Care, curriculum.Impact, curriculum.Lively, curriculum.Calm} {
			if d.one(5) {
				b.Kinds = append(b.Kinds, k)
			}
		}
		c.Behaviours = append(c.Behaviours, b)
	}
	d.ties(c)
	c.Sessions = []*curriculum.Session{d.session()}
	return c
}

// ties puts doors, pairs and incompatibilities between the behaviours.
func (d dice) ties(c *curriculum.Curriculum) {
	for i, b := range c.Behaviours {
		if i == 0 {
			continue
		}
		o := c.Behaviours[d.IntN(i)]
		switch d.IntN(5) {
		case 0:
			b.NeverWith = []curriculum.NeverWith{{Other: o.Name, Until: fmt.Sprintf("s%d", d.IntN(min(2, len(b.Steps), len(o.Steps))))}}
		case 1:
			b.Pairs = []curriculum.Pair{{Other: o.Name, Within: d.IntN(3)}}
		case 2:
			b.Needs = []curriculum.Need{{Other: o.Name, Step: o.Steps[d.IntN(len(o.Steps))].Name}}
		case 3:
			b.BetterAfter = []string{o.Name}
		}
	}
}

func (d dice) session() *curriculum.Session {
	s := &curriculum.Session{}
	if !d.one(4) {
		s.Lasts = curriculum.Q(int64(20+d.IntN(600)), curriculum.Second)
	}
	for _, n := range []*int{&s.MaxTrials, &s.MaxInARow, &s.MaxPerBehaviour, &s.MaxBehaviours} {
		if d.one(2) {
			*n = 1 + d.IntN(9)
		}
	}
	if s.MaxTrials > 0 && d.one(2) {
		s.MaxTrials *= 4
	}
	if d.one(2) {
		s.MaxNew = 1 + d.IntN(2)
	}
	slot := func() curriculum.Slot {
		switch d.IntN(4) {
		case 0:
			return curriculum.Slot{}
		case 1:
			return curriculum.Slot{Behaviour: d.of("b0", "b1")}
		}
		return curriculum.Slot{Known: true}
	}
	s.OpensWith, s.ClosesWith = slot(), slot()
	if d.one(3) {
		for _, per := range []curriculum.CapPer{curriculum.PerSession, curriculum.PerDay, curriculum.PerWeek} {
			if d.one(2) {
				s.Impact = append(s.Impact, curriculum.Cap{N: 1 + d.IntN(16), Per: per})
			}
		}
	}
	if d.one(3) {
		s.LivelyUpTo = 10 + d.IntN(15)
	}
	if d.one(2) {
		s.Extras = curriculum.Percent(int64(1 + d.IntN(15)))
	}
	if d.one(4) {
		s.Rest = curriculum.Rest{For: curriculum.Q(int64(10+d.IntN(90)), curriculum.Second), Every: curriculum.Q(int64(20+d.IntN(200)), curriculum.Second)}
	}
	if d.one(3) {
		s.Success = curriculum.Percent(int64(40 + d.IntN(56)))
	}
	return s
}

func (d dice) dog(c *curriculum.Curriculum) curriculum.Dog {
	dog := curriculum.Dog{Name: "dice"}
	if !d.one(4) {
		dog.WeightKg = 1 + 40*d.Float64()
	}
	if d.one(2) {
		dog.Born = morning.AddDate(0, 0, -d.IntN(4000))
	}
	if d.one(4) {
		dog.DailyKcal = 100 + 900*d.Float64()
	}
	if d.one(3) {
		dog.Avoid = d.some("milk", "chicken", "food-0")
	}
	if d.one(5) {
		dog.Cues = []string{"hand"}
	}
	if d.one(3) {
		dog.Limits.Minutes = 0.3 + 6*d.Float64()
	}
	if d.one(4) {
		dog.Limits.Trials = 1 + d.IntN(20)
	}
	if d.one(5) {
		dog.Limits.ImpactADay = 1 + d.IntN(12)
	}
	if d.one(4) {
		dog.Limits.LivelyUpTo = 10 + d.IntN(15)
	}
	dog.Limits.Behaviours = map[string]curriculum.BehaviourLimits{}
	for _, b := range c.Behaviours {
		switch d.IntN(10) {
		case 0:
			dog.Limits.Behaviours[b.Name] = curriculum.BehaviourLimits{Never: true}
		case 1:
			dog.Limits.Behaviours[b.Name] = curriculum.BehaviourLimits{Trials: 1 + d.IntN(5)}
		case 2:
			dog.Limits.Behaviours[b.Name] = curriculum.BehaviourLimits{Level: curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(75, curriculum.Degree)}}}}
		case 3:
			dog.Limits.Behaviours[b.Name] = curriculum.BehaviourLimits{Level: curriculum.LevelRef{{Of: "distraction", LevelValue: curriculum.LevelValue{Name: "toys"}}}}
		}
	}
	return dog
}

// view is a dog that stands anywhere.
func (d dice) view(c *curriculum.Curriculum, dog curriculum.Dog) *engine.DogView {
	v := shown(c, dog)
	for i := range v.Behaviours {
		b := &v.Behaviours[i]
		b.State = []curriculum.State{curriculum.Open, curriculum.Working, curriculum.Working, curriculum.Working, curriculum.Kept, curriculum.Kept, curriculum.Lapsed, curriculum.Waiting, curriculum.Paused}[d.IntN(9)]
		switch b.State {
		case curriculum.Waiting, curriculum.Open:
		case curriculum.Kept:
			b.Step = len(b.Behaviour.Steps) - 1
			b.Level = len(b.Behaviour.Steps[b.Step].Levels) - 1
		default:
			b.Step = d.IntN(len(b.Behaviour.Steps))
			b.Level = d.IntN(len(b.Behaviour.Steps[b.Step].Levels))
		}
		b.At = b.Behaviour.Steps[b.Step].Levels[b.Level]
		if b.State != curriculum.Open && b.State != curriculum.Waiting {
			b.LastTrained = morning.Add(-time.Duration(d.IntN(40*24)) * time.Hour)
			b.ReviewDue = firstReview(b)
			b.Recent.Evidence = d.IntN(11)
			b.Recent.Successes = d.IntN(b.Recent.Evidence + 1)
			b.ToMove = b.Recent.Evidence - b.Recent.Successes // no draw of its own, so that the days stay the same
			if d.one(3) {
				b.Pace = engine.Pace{Seconds: float64(20+d.IntN(600)) / 10, Cycles: 1 + d.IntN(15)}
			}
			if d.one(3) {
				b.TrialsToday, b.SessionsToday = d.IntN(8), 1+d.IntN(2)
			}
			b.Trials7Days, b.Sessions7Days = b.TrialsToday+d.IntN(10), b.SessionsToday+d.IntN(3)
		}
		b.Stopped = d.one(25)
		if d.one(25) {
			b.Locked = true
			v.Locked = append(v.Locked, engine.Lock{Sign: "lick", At: morning, Behaviours: []string{b.Behaviour.Name}})
		}
	}
	if d.one(60) {
		v.Locked = append(v.Locked, engine.Lock{Sign: "growl", At: morning})
	}
	v.SessionEnded = d.one(60)
	return v
}

func (d dice) request() plan.Request {
	r := plan.Request{Dog: "dice", At: morning, Seed: d.Uint64()}
	if !d.one(4) {
		r.Place = d.of(somePlaces...)
	}
	if d.one(2) {
		r.Minutes = 0.2 + 8*d.Float64()
	}
	if d.one(3) {
		r.Pieces = 1 + d.IntN(40)
	}
	if d.one(4) {
		r.Kcal = 0.5 + 60*d.Float64()
	}
	if d.one(5) {
		r.Equipment = d.some(someKit...)
	}
	if d.one(6) {
		r.ExtrasFed = 30 * d.Float64()
	}
	if d.one(2) {
		celsius := float64(d.IntN(35))
		r.Celsius = &celsius
	}
	if d.one(4) {
		r.Favour = d.some("b0", "b1")
	}
	return r
}
