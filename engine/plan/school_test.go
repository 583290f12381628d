package plan_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

var morning = time.Date(2026, 3, 3, 9, 0, 0, 0, time.FixedZone("", 3600))

func window(k, n int) curriculum.Criterion { return curriculum.Window{K: k, N: n} }

func misses(k, n int) curriculum.Criterion {
	return curriculum.Window{K: k, N: n, Count: curriculum.Misses}
}

func rules(c ...curriculum.Rule) []curriculum.Rule { return c }

func quantities(u curriculum.Unit, n ...int64) []curriculum.LevelValue {
	var out []curriculum.LevelValue
	for _, v := range n {
		out = append(out, curriculum.LevelValue{Quantity: curriculum.Q(v, u)})
	}
	return out
}

func step(name, text string, ramps ...curriculum.Ramp) *curriculum.Step {
	s := &curriculum.Step{Name: name, Text: text, Ramps: ramps, Rules: rules(
		curriculum.Rule{Word: curriculum.Advance, When: window(4, 5)},
		curriculum.Rule{Word: curriculum.Ease, When: misses(3, 5)},
	)}
	s.Levels = curriculum.LayOut(ramps, curriculum.Raise{})
	return s
}

// yard is a small house of our own: a platform pair, a mat, a chin rest, a recall, a touch.
func yard() *curriculum.Curriculum {
	follow := step("follow", "moves with the food in the hand", curriculum.Ramp{Of: "turn", Measured: true, Values: quantities(curriculum.Degree, 30, 60, 90)})
	follow.Prompts, follow.Help = []string{"lure"}, []string{"touch", "step-in"}
	thin := step("paid-sometimes", "rewards spread out", curriculum.Ramp{Of: curriculum.ThinRamp, Values: []curriculum.LevelValue{
		{Thin: &curriculum.Schedule{Kind: curriculum.VariableRatio, Value: curriculum.QFrac(3, 2, curriculum.NoUnit)}},
		{Thin: &curriculum.Schedule{Kind: curriculum.VariableRatio, Value: curriculum.Q(2, curriculum.NoUnit)}},
	}})
	hold := step("hold", "stays on the mat", curriculum.Ramp{Of: "duration", Measured: true, Values: quantities(curriculum.Second, 5, 10, 20)})
	hold.Reward = &curriculum.Schedule{Kind: curriculum.VariableDuration, Value: curriculum.Q(6, curriculum.Second)}
	quiet := step("quiet", "two metres, nobody about", curriculum.Ramp{Of: "distance", Measured: true, Values: quantities(curriculum.Metre, 2, 4)})
	quiet.Sheet.Takes = curriculum.Q(20, curriculum.Second)
	quiet.Places = []string{"yard", "lane"}
	touch := step("palm", "nose to the bare palm")
	rest := step("weight", "the chin's weight rests on the towel for 1 s")
	pivot := func(name, other, cue, hand string) *curriculum.Behaviour {
		return &curriculum.Behaviour{
			Name: name, Text: "hind feet walk round, front feet stay", Steps: []*curriculum.Step{follow, thin},
			Sheet: curriculum.Sheet{Cues: []curriculum.Cue{{Kind: "word", Text: cue}, {Kind: "hand", Text: hand}}, Do: "food hand to the shoulder, then round",
				Success: "hind feet move at least the stated degrees round the platform", Mark: "nice", Pay: "at the platform, head straight", Side: "left",
				SetUp: "platform against a wall", Equipment: []string{"platform"}, Cautions: []string{"growing-joints"}},
			NeverWith: []curriculum.NeverWith{{Other: other, Until: "paid-sometimes"}},
			Kinds:     []curriculum.Kind{curriculum.Impact},
			Caps:      []curriculum.Cap{{N: 6, Of: curriculum.CapTrials, Per: curriculum.PerSession}, {N: 12, Of: curriculum.CapTrials, Per: curriculum.PerDay}},
		}
	}
	return &curriculum.Curriculum{
		Name: "Pindrift short", Edition: "1",
		Markers:   []curriculum.Marker{{Name: "nice", Text: "nice"}, {Name: "all-done", Text: "all done", Releases: true}},
		Foods:     []curriculum.Food{{Name: "ration", Energy: curriculum.QFrac(3, 2, curriculum.Kilocalorie), Weight: curriculum.QFrac(2, 5, curriculum.Gram), EatenIn: curriculum.Q(1, curriculum.Second)}, {Name: "cheese", Energy: curriculum.Q(4, curriculum.Kilocalorie), EatenIn: curriculum.Q(3, curriculum.Second), Extra: true, Contains: []string{"milk"}}},
		Places:    []string{"room-a", "yard", "lane"},
		Handlers:  []string{"senior", "owner"},
		Equipment: []curriculum.Equipment{{Name: "platform"}, {Name: "mat"}, {Name: "towel"}},
		Measures:  []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}},
		Signs:     []curriculum.Sign{{Name: "limp"}, {Name: "growl"}, {Name: "turns-away", Locks: curriculum.EndBehaviour}},
		Cautions:  []curriculum.Caution{{Name: "growing-joints", Text: "Low, slow and few: no jumping, no repeated tight turns.", When: &curriculum.Expression{Text: "dog.age_months < 14"}}},
		Behaviours: []*curriculum.Behaviour{
			{Name: "hand-touch", Text: "nose to palm", Steps: []*curriculum.Step{touch}, Review: []curriculum.Quantity{curriculum.Q(1, curriculum.Day), curriculum.Q(3, curriculum.Day), curriculum.Q(1, curriculum.Week)},
				Sheet: curriculum.Sheet{Cues: []curriculum.Cue{{Kind: "word", Text: "boop"}, {Kind: "hand", Text: "flat palm"}}, Success: "nose on the palm within 2 s", Pay: "at the palm"}},
			pivot("pivot-left", "pivot-right", "swing", "left hand sweeps"),
			pivot("pivot-right", "pivot-left", "tick-tock", "right hand sweeps"),
			{Name: "settle", Text: "lies on the mat until released", Steps: []*curriculum.Step{step("down", "lies down on the mat"), hold}, Kinds: []curriculum.Kind{curriculum.Calm},
				Sheet: curriculum.Sheet{Cues: []curriculum.Cue{{Kind: "word", Text: "mat"}, {Kind: "hand", Text: "point to the mat"}}, Success: "elbows and hip on the mat for the stated time", Equipment: []string{"mat"}, Pay: "on the mat, between the paws"}},
			{Name: "chin-rest", Text: "chin on a towel", Steps: []*curriculum.Step{rest}, Kinds: []curriculum.Kind{curriculum.Care},
				Sheet: curriculum.Sheet{Cues: []curriculum.Cue{{Kind: "hand", Text: "towel on the lap, palm up"}}, Equipment: []string{"towel"}}},
			{Name: "call-in", Text: "comes when called", Steps: []*curriculum.Step{quiet}, Kinds: []curriculum.Kind{curriculum.Lively}, BetterAfter: []string{"hand-touch"},
				Sheet: curriculum.Sheet{Cues: []curriculum.Cue{{Kind: "word", Text: "here-o"}}, Success: "arrives and touches the hand"}},
		},
		Sessions: []*curriculum.Session{
			{Lasts: curriculum.Q(5, curriculum.Minute), MaxTrials: 30, MaxNew: 1, MaxInARow: 5, OpensWith: curriculum.Slot{Known: true}, ClosesWith: curriculum.Slot{Known: true}, Extras: curriculum.Percent(10)},
			{Name: "short", Lasts: curriculum.Q(2, curriculum.Minute), MaxBehaviours: 2, MaxPerBehaviour: 4, OpensWith: curriculum.Slot{Behaviour: "settle"}},
		},
	}
}

func program(t require.TestingT, c *curriculum.Curriculum) *engine.Program {
	p, err := engine.Compile(c)
	require.NoError(t, err)
	return p
}

// shown is a view of a dog that stands at the start of everything, changed by the functions given.
func shown(c *curriculum.Curriculum, d curriculum.Dog, change ...func(map[string]*engine.BehaviourView)) *engine.DogView {
	v := &engine.DogView{Dog: d, Standing: engine.DogStanding{Dog: d.Name}}
	by := map[string]*engine.BehaviourView{}
	v.Behaviours = make([]engine.BehaviourView, len(c.Behaviours))
	for i, b := range c.Behaviours {
		v.Behaviours[i] = engine.BehaviourView{Behaviour: b, State: curriculum.Open, At: b.Steps[0].Levels[0], Card: engine.Card{
			Advance: []engine.CardLine{{Text: "4 of the last 5 good", To: "go on"}}, Ease: []engine.CardLine{{Text: "3 misses of the last 5", To: "go back"}}}}
		by[b.Name] = &v.Behaviours[i]
	}
	for _, f := range change {
		f(by)
	}
	return v
}

func at(name string, s curriculum.State, step, level int, good, of, daysAgo int) func(map[string]*engine.BehaviourView) {
	return func(by map[string]*engine.BehaviourView) {
		v := by[name]
		v.State, v.Step, v.Level, v.At = s, step, level, v.Behaviour.Steps[step].Levels[level]
		v.Recent = engine.Tally{Successes: good, Evidence: of}
		v.ToMove = max(1, 4-good)
		v.LastTrained = morning.AddDate(0, 0, -daysAgo)
		v.ReviewDue = firstReview(v)
	}
}

// firstReview is the date of a kept behaviour's review where the last trial was when it was kept.
func firstReview(v *engine.BehaviourView) time.Time {
	if v.State != curriculum.Kept || len(v.Behaviour.Review) == 0 {
		return time.Time{}
	}
	y, m, d := v.LastTrained.AddDate(0, 0, int(v.Behaviour.Review[0].Num)).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

func planned(t testing.TB, v *engine.DogView, r plan.Request) *plan.Plan {
	t.Helper()
	c := yard()
	return plannedOf(t, c, v, r)
}

func plannedOf(t testing.TB, c *curriculum.Curriculum, v *engine.DogView, r plan.Request) *plan.Plan {
	t.Helper()
	r.Dog = v.Dog.Name
	if r.At.IsZero() {
		r.At = morning
	}
	p, err := plan.ForView(program(t, c), v, r)
	require.NoError(t, err)
	return p
}

// gantry is a grown dog in the middle of things.
func gantry(c *curriculum.Curriculum, change ...func(map[string]*engine.BehaviourView)) *engine.DogView {
	d := curriculum.Dog{Name: "gantry", Born: time.Date(2024, 1, 5, 0, 0, 0, 0, time.UTC), WeightKg: 31, Neutered: curriculum.Yes}
	return shown(c, d, append([]func(map[string]*engine.BehaviourView){
		at("hand-touch", curriculum.Kept, 0, 0, 8, 10, 4),
		at("pivot-left", curriculum.Working, 0, 1, 3, 5, 2),
		at("settle", curriculum.Working, 1, 1, 5, 6, 1),
		at("call-in", curriculum.Working, 0, 1, 1, 5, 3),
	}, change...)...)
}

func out(t testing.TB, p *plan.Plan, name string) plan.LeftOut {
	t.Helper()
	for _, l := range p.LeftOut {
		if l.Behaviour == name {
			return l
		}
	}
	t.Fatalf("%s is not left out; items %v", name, names(p))
	return plan.LeftOut{}
}

func names(p *plan.Plan) (n []string) {
	for _, it := range p.Items {
		n = append(n, it.Behaviour)
	}
	return n
}
