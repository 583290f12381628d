package plan_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

const evening = `{"at": "2026-03-03T18:00:00+01:00", "turns": 4, "minutes": 4, "change": 2,
 "stations": [{"station": "mats", "place": "room-a", "equipment": ["mat"]}, {"place": "yard"}],
 "dogs": ["gantry", {"dog": "bisk", "handler": "owner"}, {"dog": "okapi", "turns": 1}],
 "apart": [["gantry", "bisk"]], "equipment": {"platform": 1, "towel": 1}}`

func classOf(t testing.TB, text string) plan.Class {
	c, err := plan.ReadClass(strings.NewReader(text))
	require.NoError(t, err)
	return c
}

// kennel is a fold of some dogs that have done nothing.
func kennel(t testing.TB, c *curriculum.Curriculum, names ...string) (*engine.Program, *engine.Fold) {
	p := program(t, c)
	var dogs []curriculum.Dog
	for _, n := range names {
		dogs = append(dogs, curriculum.Dog{Name: n, Born: morning.AddDate(-2, 0, 0), WeightKg: 20, Neutered: curriculum.Yes})
	}
	return p, p.NewFold(dogs...)
}

func TestAClassDayGivesEveryDogItsTurnsAndItsRest(t *testing.T) {
	p, f := kennel(t, yard(), "gantry", "bisk", "okapi")
	day, err := plan.ForClass(p, f, classOf(t, evening), plan.Request{At: morning})
	require.NoError(t, err)
	golden(t, "class.txt", day.Text())
	golden(t, "class.md", day.Markdown())
	var one, two bytes.Buffer
	require.NoError(t, day.WriteJSON(&one))
	again, err := plan.ForClass(p, f, classOf(t, evening), plan.Request{At: morning})
	require.NoError(t, err)
	require.NoError(t, again.WriteJSON(&two))
	require.Equal(t, one.String(), two.String())
	require.Len(t, day.Turns, 4)
	require.Equal(t, 18*time.Minute, day.Turns[3].At.Sub(day.At), "three turns of four minutes and three changes of two")
}

func TestALockedDogStaysOutOfTheClass(t *testing.T) {
	c := yard()
	p, f := kennel(t, c, "gantry", "bisk", "okapi")
	require.NoError(t, f.Note(&curriculum.Event{Dog: "bisk", At: morning.Add(-time.Hour), Kind: curriculum.SignSeen, Sign: c.Signs[0].Name, By: "Dov"}))
	day, err := plan.ForClass(p, f, classOf(t, evening), plan.Request{At: morning})
	require.NoError(t, err)
	require.Contains(t, day.Notes[0], "bisk stays out")
	require.NotContains(t, strings.Split(day.Text(), "NOTES")[0], "bisk")
}

func TestAClassDaySaysWhenToStopBeforeAllElse(t *testing.T) {
	p, f := kennel(t, yard(), "gantry", "bisk", "okapi")
	day, err := plan.ForClass(p, f, classOf(t, evening), plan.Request{At: morning})
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(day.Cautions[0], "Stop the session at: "), day.Cautions)
	var page strings.Builder
	require.NoError(t, day.WriteHTML(&page))
	for _, text := range []string{day.Text(), day.Markdown(), page.String()} {
		at := strings.Index(text, "Stop the session at: ")
		require.Positive(t, at)
		require.Less(t, at, strings.Index(text, "18:00"))
		require.Contains(t, strings.Join(strings.Fields(text), " "), "no force, no jerking, no scolding")
	}
}

func TestNothingLivelyIsDoneAtAStationThatIsTooWarm(t *testing.T) {
	c := yard()
	c.Sessions[0].LivelyUpTo = 20
	lively := c.Behaviours[0]
	lively.Kinds = append(lively.Kinds, curriculum.Lively)
	p, f := kennel(t, c, "gantry", "bisk", "okapi")
	at := func(celsius string) (mats, yard int, text string) {
		day, err := plan.ForClass(p, f, classOf(t, strings.Replace(evening, `"place": "yard"`, `"place": "yard", "celsius": `+celsius, 1)), plan.Request{At: morning})
		require.NoError(t, err)
		for _, turn := range day.Turns {
			for _, w := range turn.Work {
				for _, it := range w.Plan.Items {
					switch {
					case it.Behaviour != lively.Name:
					case w.Station == "yard":
						yard += it.Trials
					default:
						mats += it.Trials
					}
				}
			}
		}
		return mats, yard, day.Text()
	}
	mats, yard, text := at("24.5")
	require.Positive(t, mats)
	require.Zero(t, yard)
	require.Contains(t, text, "It is 24.5 degrees")
	mats, yard, text = at("12")
	require.Positive(t, mats)
	require.Positive(t, yard)
	require.NotContains(t, text, "heat can kill")
	_, err := plan.ReadClass(strings.NewReader(`{"stations": [{"station": "yard", "celsius": 99}]}`))
	require.ErrorContains(t, err, "celsius must be degrees Celsius, -60 to 60")
}

func TestAClassDayThatCannotBeSaysWhatWouldDo(t *testing.T) {
	p, f := kennel(t, yard(), "gantry", "bisk", "okapi")
	for _, k := range []struct{ name, old, new, text, next string }{
		{"more turns wanted than there are places", `"turns": 4`, `"turns": 2`, "to work 5 turns in all, and 2 turns hold 4", "3 turns would do"},
		{"dogs to be kept apart want more turns than there are", `"turns": 4`, `"turns": 3`, "gantry and bisk are never to work at the same time and want 4 turns, but there are 3", "4 turns would do"},
		{"too many turns for one dog", `"turns": 1`, `"turns": 5`, "okapi is to work 5 turns of 4", "1 to 4"},
		{"no stations", `[{"station": "mats", "place": "room-a", "equipment": ["mat"]}, {"place": "yard"}]`, "[]", "0 stations", "1 to 12"},
		{"a dog twice", `"dogs": ["gantry"`, `"dogs": ["gantry", "gantry"`, "gantry is in the class twice", "once"},
		{"turns of no length", `"minutes": 4`, `"minutes": 0`, "turns of 0 minutes", "240"},
		{"two stations of one name", `{"place": "yard"}`, `{"station": "mats"}`, `the name "mats"`, "name of its own"},
	} {
		t.Run(k.name, func(t *testing.T) {
			text := strings.Replace(evening, k.old, k.new, 1)
			require.NotEqual(t, evening, text)
			_, err := plan.ForClass(p, f, classOf(t, text), plan.Request{At: morning})
			var bad *plan.ClassError
			require.ErrorAs(t, err, &bad)
			require.Regexp(t, k.text, bad.Text)
			require.Contains(t, bad.Next, k.next)
		})
	}
	for old, new := range map[string]string{`"yard"`: `"yrad"`, `"mat"]`: `"mta"]`, `"gantry", {`: `"gantri", {`, `["gantry", "bisk"]`: `["gantry", "bisc"]`, `"owner"`: `"onwer"`, `"platform"`: `"platfrom"`} {
		_, err := plan.ForClass(p, f, classOf(t, strings.Replace(evening, old, new, 1)), plan.Request{At: morning})
		var bad *plan.RequestError
		require.ErrorAs(t, err, &bad, new)
		require.NotEmpty(t, bad.Nearest, new)
	}
}

func TestAClassFileSaysAllThatIsWrongInItAndWhere(t *testing.T) {
	for _, k := range []struct{ name, text, want string }{
		{"slips in several objects", `{"turns": 6,
 "stations": [{"station": "mats", "equipmnt": ["mat"]}],
 "dogs": [{"dogg": "okapi", "turn": 2}], "aprt": []}`, `line 2, column 35: a station has no field "equipmnt"; did you mean equipment?
line 3, column 12: a dog has no field "dogg"; did you mean dog?
line 3, column 29: a dog has no field "turn"; did you mean turns?
line 3, column 42: a class day has no field "aprt"; did you mean apart?`},
		{"a field like none", `{"weather": {"sunny": [true, {}]}, "turns": 1}`, `line 1, column 2: a class day has no field "weather"; it has apart, at, change, dogs, equipment, minutes, stations and turns`},
		{"values of another kind", `{"turns": "six", "minutes": -1, "change": 1e999, "at": "tomorrow", "dogs": [3], "equipment": {"mat": 1.5}}`, `line 1, column 11: turns must be a whole number, nought or more
line 1, column 29: minutes must be a number, nought or more
line 1, column 43: change must be a number, nought or more
line 1, column 56: at must be a time with its offset, such as "2026-04-21T18:00:00+02:00"
line 1, column 77: each of dogs must be a name, or an object such as {"dog": "okapi", "turns": 2}
line 1, column 102: the number of mat must be a whole number, nought or more`},
		{"lists and objects in one another's place", `{"stations": {"place": "yard"}, "apart": ["okapi"], "equipment": ["mat"]}`, `line 1, column 14: stations must be a list of stations, in square brackets
line 1, column 43: each of apart must be a group of dogs, such as ["okapi", "bisk"]
line 1, column 66: equipment must be an object such as {"platform": 1}`},
		{"a field twice", `{"turns": 6, "turns": 7}`, `line 1, column 14: "turns" is given twice`},
		{"nothing among the dogs", `{"turns": null, "dogs": [null]}`, `line 1, column 26: each of dogs must be a name, or an object such as {"dog": "okapi", "turns": 2}`},
		{"a comma too many, behind letters of two bytes", `{"apart": [["Zoë",, "okapi"]]}`, `line 1, column 18: the JSON breaks here: a comma, a quotation mark or a bracket is missing or too many, here or just before`},
		{"a list", `["okapi"]`, `line 1, column 1: the file must be an object, in braces`},
		{"a file that breaks off", `{"turns": 6, "dogs": ["okapi"`, `line 1, column 30: the file ends too early: a bracket or a quotation mark is still open`},
		{"an empty file", " \n", `line 1, column 1: the file is empty`},
		{"something behind it", `{"turns": 6} {}`, `line 1, column 14: nothing may follow the class day`},
	} {
		t.Run(k.name, func(t *testing.T) {
			_, err := plan.ReadClass(strings.NewReader(k.text))
			var bad *plan.ClassFileError
			require.ErrorAs(t, err, &bad)
			require.Equal(t, k.want, err.Error())
		})
	}
}

// Whatever is read is either used or refused with a place; nothing panics, and what is refused by encoding/json is
// refused here too.
func FuzzReadClass(f *testing.F) {
	f.Add(evening)
	f.Add(`{"turns": 6, "stations": [{"dogs": "x"}], "dogs": [{}], "equipment": {"a": []}}`)
	f.Fuzz(func(t *testing.T, text string) {
		_, err := plan.ReadClass(strings.NewReader(text))
		var c plan.Class
		dec := json.NewDecoder(strings.NewReader(text))
		dec.DisallowUnknownFields()
		if dec.Decode(&c) != nil && err == nil {
			t.Fatalf("%q is read", text)
		}
		var bad *plan.ClassFileError
		if err != nil && !errors.As(err, &bad) {
			t.Fatalf("%q: %v", text, err)
		}
	})
}

// randomClass is a small class for which every set-up can be tried.
func (d dice) class() plan.Class {
	c := plan.Class{Turns: 1 + d.IntN(4), Minutes: 3, Change: 1}
	for i := range 1 + d.IntN(2) {
		c.Stations = append(c.Stations, plan.Station{Name: fmt.Sprint("s", i), Dogs: 1 + d.IntN(2)})
	}
	for i := range 1 + d.IntN(3) {
		c.Dogs = append(c.Dogs, plan.ClassDog{Dog: fmt.Sprint("d", i), Turns: 1 + d.IntN(c.Turns)})
	}
	if d.one(2) && len(c.Dogs) > 1 {
		c.Apart = append(c.Apart, []string{"d0", "d1"})
	}
	return c
}

// cost is what a set-up costs, or -1 for one that breaks a limit; written apart from the planner's.
func cost(c plan.Class, at [][]int) (cost int) {
	apart := len(c.Apart) > 0
	for t := range c.Turns {
		for s, st := range c.Stations {
			n := 0
			for d := range c.Dogs {
				if at[d][t] == s {
					n++
				}
			}
			if n > st.Dogs {
				return -1
			}
		}
		if apart && at[0][t] >= 0 && at[1][t] >= 0 {
			return -1
		}
	}
	for d, k := range c.Dogs {
		n, had := 0, map[int]bool{}
		for t, s := range at[d] {
			if s < 0 {
				continue
			}
			n++
			if t > 0 && at[d][t-1] >= 0 {
				cost += 1000
			}
			if had[s] {
				cost++
			}
			had[s] = true
		}
		if n != k.Turns {
			return -1
		}
	}
	return cost
}

// exhausted is the least cost of all set-ups there are, or -1.
func exhausted(c plan.Class) int {
	best := -1
	at := make([][]int, len(c.Dogs))
	for d := range at {
		at[d] = make([]int, c.Turns)
	}
	cells, kinds := len(c.Dogs)*c.Turns, len(c.Stations)+1
	all := 1
	for range cells {
		all *= kinds
	}
	for code := range all {
		for i, rest := 0, code; i < cells; i, rest = i+1, rest/kinds {
			at[i/c.Turns][i%c.Turns] = rest%kinds - 1
		}
		if k := cost(c, at); k >= 0 && (best < 0 || k < best) {
			best = k
		}
	}
	return best
}

func TestTheSetUpIsTheBestOfAll(t *testing.T) {
	possible, impossible := 0, 0
	for seed := range uint64(400) {
		d := dice{rand.New(rand.NewPCG(seed, 9))}
		c := d.class()
		for len(c.Dogs)*c.Turns > 9 { // 3^9 set-ups can all be tried
			c = d.class()
		}
		want := exhausted(c)
		at, err := plan.SetUpOf(c)
		if want < 0 {
			impossible++
			var bad *plan.ClassError
			require.ErrorAs(t, err, &bad, "%+v", c)
			continue
		}
		possible++
		require.NoError(t, err, "%+v", c)
		require.Equal(t, want, cost(c, at), "%+v\n%v", c, at)
	}
	require.Greater(t, possible, 100)
	require.Greater(t, impossible, 30)
}

// Whatever the tries, what no set-up can have less of is not more than the best of all has; enough tries prove it.
func TestASetUpSaysHowFarFromTheBestItMayBe(t *testing.T) {
	unproved := 0
	for seed := range uint64(200) {
		d := dice{rand.New(rand.NewPCG(seed, 11))}
		c := d.class()
		for len(c.Dogs)*c.Turns > 9 {
			c = d.class()
		}
		best := exhausted(c)
		for _, budget := range []int{4, 20, 1_000_000} {
			at, s, notes, err := plan.SetUpWithin(c, budget)
			if err != nil {
				continue
			}
			have := 1000*s.NoRest + s.Again
			require.Equal(t, have, cost(c, at), "%+v\n%v", c, at)
			require.LessOrEqual(t, 1000*s.LeastNoRest+s.LeastAgain, best)
			require.GreaterOrEqual(t, have, best)
			if s.Proved {
				require.Equal(t, best, have, "%+v", c)
			} else {
				unproved++
				require.Contains(t, notes[0], "too big to try every set-up")
			}
			if budget > 1000 {
				require.True(t, s.Proved)
			}
		}
	}
	require.Greater(t, unproved, 2)
}

func TestADogThatHasToWorkTwoTurnsRunningIsNamedInNumbers(t *testing.T) {
	c := plan.Class{Turns: 3, Minutes: 4, Stations: []plan.Station{{Name: "mats", Dogs: 1}}, Dogs: []plan.ClassDog{{Dog: "okapi", Turns: 3}}}
	_, s, notes, err := plan.SetUpWithin(c, 1000)
	require.NoError(t, err)
	require.Equal(t, plan.SetUp{NoRest: 2, Again: 2, LeastNoRest: 2, LeastAgain: 2, Proved: true}, s)
	require.Equal(t, []string{"2 turns come without a rest before them; no set-up has fewer. Another turn, or another station, gives more room."}, notes)
}

// Twenty dogs, forty turns at forty-eight places: far too many set-ups to try, and yet one without a fault is found.
func TestABigClassIsSetUpWithoutAFault(t *testing.T) {
	c := plan.Class{Turns: 12, Minutes: 4, Stations: []plan.Station{{Name: "a", Dogs: 1}, {Name: "b", Dogs: 1}, {Name: "c", Dogs: 2}},
		Apart: [][]string{{"d0", "d1", "d2"}, {"d3", "d4"}, {"d5", "d6", "d0"}}}
	for i := range 20 {
		c.Dogs = append(c.Dogs, plan.ClassDog{Dog: fmt.Sprint("d", i), Turns: 2})
	}
	_, s, _, err := plan.SetUpWithin(c, 200_000)
	require.NoError(t, err)
	require.Equal(t, plan.SetUp{Proved: true}, s)
}

// What a vet has set for a session holds for all the turns of a class together, since they are minutes apart.
func TestAProfilesLimitsHoldForAllTurnsOfAClassTogether(t *testing.T) {
	p := program(t, yard())
	for _, k := range []struct {
		name    string
		minutes float64
		change  float64
		limits  curriculum.Limits
		trials  int // of the whole class at most
		touches int
	}{
		{"trials are shared out", 4, 2, curriculum.Limits{Trials: 10}, 10, 10},
		{"so are minutes", 4, 2, curriculum.Limits{Minutes: 2}, 99, 99},
		{"and the trials of one behaviour", 4, 2, curriculum.Limits{Behaviours: map[string]curriculum.BehaviourLimits{"hand-touch": {Trials: 4}}}, 99, 4},
		{"fewer trials than turns", 4, 2, curriculum.Limits{Trials: 2}, 2, 2},
		{"turns an hour apart are sessions of their own", 20, 40, curriculum.Limits{Trials: 10}, 30, 30},
	} {
		t.Run(k.name, func(t *testing.T) {
			f := p.NewFold(curriculum.Dog{Name: "gantry", Born: morning.AddDate(-2, 0, 0), WeightKg: 31, Neutered: curriculum.Yes, Limits: k.limits})
			c := plan.Class{Turns: 5, Minutes: k.minutes, Change: k.change, Stations: []plan.Station{{Place: "yard"}}, Dogs: []plan.ClassDog{{Dog: "gantry", Turns: 3}}}
			day, err := plan.ForClass(p, f, c, plan.Request{At: morning})
			require.NoError(t, err)
			trials, touches, minutes := 0, 0, 0.0
			for _, turn := range day.Turns {
				for _, w := range turn.Work {
					minutes += w.Plan.Minutes
					for _, it := range w.Plan.Items {
						trials += it.Trials
						if it.Behaviour == "hand-touch" {
							touches += it.Trials
						}
					}
				}
			}
			require.Positive(t, trials)
			require.LessOrEqual(t, trials, k.trials)
			require.LessOrEqual(t, touches, k.touches)
			if k.limits.Minutes > 0 {
				require.LessOrEqual(t, minutes, k.limits.Minutes+0.1)
			}
			if k.change > 30 {
				require.Greater(t, trials, k.limits.Trials, "each turn has the whole limit")
			}
		})
	}
}

// Whatever the class, no more equipment is at work in a turn than there is, and nobody works without a place.
func TestNoTurnUsesMoreEquipmentThanThereIs(t *testing.T) {
	p, f := kennel(t, yard(), "gantry", "bisk", "okapi", "sorrel")
	used := 0
	rapid.Check(t, func(t *rapid.T) {
		d := dice{rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 10))}
		c := plan.Class{Turns: 3 + d.IntN(3), Minutes: float64(2 + d.IntN(5)), Change: 1, Equipment: map[string]int{"mat": d.IntN(3), "platform": d.IntN(2), "towel": 1},
			Stations: []plan.Station{{Place: "room-a", Dogs: 2}, {Place: "yard", Equipment: d.some("mat", "towel")}}}
		for _, n := range []string{"gantry", "bisk", "okapi", "sorrel"} {
			c.Dogs = append(c.Dogs, plan.ClassDog{Dog: n, Turns: 1 + d.IntN(2)})
		}
		day, err := plan.ForClass(p, f, c, plan.Request{At: morning, Seed: d.Uint64()})
		require.NoError(t, err)
		for _, turn := range day.Turns {
			moving := map[string]int{}
			for _, w := range turn.Work {
				st := c.Stations[slices.IndexFunc(c.Stations, func(s plan.Station) bool { return s.Place == w.Station })]
				for _, k := range w.Plan.Kit {
					if !slices.Contains(st.Equipment, k) {
						moving[k]++
						used++
					}
				}
				require.LessOrEqual(t, w.Plan.Minutes, c.Minutes)
				require.Equal(t, st.Place, w.Plan.Place)
			}
			for k, n := range moving {
				require.LessOrEqual(t, n, c.Equipment[k], k)
			}
			require.Len(t, c.Dogs, len(turn.Work)+len(turn.Resting))
		}
	})
	require.Greater(t, used, 10)
}

// The search beside trying every set-up of the same small class, and what a class of twenty dogs takes.
func BenchmarkASetUp(b *testing.B) {
	small := plan.Class{Turns: 4, Stations: []plan.Station{{Name: "s0", Dogs: 1}, {Name: "s1", Dogs: 1}}, Dogs: []plan.ClassDog{{Dog: "d0", Turns: 2}, {Dog: "d1", Turns: 2}}, Apart: [][]string{{"d0", "d1"}}}
	b.Run("searched", func(b *testing.B) {
		for b.Loop() {
			if _, err := plan.SetUpOf(small); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("every set-up tried", func(b *testing.B) {
		for b.Loop() {
			exhausted(small)
		}
	})
	big := plan.Class{Turns: 12, Stations: []plan.Station{{Name: "a", Dogs: 1}, {Name: "b", Dogs: 1}, {Name: "c", Dogs: 2}}}
	for i := range 20 {
		big.Dogs = append(big.Dogs, plan.ClassDog{Dog: fmt.Sprint("d", i), Turns: 2})
	}
	b.Run("twenty dogs", func(b *testing.B) {
		for b.Loop() {
			if _, err := plan.SetUpOf(big); err != nil {
				b.Fatal(err)
			}
		}
	})
}
