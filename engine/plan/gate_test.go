package plan_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

type views = map[string]*engine.BehaviourView

func TestWhyABehaviourIsLeftOut(t *testing.T) {
	level := func(of string, q curriculum.Quantity) curriculum.LevelRef {
		return curriculum.LevelRef{{Of: of, LevelValue: curriculum.LevelValue{Quantity: q}}}
	}
	for _, k := range []struct {
		name      string
		behaviour string
		code      plan.Code
		reason    string
		house     func(*curriculum.Curriculum)
		view      func(*engine.DogView, views)
		request   plan.Request
	}{
		{name: "an uncleared sign locks it", behaviour: "chin-rest", code: plan.Locked, reason: "growl, seen 1 March 2026", view: func(v *engine.DogView, by views) {
			by["chin-rest"].Locked = true
			v.Locked = []engine.Lock{{Sign: "growl", At: morning.AddDate(0, 0, -2), Behaviours: []string{"chin-rest"}}}
		}},
		{name: "the profile bars it for a reason", behaviour: "call-in", code: plan.Profile, reason: "gantry's profile: a sore wrist", view: func(v *engine.DogView, _ views) {
			v.Dog.Limits.Behaviours = map[string]curriculum.BehaviourLimits{"call-in": {Never: true, Because: "a sore wrist"}}
		}},
		{name: "the profile keeps it below every level of the step", behaviour: "call-in", code: plan.Profile, reason: "keeps it at distance 1 m", view: func(v *engine.DogView, _ views) {
			v.Dog.Limits.Behaviours = map[string]curriculum.BehaviourLimits{"call-in": {Level: level("distance", curriculum.Q(1, curriculum.Metre))}}
		}},
		{name: "it was stopped", behaviour: "settle", code: plan.Stopped, reason: "stopped for today", view: func(_ *engine.DogView, by views) { by["settle"].Stopped = true }},
		{name: "a door is shut", behaviour: "pivot-right", code: plan.Waiting, reason: "waits for step-up at hold; the dog is 12 months old", view: func(_ *engine.DogView, by views) {
			by["pivot-right"].State, by["pivot-right"].MissingDoors = curriculum.Waiting, []string{"step-up at hold", "the dog is 12 months old"}
		}},
		{name: "a firm door shut again", behaviour: "settle", code: plan.Waiting, reason: "rests until this is met again: chin-rest at weight", view: func(_ *engine.DogView, by views) {
			by["settle"].State, by["settle"].MissingDoors = curriculum.Paused, []string{"chin-rest at weight"}
		}},
		{name: "its trials of the day are used", behaviour: "pivot-left", code: plan.CapReached, reason: "12 trials today already, 12 is the most", view: func(_ *engine.DogView, by views) { by["pivot-left"].TrialsToday = 12 }},
		{name: "its sessions of the week are used", behaviour: "settle", code: plan.CapReached, reason: "2 sessions in seven days already, 2 is the most",
			house: func(c *curriculum.Curriculum) {
				c.Behaviour("settle").Caps = []curriculum.Cap{{N: 2, Of: curriculum.CapSessions, Per: curriculum.PerWeek}}
			},
			view: func(_ *engine.DogView, by views) { by["settle"].Sessions7Days = 2 }},
		{name: "another place", behaviour: "call-in", code: plan.WrongPlace, reason: "is trained in yard or lane at this step, not in room-a", request: plan.Request{Place: "room-a"}},
		{name: "no place given", behaviour: "call-in", code: plan.WrongPlace, reason: "the place is not given", request: plan.Request{Place: ""}},
		{name: "no equipment", behaviour: "settle", code: plan.NoEquipment, reason: "needs mat, not at hand", request: plan.Request{Equipment: []string{"towel"}}},
		{name: "no cue the dog senses", behaviour: "call-in", code: plan.NoCue, reason: "has no cue that gantry can sense (hand)", view: func(v *engine.DogView, _ views) { v.Dog.Cues = []string{"hand"} }, request: plan.Request{Place: "yard"}},
		{name: "ahead of its partner", behaviour: "settle", code: plan.PairAhead, reason: "chin-rest must catch up first: 1 step between the two, 0 is the most",
			house: func(c *curriculum.Curriculum) {
				c.Behaviour("chin-rest").Pairs = []curriculum.Pair{{Other: "settle", Within: 0}}
			}},
		{name: "kept apart", behaviour: "pivot-right", code: plan.NeverWith, reason: "not in one session with pivot-left until both have reached paid-sometimes"},
		{name: "enough that is new", behaviour: "pivot-right", code: plan.NewLimit, reason: "1 new behaviour a session is the most",
			house: func(c *curriculum.Curriculum) { c.Behaviour("chin-rest").NeverWith = nil },
			view: func(_ *engine.DogView, by views) {
				by["pivot-left"].State = curriculum.Waiting
				by["chin-rest"].Behaviour.BetterAfter = nil
				by["pivot-right"].Behaviour.BetterAfter = []string{"chin-rest"}
			}},
		{name: "enough behaviours", behaviour: "chin-rest", code: plan.LimitReached, reason: "2 behaviours a session is the most", request: plan.Request{Session: "short"}},
		{name: "no time", behaviour: "pivot-left", code: plan.Minutes, reason: "no time left: 3 trials of it take about 19 s", request: plan.Request{Minutes: 0.6, Place: "room-a"}},
		{name: "too few pieces", behaviour: "settle", code: plan.NoFood, reason: "3 pieces at hand is too few", request: plan.Request{Pieces: 3}},
		{name: "too little energy", behaviour: "settle", code: plan.NoFood, reason: "the 4.5 kcal at hand are used", request: plan.Request{Kcal: 4.5}},
		{name: "no food is left", behaviour: "settle", code: plan.NoFood, reason: "no declared food is left that gantry may have", view: func(v *engine.DogView, _ views) { v.Dog.Avoid = []string{"Ration", "milk"} }},
		{name: "finished and not due", behaviour: "hand-touch", code: plan.NotDue, reason: "finished; next review in 1 day",
			house: func(c *curriculum.Curriculum) {
				c.Sessions[0].OpensWith, c.Sessions[0].ClosesWith = curriculum.Slot{}, curriculum.Slot{}
			},
			view: func(_ *engine.DogView, by views) { by["hand-touch"].ReviewDue = morning.AddDate(0, 0, 1) }},
		{name: "a sign ended the session", behaviour: "settle", code: plan.SessionEnded, reason: "a sign ended this session", view: func(v *engine.DogView, _ views) { v.SessionEnded = true }},
	} {
		t.Run(k.name, func(t *testing.T) {
			c := yard()
			if k.house != nil {
				k.house(c)
			}
			v := gantry(c)
			by := views{}
			for i := range v.Behaviours {
				by[v.Behaviours[i].Behaviour.Name] = &v.Behaviours[i]
			}
			if k.view != nil {
				k.view(v, by)
			}
			l := out(t, plannedOf(t, c, v, k.request), k.behaviour)
			require.Equal(t, k.code, l.Code)
			require.Contains(t, l.Reason, k.reason)
		})
	}
}

func TestABehaviourWithoutACueIsForADogThatCannotHearOne(t *testing.T) {
	for prompt, in := range map[string]bool{"lure": true, curriculum.WordCue: false} {
		c := yard()
		b := c.Behaviour("call-in")
		b.Sheet.Cues = nil
		for _, s := range b.Steps {
			s.Sheet.Cues, s.Prompts = nil, []string{prompt}
		}
		v := gantry(c)
		v.Dog.Cues = []string{"hand"}
		l := plannedOf(t, c, v, plan.Request{Place: "yard"}).LeftOut
		barred := slices.ContainsFunc(l, func(o plan.LeftOut) bool { return o.Behaviour == "call-in" && o.Code == plan.NoCue })
		require.Equal(t, !in, barred, prompt)
	}
}

func TestRequestsThatCannotBeAnswered(t *testing.T) {
	c := yard()
	for _, k := range []struct {
		name string
		r    plan.Request
		text string
	}{
		{"a place nobody declared", plan.Request{Place: "yrad"}, `place "yrad" is not known; did you mean "yard"?`},
		{"no time", plan.Request{}, "at is not given: the moment of planning is needed, as nothing here reads a clock"},
		{"a handler nobody declared", plan.Request{Handler: "x"}, `handler "x" is not known; known: senior and owner`},
		{"equipment nobody declared", plan.Request{Equipment: []string{"matt"}}, `equipment "matt" is not known; did you mean "mat"?`},
		{"session rules nobody wrote", plan.Request{Session: "shrot"}, `session "shrot" is not known; did you mean "short"?`},
		{"minutes below nought", plan.Request{Minutes: -1}, "minutes -1: not usable here"},
	} {
		t.Run(k.name, func(t *testing.T) {
			_, err := plan.ForView(program(t, c), gantry(c), k.r)
			require.EqualError(t, err, k.text)
		})
	}
}

func TestALogThatGoesOnBehindThePlanIsMentioned(t *testing.T) {
	for last, mentioned := range map[time.Time]bool{morning.Add(-time.Hour): false, morning: false, morning.AddDate(0, 0, 9): true} {
		v := gantry(yard(), func(by views) { by["settle"].LastTrained = last })
		notes := strings.Join(planned(t, v, plan.Request{Place: "yard", At: morning}).Notes, "\n")
		require.Equal(t, mentioned, strings.Contains(notes, "after the moment planned for"), last)
	}
}

func TestALockOfEverythingLeavesOnlyTheReferral(t *testing.T) {
	c := yard()
	v := gantry(c)
	v.Locked = []engine.Lock{{Sign: "growl", At: morning, By: "Dov"}}
	p := planned(t, v, plan.Request{Place: "yard"})
	require.Empty(t, p.Items)
	require.Len(t, p.LeftOut, len(c.Behaviours))
	require.Equal(t, plan.Locked, p.LeftOut[0].Code)
	require.Len(t, p.Locked, 1)
	for _, word := range []string{"veterinarian", "qualified behaviour professional", "named person"} {
		require.Contains(t, p.Text(), word)
	}
}

func TestAProfileHoldsALevelDown(t *testing.T) {
	c := yard()
	v := gantry(c, at("pivot-left", curriculum.Working, 0, 2, 5, 5, 1))
	v.Dog.Limits.Behaviours = map[string]curriculum.BehaviourLimits{"pivot-left": {Trials: 3, Level: curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(75, curriculum.Degree)}}}}}
	n := 0
	for _, it := range planned(t, v, plan.Request{}).Items {
		if it.Behaviour == "pivot-left" {
			n += it.Trials
			require.Equal(t, map[string]string{"turn": "60 deg"}, it.Level)
			require.Contains(t, it.Card.Advance, "allows no more")
			require.Contains(t, it.Reason, "kept at this level")
		}
	}
	require.Equal(t, 3, n)
}

func TestReviewsAreTakenInFromTheDateOnWhichTheyFallDue(t *testing.T) {
	c := yard()
	c.Sessions[0].OpensWith, c.Sessions[0].ClosesWith = curriculum.Slot{}, curriculum.Slot{}
	for _, k := range []struct {
		name   string
		in     int // days
		reason string
		due    bool
	}{
		{"on the date", 0, "a review is due today", true},
		{"the day before", 1, "next review in 1 day", false},
		{"a week before", 7, "next review in 7 days", false},
		{"the day after", -1, "its review is 1 day overdue", true},
		{"two days after", -2, "its review is 2 days overdue", true},
	} {
		t.Run(k.name, func(t *testing.T) {
			v := gantry(c, at("hand-touch", curriculum.Kept, 0, 0, 8, 10, 3))
			y, m, d := morning.AddDate(0, 0, k.in).Date()
			for i := range v.Behaviours {
				if b := &v.Behaviours[i]; b.Behaviour.Name == "hand-touch" {
					b.ReviewDue = time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
				}
			}
			p := plannedOf(t, c, v, plan.Request{})
			if !k.due {
				require.Equal(t, k.reason, out(t, p, "hand-touch").Reason[len("finished; "):])
				return
			}
			for _, it := range p.Items {
				if it.Behaviour == "hand-touch" {
					require.Equal(t, "review", it.Role)
					require.Contains(t, it.Reason, k.reason)
					return
				}
			}
			t.Fatal("not in")
		})
	}
}

func TestExtras(t *testing.T) {
	c := yard()
	fed := func(p *plan.Plan) (extras int) {
		for _, f := range p.Food {
			if f.Extra {
				extras += f.Pieces
			}
		}
		return extras
	}
	t.Run("go to what is difficult", func(t *testing.T) {
		p := planned(t, gantry(c), plan.Request{Place: "yard"})
		for _, it := range p.Items {
			require.Equal(t, it.Behaviour == "call-in" || it.Behaviour == "chin-rest", it.Extra || it.Role == "new", it.Behaviour)
		}
		require.Positive(t, fed(p))
	})
	t.Run("not for a dog of unknown weight", func(t *testing.T) {
		v := gantry(c)
		v.Dog.WeightKg = 0
		p := planned(t, v, plan.Request{Place: "yard"})
		require.Zero(t, fed(p))
		require.Contains(t, p.Text(), "weight is not known")
	})
	t.Run("all of the share where it is said that none were fed today", func(t *testing.T) {
		v := gantry(c)
		v.Behaviours[0].TrialsToday = 40
		guessed, said := planned(t, v, plan.Request{Place: "yard"}), planned(t, v, plan.Request{Place: "yard", ExtrasKnown: true})
		require.Contains(t, guessed.Text(), "Today's 40 trials are taken to have earned an extra each")
		require.NotContains(t, said.Text(), "taken to have earned")
		require.Greater(t, fed(said), fed(guessed))
	})
	t.Run("not beyond what the day has seen", func(t *testing.T) {
		require.Zero(t, fed(planned(t, gantry(c), plan.Request{Place: "yard", ExtrasFed: 146})))
	})
	t.Run("taken as one for each trial of the day where nothing is on record", func(t *testing.T) {
		v := gantry(c, func(by views) { by["settle"].TrialsToday = 36 }) // 36 of 4 kcal; the tenth of 1471 is 147
		p := planned(t, v, plan.Request{Place: "yard"})
		require.Zero(t, fed(p))
		require.Contains(t, p.Text(), "taken to have earned an extra each")
	})
	t.Run("are all there is where the ration may not be fed", func(t *testing.T) {
		v := gantry(c)
		v.Dog.Avoid = []string{"ration"}
		p := planned(t, v, plan.Request{Place: "yard"})
		require.NotEmpty(t, p.Items)
		require.Equal(t, p.Pieces, fed(p))
		require.LessOrEqual(t, p.Extras, 147.2)
	})
}

func TestACautionIsPrintedWhereItHoldsOrCannotBeJudged(t *testing.T) {
	c := yard()
	cautions := func(born time.Time) []string {
		v := gantry(c)
		v.Dog.Born = born
		for _, it := range planned(t, v, plan.Request{}).Items {
			if it.Behaviour == "pivot-left" {
				return it.Cautions
			}
		}
		t.Fatal("not in")
		return nil
	}
	require.Contains(t, cautions(morning.AddDate(0, -10, 0)), "Low, slow and few: no jumping, no repeated tight turns.")
	require.Len(t, cautions(morning.AddDate(-3, 0, 0)), 1, "only what all loading work carries")
	require.Contains(t, cautions(time.Time{})[0], "the profile does not say")
}

func TestPlacesOfTheSession(t *testing.T) {
	c := yard()
	t.Run("something finished opens and closes", func(t *testing.T) {
		p := planned(t, gantry(c), plan.Request{Place: "yard"})
		require.Equal(t, "hand-touch", p.Items[0].Behaviour)
		require.Equal(t, "opens", p.Items[0].Slot)
		require.Equal(t, "hand-touch", p.Items[len(p.Items)-1].Behaviour)
		require.Equal(t, "closes", p.Items[len(p.Items)-1].Slot)
	})
	t.Run("what goes well stands in while nothing is finished", func(t *testing.T) {
		p := planned(t, gantry(c, func(by views) { by["hand-touch"].State = curriculum.Open }), plan.Request{Place: "yard"})
		require.Equal(t, "settle", p.Items[0].Behaviour)
		require.Contains(t, p.Notes, "Opens and closes with settle, which goes well: nothing that is finished can be planned.")
	})
	t.Run("a puppy's first session is planned with the places open", func(t *testing.T) {
		p := planned(t, shown(c, curriculum.Dog{Name: "okapi"}), plan.Request{})
		require.NotEmpty(t, p.Items)
		require.Contains(t, p.Text(), "knows nothing well enough yet")
	})
	t.Run("a behaviour by name", func(t *testing.T) {
		require.Equal(t, "settle", planned(t, gantry(c), plan.Request{Session: "short"}).Items[0].Behaviour)
	})
	t.Run("a behaviour by name that cannot be", func(t *testing.T) {
		p := planned(t, gantry(c, func(by views) { by["settle"].Stopped = true }), plan.Request{Session: "short"})
		require.Contains(t, p.Notes, "Opens with settle: not today. Stopped for today.")
	})
}

func TestALeaderWaitsOnlyForAPartnerThatCanCatchUp(t *testing.T) {
	c := yard()
	c.Behaviour("chin-rest").Pairs = []curriculum.Pair{{Other: "settle", Within: 0}}
	waits := func(house *curriculum.Curriculum, change func(*engine.DogView, views)) bool {
		by := views{}
		v := gantry(house)
		for i := range v.Behaviours {
			by[v.Behaviours[i].Behaviour.Name] = &v.Behaviours[i]
		}
		change(v, by)
		for _, l := range plannedOf(t, house, v, plan.Request{}).LeftOut {
			if l.Code == plan.PairAhead {
				require.Equal(t, "settle", l.Behaviour)
				return true
			}
		}
		return false
	}
	require.True(t, waits(c, func(*engine.DogView, views) {}), "settle is a step ahead")
	require.False(t, waits(c, func(_ *engine.DogView, by views) { by["settle"].State = curriculum.Kept }), "what is kept goes no further")
	require.False(t, waits(c, func(_ *engine.DogView, by views) { by["chin-rest"].State = curriculum.Kept }), "a partner that is kept is at its end")
	require.False(t, waits(c, func(v *engine.DogView, _ views) {
		v.Dog.Limits.Behaviours = map[string]curriculum.BehaviourLimits{"chin-rest": {Never: true}}
	}), "a partner that is not for this dog")
	c.Behaviour("settle").Formerly = []string{"lie"}
	c.Behaviour("chin-rest").Pairs[0].Other = "lie"
	require.True(t, waits(c, func(*engine.DogView, views) {}), "under a former name")
}

func TestPairsTakeTurns(t *testing.T) {
	c := yard()
	c.Behaviour("pivot-left").NeverWith, c.Behaviour("pivot-right").NeverWith = nil, nil
	c.Behaviour("pivot-left").Pairs = []curriculum.Pair{{Other: "pivot-right", Within: 2}}
	v := gantry(c, at("pivot-right", curriculum.Working, 0, 0, 2, 5, 6))
	p := plannedOf(t, c, v, plan.Request{})
	last := ""
	turns := 0
	for _, it := range p.Items {
		if it.Behaviour == "pivot-left" && last == "pivot-right" || it.Behaviour == "pivot-right" && last == "pivot-left" {
			turns++
		}
		last = it.Behaviour
	}
	require.GreaterOrEqual(t, turns, 1, "%v", names(p))
}

func TestTheSheetSaysWhichReviewComesNext(t *testing.T) {
	c := yard()
	due := func(days int) time.Time { return morning.AddDate(0, 0, days) }
	kept := func(name string, days int) func(views) {
		return func(by views) { by[name].State, by[name].ReviewDue = curriculum.Kept, due(days) }
	}
	next := func(change ...func(views)) string {
		p := plannedOf(t, c, shown(c, curriculum.Dog{Name: "okapi"}, change...), plan.Request{Place: "room-a"})
		_, after, _ := strings.Cut(p.Text(), "\nNEXT ")
		text, _, _ := strings.Cut(after, "\n\n")
		return strings.Join(strings.Fields(text), " ")
	}
	require.Contains(t, next(kept("call-in", 9), kept("settle", 4), kept("chin-rest", 4)), "settle and chin-rest to be tested cold on 7 March 2026.")
	require.NotContains(t, next(kept("settle", -1)), "tested cold", "it is due and in the session")
	require.NotContains(t, next(), "tested cold")
}

func TestTheSheetNamesWhatThereWasNoRoomFor(t *testing.T) {
	c := yard()
	likely := func(v *engine.DogView, r plan.Request) []string {
		p := plannedOf(t, c, v, r)
		if p.Next == nil {
			return nil
		}
		for _, name := range p.Next.Likely {
			require.NotContains(t, names(p), name, "it is in already")
		}
		return p.Next.Likely
	}
	require.Equal(t, []string{"pivot-left", "pivot-right"}, likely(shown(c, curriculum.Dog{Name: "okapi"}), plan.Request{Place: "room-a"}), "one new behaviour a session is the most")
	require.Empty(t, likely(gantry(c, func(by views) {
		for _, v := range by {
			v.Stopped = true
		}
	}), plan.Request{}), "what is stopped does not wait for room")
}
