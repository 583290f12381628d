package plan_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
	"example.com/rung/schedules"
)

// sheet is a plan as another program would read it.
type sheet struct {
	Minutes, Kcal float64
	Trials        int
	Pieces        int
	Extras        float64 `json:"extras_kcal"`
	Notes         []string
	Referral      []string
	Items         []struct {
		Behaviour, Step, Food, Schedule, Role string
		Level                                 map[string]string
		Trials, Pieces                        int
		Rewarded                              []bool
		PayAfter                              []float64   `json:"pay_after_seconds"`
		PayAt                                 [][]float64 `json:"pay_at_seconds"`
		Equipment                             []string
		Cues                                  []struct{ Kind string }
		Seconds, Kcal                         float64
		RestBefore                            float64 `json:"rest_before_seconds"`
		Reason                                string
	}
	LeftOut []struct{ Behaviour, Reason, Code string } `json:"left_out"`
}

// broken adds a plan up anew from its JSON and lists every limit it breaks.
func broken(c *curriculum.Curriculum, v *engine.DogView, r plan.Request, data []byte) (faults []string) {
	var p sheet
	if err := json.Unmarshal(data, &p); err != nil {
		return []string{err.Error()}
	}
	say := func(format string, a ...any) { faults = append(faults, fmt.Sprintf(format, a...)) }
	s := c.Sessions[0]
	views := map[string]*engine.BehaviourView{}
	for i := range v.Behaviours {
		views[v.Behaviours[i].Behaviour.Name] = &v.Behaviours[i]
	}
	foods := map[string]curriculum.Food{}
	for _, f := range c.Foods {
		foods[f.Name] = f
	}
	trials := map[string]int{}
	fresh := map[string]bool{}
	seconds, kcal, extras := 0.0, 0.0, 0.0
	pieces, all, running, stretch := 0, 0, 0, 0.0
	last := ""
	for i, it := range p.Items {
		b := views[it.Behaviour]
		trials[it.Behaviour] += it.Trials
		all += it.Trials
		pieces += it.Pieces
		kcal += it.Kcal
		seconds += it.Seconds
		if i > 0 {
			seconds += plan.Changeover / 10.0
			stretch += plan.Changeover / 10.0
		}
		if it.RestBefore > 0 {
			seconds += it.RestBefore
			stretch = 0
			if math.Abs(it.RestBefore-s.Rest.For.Float()) > 0.11 {
				say("a rest of %v s", it.RestBefore)
			}
		}
		stretch += it.Seconds
		if !s.Rest.IsZero() && stretch > s.Rest.Every.Float()+1e-6 && it.Trials > 1 {
			say("%v s without a rest before item %d", stretch, i+1)
		}
		if last != "" && slices.Contains(views[last].Behaviour.Kinds, curriculum.Lively) && slices.Contains(b.Behaviour.Kinds, curriculum.Care) {
			say("%s, care, straight after %s, lively", it.Behaviour, last)
		}
		if it.Behaviour == last {
			running += it.Trials
		} else {
			running = it.Trials
		}
		last = it.Behaviour
		if s.MaxInARow > 0 && running > s.MaxInARow {
			say("%d of %s in a row, %d allowed", running, it.Behaviour, s.MaxInARow)
		}
		if b.State == curriculum.Open {
			fresh[it.Behaviour] = true
		}
		f, declared := foods[it.Food]
		if declared != (len(c.Foods) > 0) {
			say("food %q of %s is not declared", it.Food, it.Behaviour)
		}
		if f.Extra {
			extras += it.Kcal
		}
		for _, bad := range v.Dog.Avoid {
			if bad == it.Food || slices.Contains(f.Contains, bad) {
				say("%s is fed, though the dog must not have %s", it.Food, bad)
			}
		}
		if math.Abs(it.Kcal-float64(it.Pieces)*f.Energy.Float()) > float64(it.Pieces)*0.001+1e-9 {
			say("%d pieces of %s are not %v kcal", it.Pieces, it.Food, it.Kcal)
		}
		faults = append(faults, brokenItem(s, b, v, r, i, &p)...)
		if want := slowly(b, it.Step, it.Level, it.Rewarded, it.PayAt, f); it.Seconds < want-1e-6 {
			say("%v s for %d trials of %s, at least %v are needed", it.Seconds, it.Trials, it.Behaviour, want)
		}
	}
	over := func(what string, used, most float64) {
		if most > 0 && used > most+1e-6 {
			say("%v %s, %v allowed", used, what, most)
		}
	}
	over("s", seconds, s.Lasts.Float())
	over("s asked", seconds, r.Minutes*60)
	over("s of the profile", seconds, v.Dog.Limits.Minutes*60)
	over("minutes said for the seconds", seconds/60, p.Minutes)
	over("trials", float64(all), float64(s.MaxTrials))
	over("trials of the profile", float64(all), float64(v.Dog.Limits.Trials))
	over("behaviours", float64(len(trials)), float64(s.MaxBehaviours))
	over("new behaviours", float64(len(fresh)), float64(s.MaxNew))
	over("pieces", float64(pieces), float64(r.Pieces))
	over("kcal", kcal, r.Kcal)
	if all != p.Trials || pieces != p.Pieces || math.Abs(kcal-p.Kcal) > 1e-6 || math.Abs(extras-p.Extras) > 1e-6 {
		say("the sums do not add up: %d trials, %d pieces, %v kcal, %v of extras", all, pieces, kcal, extras)
	}
	for name, n := range trials {
		over("trials of "+name, float64(n), float64(s.MaxPerBehaviour))
		over("trials of "+name+" of the profile", float64(n), float64(v.Dog.Limits.Behaviours[name].Trials))
		faults = append(faults, brokenCaps(views[name], n)...)
		for other := range trials {
			faults = append(faults, brokenTies(views[name], views[other])...)
		}
		for i := range v.Behaviours {
			if !v.Dog.Limits.Behaviours[v.Behaviours[i].Behaviour.Name].Never {
				faults = append(faults, brokenPair(views[name], &v.Behaviours[i])...)
			}
		}
	}
	faults = append(faults, brokenImpact(s, v, trials)...)
	faults = append(faults, brokenExtras(s, v, r, extras)...)
	faults = append(faults, brokenSuccess(s, views, trials, &p)...)
	for name := range trials {
		for _, k := range views[name].Behaviour.Pairs {
			faults = append(faults, brokenTurns(views[name], views[k.Other], trials[name], trials[k.Other], &p)...)
		}
	}
	faults = append(faults, brokenSlots(s, v, &p, trials)...)
	return faults
}

func brokenCaps(b *engine.BehaviourView, n int) (faults []string) {
	for _, k := range append(slices.Clone(b.Behaviour.Caps), b.Behaviour.Steps[b.Step].Caps...) {
		used := 0
		switch {
		case k.Of == curriculum.CapTrials && k.Per == curriculum.PerDay:
			used = b.TrialsToday + n
		case k.Of == curriculum.CapTrials && k.Per == curriculum.PerWeek:
			used = b.Trials7Days + n
		case k.Of == curriculum.CapTrials:
			used = n
		case k.Per == curriculum.PerDay:
			used = b.SessionsToday + 1
		case k.Per == curriculum.PerWeek:
			used = b.Sessions7Days + 1
		}
		if used > k.N {
			faults = append(faults, fmt.Sprintf("cap of %s: %d, %d allowed", b.Behaviour.Name, used, k.N))
		}
	}
	return faults
}

// brokenImpact adds up what loads the body, of all behaviours together.
func brokenImpact(s *curriculum.Session, v *engine.DogView, trials map[string]int) (faults []string) {
	session, day, week := 0, 0, 0
	for _, b := range v.Behaviours {
		if slices.Contains(b.Behaviour.Kinds, curriculum.Impact) {
			n := trials[b.Behaviour.Name]
			session, day, week = session+n, day+n+b.TrialsToday, week+n+b.Trials7Days
		}
	}
	if n := v.Dog.Limits.ImpactADay; n > 0 && session > 0 && day > n {
		faults = append(faults, fmt.Sprintf("%d impact trials a day, the profile allows %d", day, n))
	}
	for _, k := range s.Impact {
		if n := []int{session, day, week}[k.Per]; session > 0 && n > k.N {
			faults = append(faults, fmt.Sprintf("%d impact trials, %d allowed, per %d", n, k.N, k.Per))
		}
	}
	return faults
}

func brokenExtras(s *curriculum.Session, v *engine.DogView, r plan.Request, extras float64) []string {
	if extras == 0 {
		return nil
	}
	f := schedules.Facts{VetKcal: v.Dog.DailyKcal, Kg: v.Dog.WeightKg, AdultKg: v.Dog.AdultWeightKg}
	f.Months, _, _, _ = v.Dog.AgeAt(r.At)
	day, _, err := schedules.Daily(f)
	if err != nil {
		return []string{"extras for a dog of unknown weight"}
	}
	share := 0.1
	if !s.Extras.IsZero() {
		share, _ = s.Extras.Rat().Float64()
	}
	if extras+r.ExtrasFed > day*share+1e-6 {
		return []string{fmt.Sprintf("%v kcal of extras beside %v, %v allowed", extras, r.ExtrasFed, day*share)}
	}
	return nil
}

// brokenSuccess adds up the chances by the documented estimate.
func brokenSuccess(s *curriculum.Session, views map[string]*engine.BehaviourView, trials map[string]int, p *sheet) []string {
	if s.Success.IsZero() || len(trials) == 0 {
		return nil
	}
	aim, _ := s.Success.Rat().Float64()
	expected, all := 0.0, 0
	for name, n := range trials {
		b, guess := views[name], aim
		if b.State == curriculum.Kept {
			guess = max(aim, 0.9)
		}
		good, of := float64(b.Recent.Successes), float64(b.Recent.Evidence)
		for _, it := range p.Items {
			if it.Behaviour == name && !maps.Equal(it.Level, b.At.Texts()) {
				good, of = 0, 0 // held at an easier level, of which nothing is known
			}
		}
		expected += float64(n) * (good + 4*guess) / (of + 4)
		all += n
	}
	if expected/float64(all) < aim-1e-9 {
		return []string{fmt.Sprintf("%.3f of the trials are expected to succeed, %v wanted", expected/float64(all), s.Success)}
	}
	return nil
}

// Five thousand random days: one hundred draws of fifty days each (100,000 with -rapid.checks=2000) (fewer under the race detector).
func TestNoPlanBreaksALimit(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	days, items, empty := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		d := dice{rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))}
		most := rapid.IntRange(3, 10).Draw(t, "behaviours")
		var c *curriculum.Curriculum
		var house *engine.Program
		for day := range daysADraw {
			days++
			if day%5 == 0 {
				c = d.curriculum(2 + d.IntN(most))
				house = program(t, c)
			}
			v, r := d.view(c, d.dog(c)), d.request()
			p, err := plan.ForView(house, v, r)
			require.NoError(t, err)
			var b bytes.Buffer
			require.NoError(t, p.WriteJSON(&b))
			if faults := broken(c, v, r, b.Bytes()); len(faults) > 0 {
				t.Fatalf("%s\n%s", strings.Join(faults, "\n"), b.String())
			}
			named := map[string]bool{}
			for _, it := range p.Items {
				named[it.Behaviour] = true
			}
			require.Len(t, p.LeftOut, len(c.Behaviours)-len(named), "every behaviour is in or left out")
			for _, l := range p.LeftOut {
				require.NotEmpty(t, l.Reason)
				require.NotEmpty(t, l.Code)
				require.False(t, named[l.Behaviour])
			}
			items += len(p.Items)
			if len(p.Items) == 0 {
				empty++
			}
		}
	})
	require.Greater(t, items, days, "the days must hold something to break")
	require.Less(t, empty, days/2)
	t.Logf("%d days, %d items, %d days without any", days, items, empty)
}

func TestTheSameRequestGivesTheSameBytes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		var first string
		for range 3 {
			d := dice{rand.New(rand.NewPCG(seed, 2))}
			c := d.curriculum(6)
			p, err := plan.ForView(program(t, c), d.view(c, d.dog(c)), d.request())
			require.NoError(t, err)
			var b bytes.Buffer
			require.NoError(t, p.WriteJSON(&b))
			all := b.String() + p.Text() + p.Markdown()
			if first == "" {
				first = all
			}
			require.Equal(t, first, all)
		}
	})
}
