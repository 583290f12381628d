package plan

import (
	"fmt"
	"io"
	"slices"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/schedules"
)

// Days is the sessions of several days of one dog, as far ahead as can be seen. Every session keeps the limits of its
// day and week with those before it counted in. Levels are as they stand now: what a session will change nobody knows
// beforehand, so each day's sheet is planned anew on the day.
type Days struct {
	Dog      string    `json:"dog"`
	From     time.Time `json:"from"`
	Days     int       `json:"days"`
	Sessions []*Plan   `json:"sessions"`
	Cautions []string  `json:"cautions"` // beside those of the sheets: what was seen and is not cleared, and the warmest day
	LeftOut  []LeftOut `json:"left_out"` // what comes up in none of them, and why: what the last session says
	Notes    []string  `json:"notes"`
}

// The most days and sessions a day that a plan looks ahead.
const (
	MaxDays       = 60
	MaxSessionsAt = 8 // a day
)

// Between is the time from one session of a day to the next; less where they would run on beyond LastHour, but no less
// than Closest.
const (
	Between  = 3 * time.Hour
	Closest  = 45 * time.Minute
	LastHour = 22
)

// Ahead plans so many sessions of r.Dog, spread over so many days from r.At on: evenly, not stacked on the first days,
// and three hours apart where a day has several, or closer, so that the last begins by ten in the evening. Research on dogs found that the same training takes fewer sessions when
// they are spread out (Meyer and Ladewig 2008; Demant and others 2011, both in Applied Animal Behaviour Science, read as
// abstracts). sessions 0 means one a day.
//
// A session planned is taken to be held as planned and its reviews to be passed. r.Seed is the first session's, each
// later one has the next number.
func Ahead(p *engine.Program, f *engine.Fold, r Request, days, sessions int) (*Days, error) {
	if sessions == 0 {
		sessions = days
	}
	if days < 1 || days > MaxDays {
		return nil, &RequestError{Field: "days", Value: fmt.Sprintf("%d (1 to %d)", days, MaxDays)}
	}
	if sessions < 1 || sessions > MaxSessionsAt*days {
		return nil, &RequestError{Field: "sessions", Value: fmt.Sprintf("%d (at most %d a day)", sessions, MaxSessionsAt)}
	}
	times, err := spread(r.At, days, sessions)
	if err != nil {
		return nil, err
	}
	if n := len(r.DaysCelsius); n > 0 && n != days {
		return nil, &RequestError{Field: "celsius", Value: fmt.Sprintf("for %d of %s", n, plural(days, "day", "days"))}
	}
	out := &Days{Dog: r.Dog, From: r.At, Days: days, Cautions: []string{}, LeftOut: []LeftOut{}, Notes: []string{}}
	warmth := r.DaysCelsius
	r.DaysCelsius = nil
	ahead := foreseen{}
	seed := r.Seed
	for i, at := range times {
		r.At, r.Seed = at, seed+uint64(i)
		day := schedules.DaysBetween(out.From, at)
		if day > 0 {
			r.ExtrasFed, r.ExtrasKnown = 0, false // that was today
		}
		if len(warmth) > 0 {
			r.Celsius = &warmth[day]
		}
		next, err := ahead.plan(p, f, r, nil)
		if err != nil {
			return nil, err
		}
		out.Sessions = append(out.Sessions, next)
		ahead = append(ahead, next)
		if len(next.Referral) > 0 {
			break // nobody knows when it will be cleared
		}
	}
	v, err := viewOf(p, f, r)
	if err != nil {
		return nil, err
	}
	out.Cautions = append(out.Cautions, strangeCautions(v.Strange)...)
	out.Cautions = append(out.Cautions, out.warmCautions()...)
	for _, l := range out.Sessions[len(out.Sessions)-1].LeftOut {
		if !slices.Contains(out.behaviours(), l.Behaviour) {
			out.LeftOut = append(out.LeftOut, l)
		}
	}
	out.Notes = append(out.Notes, "Levels are as they stand today. Plan each day anew from what was noted by then.")
	return out, nil
}

// spread is the times of n sessions over so many days: as evenly as whole days allow.
func spread(from time.Time, days, n int) ([]time.Time, error) {
	gap, most := Between, (n+days-1)/days
	if most > 1 {
		y, m, d := from.Date()
		last := time.Date(y, m, d, LastHour, 0, 0, 0, from.Location())
		if gap = min(gap, last.Sub(from)/time.Duration(most-1)).Truncate(time.Minute); gap < Closest {
			return nil, &RequestError{Field: "sessions", Value: fmt.Sprintf("%d (%d on a day that begins at %s leave less than %.0f minutes from one to the next)", n, most, from.Format("15:04"), Closest.Minutes())}
		}
	}
	var out []time.Time
	onDay := make([]int, days)
	for i := range n {
		d := i * days / n
		out = append(out, from.AddDate(0, 0, d).Add(time.Duration(onDay[d])*gap))
		onDay[d]++
	}
	return out, nil
}

// foreseen is the sessions planned so far.
type foreseen []*Plan

// plan makes the next session with those before it counted in, for the dog as it is or with a tighter profile.
func (a foreseen) plan(p *engine.Program, f *engine.Fold, r Request, tighten func(*curriculum.Dog)) (*Plan, error) {
	v, err := a.view(p, f, r)
	if err != nil {
		return nil, err
	}
	if tighten != nil {
		tighten(&v.Dog)
	}
	b, err := newBuilder(p, v, r)
	if err != nil {
		return nil, err
	}
	b.today = a.on(r.At)
	b.history = f.HistoryPrint(r.Dog)
	return b.build(), nil
}

// view is the dog as it will be if the sessions are held as planned.
func (a foreseen) view(p *engine.Program, f *engine.Fold, r Request) (*engine.DogView, error) {
	v, err := viewOf(p, f, r)
	if err != nil {
		return nil, err
	}
	for i := range v.Behaviours {
		a.foresee(&v.Behaviours[i], r.At)
	}
	v.Sessions += len(a)
	return v, nil
}

// planned is what sessions that are planned but not held add to a day.
type planned struct {
	trials int
	extras float64 // kcal
}

// on is what is planned for a date.
func (a foreseen) on(day time.Time) (sum planned) {
	for _, s := range a {
		if schedules.DaysBetween(s.At, day) == 0 {
			sum.trials, sum.extras = sum.trials+s.Trials, sum.extras+s.Extras
		}
	}
	return sum
}

// foresee counts the planned sessions into one behaviour's view.
func (a foreseen) foresee(v *engine.BehaviourView, now time.Time) {
	for _, s := range a {
		n := s.trials(v.Behaviour.Name)
		if n == 0 {
			continue
		}
		switch ago := schedules.DaysBetween(s.At, now); {
		case ago > 6:
		case ago == 0:
			v.TrialsToday, v.SessionsToday = v.TrialsToday+n, v.SessionsToday+1
			fallthrough
		default:
			v.Trials7Days, v.Sessions7Days = v.Trials7Days+n, v.Sessions7Days+1
		}
		if s.At.After(v.LastTrained) {
			v.LastTrained = s.At
		}
		v.Away = "" // the pause ends with that session, at the level that the view shows
		switch v.State {
		case curriculum.Open:
			v.State = curriculum.Working
		case curriculum.Kept:
			foreseeReview(v, s.At)
		}
	}
}

// foreseeReview moves the due date of a review that a session will hold, as if it were passed.
func foreseeReview(v *engine.BehaviourView, at time.Time) {
	if v.ReviewDue.IsZero() || schedules.DaysBetween(v.ReviewDue, at) < 0 {
		return
	}
	for i, gap := range v.Behaviour.Review {
		if gap.String() == v.ReviewGap {
			next := v.Behaviour.Review[min(i+1, len(v.Behaviour.Review)-1)]
			y, m, d := at.Date()
			v.ReviewDue = time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Add(time.Duration(next.In(curriculum.Second)) * time.Second)
			v.ReviewGap = next.String()
			return
		}
	}
}

// trials is how many trials of a behaviour a session has.
func (p *Plan) trials(behaviour string) (n int) {
	for i := range p.Items {
		if p.Items[i].Behaviour == behaviour {
			n += p.Items[i].Trials
		}
	}
	return n
}

// WriteJSON writes the days as indented JSON, every session as a plan of its own.
func (d *Days) WriteJSON(w io.Writer) error { return writeJSON(w, d) }
