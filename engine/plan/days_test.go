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

// fresh is a fold of a dog that has done nothing.
func fresh(t testing.TB, c *curriculum.Curriculum) (*engine.Program, *engine.Fold) {
	p := program(t, c)
	return p, p.NewFold(curriculum.Dog{Name: "gantry", Born: morning.AddDate(-2, 0, 0), WeightKg: 31, Neutered: curriculum.Yes})
}

func hours(d *plan.Days) (out []string) {
	for _, s := range d.Sessions {
		out = append(out, s.At.Format("2 15:04"))
	}
	return out
}

func TestSessionsAreSpreadNotStacked(t *testing.T) {
	p, f := fresh(t, yard())
	for _, c := range []struct {
		name           string
		days, sessions int
		want           string
	}{
		{"one a day where nothing is said", 3, 0, "3 09:00, 4 09:00, 5 09:00"},
		{"three in a week", 7, 3, "3 09:00, 5 09:00, 7 09:00"},
		{"two in a week", 7, 2, "3 09:00, 6 09:00"},
		{"several a day stand three hours apart", 2, 5, "3 09:00, 3 12:00, 3 15:00, 4 09:00, 4 12:00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, err := plan.Ahead(p, f, plan.Request{Dog: "gantry", At: morning, Place: "yard"}, c.days, c.sessions)
			require.NoError(t, err)
			require.Equal(t, c.want, strings.Join(hours(d), ", "))
		})
	}
}

// Six exercises of which a session holds two, each going a little less well than the one before: what goes best comes
// most often, and nothing is left lying for a week.
func TestWorkIsSpreadOverTheBehavioursOfAWeek(t *testing.T) {
	c := &curriculum.Curriculum{Name: "six", Sessions: []*curriculum.Session{{Lasts: curriculum.Q(5, curriculum.Minute), MaxBehaviours: 2}}}
	names := []string{"bow", "circle", "hop", "nod", "reach", "wave"}
	for _, n := range names {
		c.Behaviours = append(c.Behaviours, &curriculum.Behaviour{Name: n, Steps: []*curriculum.Step{step("only", "")}})
		c.Behaviours[len(c.Behaviours)-1].Steps[0].Rules = nil
	}
	p, f := fresh(t, c)
	for i, n := range names {
		for j := range 5 {
			tr := curriculum.Trial{Dog: "gantry", Behaviour: n, At: morning.AddDate(0, 0, -1).Add(time.Duration(10*i+j) * 10 * time.Second), Outcome: curriculum.Success}
			if j < i {
				tr.Outcome = curriculum.Wrong
			}
			require.NoError(t, f.Record(&tr))
		}
	}
	d, err := plan.Ahead(p, f, plan.Request{Dog: "gantry", At: morning}, 7, 0)
	require.NoError(t, err)
	sessions := map[string]int{}
	for _, s := range d.Sessions {
		for _, it := range s.Items {
			if it.Part <= 1 {
				sessions[it.Behaviour]++
			}
		}
	}
	for i, n := range names {
		require.Positive(t, sessions[n], "%s\n%s", n, d.Text())
		if i > 0 {
			require.LessOrEqual(t, sessions[n], sessions[names[i-1]], "%s\n%s", n, d.Text())
		}
	}
}

// Where the first session is late the others come closer, none of them at night.
func TestSessionsOfADayEndByTenInTheEvening(t *testing.T) {
	p, f := fresh(t, yard())
	at := func(hour, minute int) plan.Request {
		return plan.Request{Dog: "gantry", At: time.Date(2026, 3, 3, hour, minute, 0, 0, time.UTC), Place: "yard"}
	}
	d, err := plan.Ahead(p, f, at(18, 0), 2, 6)
	require.NoError(t, err)
	require.Equal(t, "3 18:00, 3 20:00, 3 22:00, 4 18:00, 4 20:00, 4 22:00", strings.Join(hours(d), ", "))
	d, err = plan.Ahead(p, f, at(9, 0), 1, 8)
	require.NoError(t, err)
	require.Equal(t, "3 21:57", hours(d)[7])
	_, err = plan.Ahead(p, f, at(21, 0), 1, 3)
	require.ErrorContains(t, err, "3 on a day that begins at 21:00 leave less than 45 minutes")
	_, err = plan.Ahead(p, f, at(23, 30), 2, 2)
	require.NoError(t, err, "one a day may be at any hour")
}

func TestAskingForMoreThanADogCanTakeIsRefused(t *testing.T) {
	p, f := fresh(t, yard())
	for _, c := range [][2]int{{0, 0}, {-1, 0}, {61, 0}, {2, 17}, {2, -1}} {
		_, err := plan.Ahead(p, f, plan.Request{Dog: "gantry", At: morning}, c[0], c[1])
		var bad *plan.RequestError
		require.ErrorAs(t, err, &bad, "%v", c)
	}
	_, err := plan.Ahead(p, f, plan.Request{Dog: "gantri", At: morning}, 2, 0)
	require.ErrorContains(t, err, `did you mean "gantry"`)
}

func TestWhatADayOrAWeekAllowsIsSharedOutOverTheDays(t *testing.T) {
	c := yard()
	touch := c.Behaviour("hand-touch")
	touch.Caps = []curriculum.Cap{{N: 2, Of: curriculum.CapSessions, Per: curriculum.PerWeek}, {N: 6, Of: curriculum.CapTrials, Per: curriculum.PerDay}}
	p, f := fresh(t, c)
	d, err := plan.Ahead(p, f, plan.Request{Dog: "gantry", At: morning, Place: "yard"}, 7, 14)
	require.NoError(t, err)
	sessions, byDay := 0, map[string]int{}
	for _, s := range d.Sessions {
		n := 0
		for _, it := range s.Items {
			if it.Behaviour == "hand-touch" {
				n += it.Trials
			}
		}
		if n > 0 {
			sessions++
		}
		byDay[s.At.Format(time.DateOnly)] += n
	}
	require.Equal(t, 2, sessions)
	for day, n := range byDay {
		require.LessOrEqual(t, n, 6, day)
	}
}

// What was fed today leaves less for today's sessions, and nothing less for tomorrow's.
func TestExtrasAreReckonedDayByDay(t *testing.T) {
	c := yard()
	c.Foods = []curriculum.Food{{Name: "cheese", Energy: curriculum.Q(4, curriculum.Kilocalorie), Extra: true}}
	p := program(t, c)
	f := p.NewFold(curriculum.Dog{Name: "gantry", Born: morning.AddDate(-2, 0, 0), DailyKcal: 300})
	const room = 30.0 // a tenth of it, or seven pieces
	extras := func(fed float64) map[string]float64 {
		d, err := plan.Ahead(p, f, plan.Request{Dog: "gantry", At: morning, Place: "yard", ExtrasFed: fed}, 2, 6)
		require.NoError(t, err)
		days := map[string]float64{}
		for _, s := range d.Sessions {
			days[s.At.Format("2")] += s.Extras
		}
		return days
	}
	require.Equal(t, map[string]float64{"3": 28, "4": 28}, extras(0))
	require.Equal(t, map[string]float64{"3": 8, "4": 28}, extras(22))
	require.Equal(t, map[string]float64{"3": 0, "4": 28}, extras(room))
}

func TestAReviewComesOnItsDayAndTheNextOneAfterTheNextGap(t *testing.T) {
	c := yard()
	var reviewed *curriculum.Behaviour
	for _, b := range c.Behaviours {
		b.Needs, b.NeverWith, b.Review, b.Caps = nil, nil, nil, nil
	}
	reviewed = c.Behaviour("hand-touch")
	reviewed.Review = nil
	for _, days := range []int64{2, 5} {
		reviewed.Review = append(reviewed.Review, curriculum.Q(days, curriculum.Day))
	}
	c.Sessions = []*curriculum.Session{{MaxTrials: 4, MaxBehaviours: 2}}
	p, f := fresh(t, c)
	require.NoError(t, f.Note(&curriculum.Event{Dog: "gantry", Behaviour: "hand-touch", At: morning.AddDate(0, 0, -1), Kind: curriculum.HandMove, Kept: true, By: "Dov"}))
	d, err := plan.Ahead(p, f, plan.Request{Dog: "gantry", At: morning, Place: "yard"}, 8, 0)
	require.NoError(t, err)
	var on []string
	for _, s := range d.Sessions {
		for _, it := range s.Items {
			if it.Behaviour == "hand-touch" && it.Role == "review" && it.Part == 1 {
				on = append(on, s.At.Format("2"))
			}
		}
	}
	require.Equal(t, "4, 9", strings.Join(on, ", "), "kept on the 2nd; two days, then five")
}

func TestALockedDogHasNoDaysAhead(t *testing.T) {
	c := yard()
	p, f := fresh(t, c)
	require.NoError(t, f.Note(&curriculum.Event{Dog: "gantry", At: morning.Add(-time.Hour), Kind: curriculum.SignSeen, Sign: c.Signs[0].Name, By: "Dov"}))
	d, err := plan.Ahead(p, f, plan.Request{Dog: "gantry", At: morning}, 7, 0)
	require.NoError(t, err)
	require.Len(t, d.Sessions, 1)
	require.NotEmpty(t, d.Sessions[0].Referral)
	require.Contains(t, d.Text(), "no session in 7 days from Tuesday 3 March 2026\n\nNO TRAINING")
	require.NotContains(t, d.Text(), "minutes")
	require.NotContains(t, d.Markdown(), "|")
	require.Contains(t, d.Markdown(), "No training for gantry")
}

// A slip of the pen in a sign's name is no way round its lock.
func TestAMisspeltSignLocksAsTheOneThatWasMeant(t *testing.T) {
	c := yard()
	c.Signs = []curriculum.Sign{{Name: "growl", Locks: curriculum.LockEverything}}
	p, f := fresh(t, c)
	require.NoError(t, f.Note(&curriculum.Event{Dog: "gantry", At: morning.Add(-time.Hour), Kind: curriculum.SignSeen, Sign: "Grwl", By: "Dov"}))
	next, err := plan.Next(p, f, plan.Request{Dog: "gantry", At: morning})
	require.NoError(t, err)
	require.Empty(t, next.Items)
	require.Contains(t, next.Referral[0], "growl (written Grwl) on")
	require.NoError(t, f.Note(&curriculum.Event{Dog: "gantry", At: morning, Kind: curriculum.SignCleared, Sign: "growl", By: "Dr. Amadi"}))
	next, err = plan.Next(p, f, plan.Request{Dog: "gantry", At: morning})
	require.NoError(t, err)
	require.NotEmpty(t, next.Items)
}

// Over random curricula and histories no session ahead breaks a limit, extras of the whole day counted in, and no day and
// no week gets more of a behaviour than its caps allow, what was recorded counted in; the reckoning of caps here shares
// nothing with the planner's.
func TestNoDayOrWeekAheadBreaksALimit(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	capped := 0
	rapid.Check(t, func(t *rapid.T) {
		d := dice{rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 8))}
		c := d.curriculum(3 + d.IntN(4))
		p := program(t, c)
		dog := d.dog(c)
		f := d.lived(t, p, dog)
		r := d.request()
		days := 1 + d.IntN(9)
		ahead, err := plan.Ahead(p, f, r, days, 1+d.IntN(2*days))
		require.NoError(t, err)
		for at, s := range ahead.Sessions {
			v, now, err := plan.Foreseen(p, f, r, ahead.Sessions[:at], s.At)
			require.NoError(t, err)
			var b bytes.Buffer
			require.NoError(t, s.WriteJSON(&b))
			if faults := broken(c, v, now, b.Bytes()); len(faults) > 0 {
				t.Fatalf("session %d: %s\n%s", at, strings.Join(faults, "\n"), ahead.Text())
			}
		}
		again, err := plan.Ahead(p, f, r, days, len(ahead.Sessions))
		require.NoError(t, err)
		if again.Text() != ahead.Text() && len(ahead.Sessions) > 1 && len(ahead.Sessions[len(ahead.Sessions)-1].Referral) == 0 {
			t.Fatal("the same question has two answers")
		}
		for i, b := range c.Behaviours {
			for at, s := range ahead.Sessions {
				v := f.Dog(dog.Name, s.At).Behaviours[i]
				trialsToday, sessionsToday, trials, sessions := v.TrialsToday, v.SessionsToday, v.Trials7Days, v.Sessions7Days
				n := 0
				for _, e := range ahead.Sessions[:at+1] {
					n = 0
					for _, it := range e.Items {
						if it.Behaviour == b.Name {
							n += it.Trials
						}
					}
					ago := dateOf(s.At).Sub(dateOf(e.At)).Hours() / 24
					if n > 0 && ago < 7 {
						trials, sessions = trials+n, sessions+1
						if ago < 1 {
							trialsToday, sessionsToday = trialsToday+n, sessionsToday+1
						}
					}
				}
				if n == 0 {
					continue
				}
				for _, k := range b.Caps {
					have := map[curriculum.CapOf]map[curriculum.CapPer]int{
						curriculum.CapTrials:   {curriculum.PerSession: n, curriculum.PerDay: trialsToday, curriculum.PerWeek: trials},
						curriculum.CapSessions: {curriculum.PerSession: 1, curriculum.PerDay: sessionsToday, curriculum.PerWeek: sessions},
					}[k.Of][k.Per]
					capped++
					if have > k.N {
						t.Fatalf("%s in session %d: %d where %+v\n%s", b.Name, at, have, k, ahead.Text())
					}
				}
			}
		}
	})
	require.Greater(t, capped, 50)
}

func dateOf(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

func TestTheTableOfDays(t *testing.T) {
	p, f := fresh(t, yard())
	d, err := plan.Ahead(p, f, plan.Request{Dog: "gantry", At: morning, Place: "yard"}, 9, 0)
	require.NoError(t, err)
	golden(t, "days.txt", d.Text())
	golden(t, "days.md", d.Markdown())
	golden(t, "days-owner.txt", d.TextFor(engine.ForOwner))
	golden(t, "days-owner.md", d.MarkdownFor(engine.ForOwner))
	var b bytes.Buffer
	require.NoError(t, d.WriteJSON(&b))
	var back plan.Days
	require.NoError(t, json.Unmarshal(b.Bytes(), &back))
	require.Equal(t, d.Text(), back.Text())
}
