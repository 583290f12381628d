package plan_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/plan"
)

// eased is the request and the session rules after a change that a plan offers.
func eased(t *testing.T, r plan.Request, s curriculum.Session, k plan.Change, to float64) (plan.Request, curriculum.Session) {
	switch k.Limit {
	case "minutes":
		r.Minutes, s.Lasts = to, curriculum.Q(int64(to*60), curriculum.Second)
	case "pieces":
		r.Pieces = int(to)
	case "kcal":
		r.Kcal = to
	case "trials":
		s.MaxTrials = int(to)
	case "behaviours":
		s.MaxBehaviours = int(to)
	case "new behaviours":
		s.MaxNew = int(to)
	case "in a row":
		s.MaxInARow = int(to)
	case "expected success":
		s.Success = curriculum.Percent(int64(to))
	case "opens with":
		s.OpensWith = curriculum.Slot{}
	case "closes with":
		s.ClosesWith = curriculum.Slot{}
	case "place":
		r.Place = strings.TrimPrefix(k.Rule, "in ")
	case "equipment":
		r.Equipment = append(append([]string{}, r.Equipment...), strings.TrimSuffix(strings.TrimPrefix(k.Rule, "with "), " at hand"))
	default:
		t.Fatalf("unknown limit %q", k.Limit)
	}
	return r, s
}

// On random days that cannot be whole, by trying everything: what the plan offers is enough, nothing less is, and what it
// does not offer by itself is not enough however far it is eased. Once as days come, once with rests on every day.
func TestWhatIsOfferedIsTheLeastThatIsEnough(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	t.Run("as days come", func(t *testing.T) {
		rested := offersAreLeast(t, 9, 700, func(dice, *curriculum.Session) {})
		require.Positive(t, rested)
	})
	t.Run("with rests on every day", func(t *testing.T) {
		rested := offersAreLeast(t, 10, 1200, func(d dice, s *curriculum.Session) {
			s.Rest = curriculum.Rest{For: curriculum.Q(int64(5+d.IntN(60)), curriculum.Second), Every: curriculum.Q(int64(20+d.IntN(120)), curriculum.Second)}
		})
		require.Greater(t, rested, 180)
	})
}

// offersAreLeast goes through so many days that clash, each with a change to its session rules, and counts the offers of
// one limit on days with rests.
func offersAreLeast(t *testing.T, stream uint64, days int, change func(dice, *curriculum.Session)) (rested int) {
	clashing, whole, offers, pairs, less := 0, 0, 0, 0, 0
	sizes := map[string]float64{"minutes": 0.5, "expected success": -1}
	most := map[string]float64{"minutes": 60, "pieces": 200, "kcal": 500, "trials": 60, "behaviours": 60, "new behaviours": 60, "in a row": 60, "expected success": 0}
	for seed := uint64(0); clashing < days && seed < 30_000; seed++ {
		d := dice{rand.New(rand.NewPCG(seed, stream))}
		c := d.curriculum(2 + d.IntN(3))
		s := *c.Sessions[0]
		if s.MaxTrials > 0 {
			s.MaxTrials += 2
		}
		change(d, &s)
		c.Sessions[0] = &s
		v, r := d.view(c, d.dog(c)), d.request()
		p := program(t, c)
		base := r
		next, err := plan.ForView(p, v, r)
		require.NoError(t, err)
		is, ok := plan.Wholeness(p, v, base, r, &s)
		if !ok || len(next.Referral) > 0 || v.SessionEnded {
			continue
		}
		if is {
			require.Nil(t, next.Clash, "seed %d", seed)
			whole++
			continue
		}
		if next.Clash == nil {
			require.Len(t, next.Items, 1, "seed %d: one behaviour alone has both places", seed)
			continue
		}
		clashing++
		enough := func(r plan.Request, s curriculum.Session) bool {
			is, ok := plan.Wholeness(p, v, base, r, &s)
			return is || !ok
		}
		require.True(t, next.Clash.Proved, "seed %d", seed)
		alone := map[string]bool{}
		for _, e := range next.Clash.Ease {
			r2, s2 := r, s
			for _, k := range e.Changes {
				r2, s2 = eased(t, r2, s2, k, k.To)
			}
			require.True(t, enough(r2, s2), "seed %d: %s is not enough", seed, e.Text)
			offers++
			if len(e.Changes) > 1 {
				pairs++
				continue
			}
			k := e.Changes[0]
			alone[k.Limit+k.Rule] = true
			if k.Rule != "" {
				continue
			}
			if !s.Rest.IsZero() {
				rested++
			}
			size := sizes[k.Limit]
			if size == 0 {
				size = 1
			}
			for to := k.To - size; to > k.From && size > 0 || to < k.From && size < 0; to -= size {
				r2, s2 = eased(t, r, s, k, to)
				is, ok := plan.Wholeness(p, v, base, r2, &s2)
				require.False(t, is && ok, "seed %d: %s, and %v would do", seed, e.Text, to)
				less++
			}
		}
		for _, limit := range []string{"minutes", "pieces", "kcal", "trials", "behaviours", "new behaviours", "in a row", "expected success", "opens with", "closes with"} {
			set := map[string]bool{"pieces": r.Pieces > 0, "kcal": r.Kcal > 0, "trials": s.MaxTrials > 0, "behaviours": s.MaxBehaviours > 0, "new behaviours": s.MaxNew > 0,
				"in a row": s.MaxInARow > 0, "expected success": !s.Success.IsZero(), "minutes": true, "opens with": !s.OpensWith.IsZero(), "closes with": !s.ClosesWith.IsZero()}
			if !set[limit] || alone[limit] || alone[limit+"without `"+limit+"`"] {
				continue
			}
			amounts := []float64{most[limit]}
			switch limit { // of these more may be enough where still more is not
			case "trials":
				for n := s.MaxTrials + 1; n < 60; n++ {
					amounts = append(amounts, float64(n))
				}
			case "in a row":
				for n := s.MaxInARow + 1; n <= 12; n++ {
					amounts = append(amounts, float64(n))
				}
			case "expected success":
				for n := range 40 {
					amounts = append(amounts, float64(n))
				}
			}
			for _, to := range amounts {
				r2, s2 := eased(t, r, s, plan.Change{Limit: limit}, to)
				is, ok := plan.Wholeness(p, v, base, r2, &s2)
				require.False(t, is && ok, "seed %d: %s at %v alone would be enough and is not offered: %+v", seed, limit, to, next.Clash)
			}
		}
	}
	t.Logf("%d days that clash, %d whole, %d offers, %d of several limits, %d of one limit on days with rests, %d smaller amounts tried", clashing, whole, offers, pairs, rested, less)
	require.Equal(t, days, clashing)
	require.Greater(t, offers, 300)
	return rested
}

// Whatever the day, rests and all: a plan made under what is offered has nothing left to offer.
func TestWhatIsOfferedGivesAWholeSession(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	offers, rested, limits := 0, 0, map[string]int{}
	for seed := uint64(0); offers < 600 && seed < 20_000; seed++ {
		d := dice{rand.New(rand.NewPCG(seed, 11))}
		c := d.curriculum(2 + d.IntN(7))
		v, r := d.view(c, d.dog(c)), d.request()
		next, err := plan.ForView(program(t, c), v, r)
		require.NoError(t, err)
		if next.Clash == nil {
			continue
		}
		for _, e := range next.Clash.Ease {
			r2, s2 := r, *c.Sessions[0]
			for _, k := range e.Changes {
				r2, s2 = eased(t, r2, s2, k, k.To)
				limits[k.Limit]++
			}
			c2 := *c
			c2.Sessions = []*curriculum.Session{&s2}
			whole, err := plan.ForView(program(t, &c2), v, r2)
			require.NoError(t, err)
			require.NotEmpty(t, whole.Items, "seed %d: %s", seed, e.Text)
			require.Nil(t, whole.Clash, "seed %d: %s: %s", seed, next.Clash.Short, e.Text)
			offers++
			if !s2.Rest.IsZero() {
				rested++
				require.NotContains(t, strings.Join(next.Notes, "\n"), "Less may do")
			}
		}
	}
	t.Logf("%d offers, %d of them with rests: %v", offers, rested, limits)
	require.GreaterOrEqual(t, offers, 600)
	require.Greater(t, rested, 60)
	for _, limit := range []string{"minutes", "trials", "pieces", "kcal", "behaviours", "in a row", "expected success", "opens with", "closes with", "place", "equipment"} {
		require.Positive(t, limits[limit], limit)
	}
}

func TestWhatClashesIsSaid(t *testing.T) {
	only := func(name string) func(views) {
		return func(by views) {
			for n, b := range by {
				b.Stopped = n != name
			}
		}
	}
	for _, k := range []struct {
		name   string
		change func(views)
		house  func(*curriculum.Curriculum)
		r      plan.Request
		note   string
	}{
		{"too little time", nil, nil, plan.Request{Minutes: 0.2, Place: "yard"}, "no behaviour fits with its usual trials. Enough would be: 1.5 minutes instead of 12 seconds."},
		{"time for the opening and the closing only", func(by views) {
			at("chin-rest", curriculum.Kept, 0, 0, 8, 10, 1)(by)
			at("hand-touch", curriculum.Kept, 0, 0, 8, 10, 0)(by)
		}, nil, plan.Request{Minutes: 1, Place: "yard"}, "beside the opening and the closing there is no room for work. Enough would be: 1.5 minutes instead of 1; or"},
		{"two places for what is new", nil, func(c *curriculum.Curriculum) {
			c.Sessions[0].OpensWith, c.Sessions[0].ClosesWith = curriculum.Slot{Behaviour: "chin-rest"}, curriculum.Slot{Behaviour: "pivot-right"}
			c.Behaviour("pivot-right").NeverWith, c.Behaviour("pivot-left").NeverWith = nil, nil
		}, plan.Request{Place: "yard"}, "the opening stays empty. Enough would be: 2 new behaviours instead of 1; or without `opens with`"},
		{"too few pieces", nil, func(c *curriculum.Curriculum) { c.Sessions[0].OpensWith = curriculum.Slot{Behaviour: "settle"} }, plan.Request{Pieces: 4, Place: "yard"},
			"the opening stays empty. Enough would be: 5 pieces more; or without `opens with`."},
		{"too few pieces for anything", nil, nil, plan.Request{Pieces: 1, Place: "yard"}, "Enough would be: 6 pieces more."},
		{"the wrong place", only("call-in"), nil, plan.Request{Place: "room-a"}, "no behaviour fits. Enough would be: in yard; or in lane."},
		{"no mat at hand", only("settle"), nil, plan.Request{Place: "yard", Equipment: []string{"towel"}}, "no behaviour fits. Enough would be: with mat at hand."},
		{"work that fails too often", only("call-in"), func(c *curriculum.Curriculum) { c.Sessions[0].Success = curriculum.Percent(70) }, plan.Request{Place: "yard"}, "no behaviour fits. Enough would be: success at 20% instead of 70%."},
		{"nothing helps against a stop", only("nothing"), nil, plan.Request{Place: "yard"}, ""},
	} {
		t.Run(k.name, func(t *testing.T) {
			c := yard()
			if k.house != nil {
				k.house(c)
			}
			v := gantry(c)
			if k.change != nil {
				v = gantry(c, k.change)
			}
			p := plannedOf(t, c, v, k.r)
			require.NotNil(t, p.Clash)
			if k.note == "" {
				require.Empty(t, p.Clash.Ease)
				require.NotContains(t, p.Text(), "The limits clash")
				return
			}
			require.Contains(t, strings.Join(p.Notes, "\n"), "The limits clash: ")
			require.Contains(t, strings.Join(p.Notes, "\n"), k.note)
		})
	}
}

func TestAProfileIsNeverEased(t *testing.T) {
	c := yard()
	v := gantry(c)
	v.Dog.Limits.Minutes = 0.2
	p := plannedOf(t, c, v, plan.Request{Place: "yard", Minutes: 0.1})
	require.NotNil(t, p.Clash)
	for _, e := range p.Clash.Ease {
		require.NotContains(t, e.Text, "minute")
	}
}
