package main

import (
	"slices"
	"time"

	"example.com/rung/curriculum"
)

// What happens to each team: ordinary weeks drawn by the simulation, and between them the planted days that the demo
// and the tests lean on. All logs end on Saturday, 18 April 2026.

// week is how a team's ordinary days go.
type week struct {
	from, to string
	days     map[time.Weekday][]visit
	items    int // behaviours a session beside the known one
	trials   int // trials a behaviour, about
}

// visit is one session of a day.
type visit struct {
	clock, place, handler string
}

func (t *team) weeks(w week) {
	for d := day(w.from); !d.After(day(w.to)); d = d.AddDate(0, 0, 1) {
		vs := w.days[d.Weekday()]
		if len(vs) > 0 {
			t.learner.night(t.program.Curriculum().Behaviours)
		}
		for _, v := range vs {
			t.practise(at(d.Format(time.DateOnly), v.clock), v.place, v.handler, w.items, w.trials)
		}
	}
}

func day(s string) time.Time {
	d, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err) // a date written in this file
	}
	return d
}

func at(date, clock string) time.Time {
	d, err := time.Parse(time.DateOnly+" 15:04", date+" "+clock)
	if err != nil {
		panic(err) // a time written in this file
	}
	return d
}

// okapi is eleven weeks old on his first day. On the last, both his turns of pivots are used up: Halla kept the cue for
// the left one to herself, so that it is paired in one day.
func okapi(t *team) {
	home := []visit{{"08:10", "home", "owner"}, {"17:40", "home", "owner"}}
	class := []visit{{"08:10", "home", "owner"}, {"16:00", "room-b", "junior"}, {"18:30", "home", "owner"}}
	w := week{days: map[time.Weekday][]visit{
		time.Monday: home, time.Tuesday: class, time.Wednesday: home, time.Thursday: class, time.Friday: home,
		time.Saturday: {{"10:00", "yard", "senior"}, {"17:30", "home", "owner"}},
	}, items: 2, trials: 5}
	paired := func() bool {
		v := t.view("pivot-left")
		return v.Step < len(v.Behaviour.Steps) && v.Behaviour.Steps[v.Step].Name == "paired"
	}
	for d := day("2026-03-23"); !d.After(day("2026-04-17")); d = d.AddDate(0, 0, 1) {
		w.from, w.to = d.Format(time.DateOnly), d.Format(time.DateOnly)
		if len(t.log) > 0 && paired() {
			t.goals = slices.DeleteFunc(slices.Clone(t.goals), func(g string) bool { return g == "pivot-left" })
		}
		t.weeks(w)
	}
	// Six in the morning, six before noon: enough for a day.
	t.open(at("2026-04-18", "09:00"), "room-a", "senior")
	if !paired() {
		t.event(curriculum.Event{Behaviour: "pivot-left", Kind: curriculum.HandMove, Step: "paired", By: "Halla Oke",
			Note: "follows the hand to a quarter turn, loose and level"})
	}
	t.marks("hand-touch", "+", "+")
	t.marks("pivot-left", split("++++++")...)
	t.open(at("2026-04-18", "11:30"), "room-a", "senior")
	t.marks("hand-touch", "+", "+")
	left := 6
	for ; paired() && left > 3; left-- {
		t.marks("pivot-left", "+")
	}
	for ; left > 3; left-- {
		t.marks("pivot-left", "e")
	}
	t.marks("pivot-left", "+", "+", "+")
}

// sorrel knows the mat from her breeder and flies up to twenty-seven seconds, where she is sent back twice. She lies
// still for Dov and not yet for her owner; then the family goes away for twenty-four days.
func sorrel(t *team) {
	t.open(at("2026-02-16", "09:00"), "room-a", "senior")
	for range 5 { // nobody has taught it here: these name the step that she may skip to
		t.trial("mat-settle", curriculum.Success, curriculum.NoHelp, func(tr *curriculum.Trial) {
			tr.Step, tr.Level, tr.Measures = "stay", nil, nil
		})
	}
	t.marks("mat-settle", "+", "+", "+")
	usual := map[time.Weekday][]visit{
		time.Monday:   {{"17:15", "home", "owner"}},
		time.Tuesday:  {{"15:30", "room-b", "junior"}},
		time.Thursday: {{"17:15", "home", "owner"}, {"18:30", "lane", "owner"}},
		time.Friday:   {{"15:30", "yard", "junior"}},
		time.Saturday: {{"10:45", "room-a", "senior"}},
	}
	t.weeks(week{"2026-02-16", "2026-03-01", usual, 3, 6})
	for i, m := range []string{"+++ +++ +++", "+++ +++ --", "+++ --", "+++ +-++++"} {
		date := []string{"2026-03-02", "2026-03-03", "2026-03-04", "2026-03-05"}[i]
		t.open(at(date, "09:00"), "room-a", "senior")
		t.marks("mat-settle", split(m)...)
		t.weeks(week{date, date, usual, 3, 6})
	}
	t.weeks(week{"2026-03-06", "2026-03-14", usual, 3, 6})
	t.now = t.now.Add(10 * time.Minute)
	t.event(curriculum.Event{Behaviour: "mat-settle", Kind: curriculum.HandMove, Step: "owner-asks", By: "Halla Oke",
		Note: "lay through a whole class today, in the thick of it"})
	for i, m := range []string{"+-++-+-+-+", "+++-+++++ +", "++-+-++-++", "+++++-++++"} {
		handler := []string{"owner", "junior"}[i%2]
		t.open(at([]string{"2026-03-16", "2026-03-17", "2026-03-18", "2026-03-19"}[i], "17:00"), "room-a", handler)
		t.marks("mat-settle", split(m)...)
	}
	t.weeks(week{"2026-03-20", "2026-03-21", usual, 3, 6})
	t.weeks(week{"2026-04-14", "2026-04-18", usual, 3, 5}) // back after twenty-four days
}

// thimble learns care work. An early limp is looked at by a vet and cleared; a growl on the last day is not.
func thimble(t *team) {
	usual := map[time.Weekday][]visit{
		time.Monday:    {{"16:00", "home", "owner"}, {"19:00", "home", "owner"}},
		time.Tuesday:   {{"11:00", "room-b", "junior"}},
		time.Wednesday: {{"16:00", "home", "owner"}, {"19:00", "home", "owner"}},
		time.Friday:    {{"11:00", "room-a", "senior"}},
		time.Saturday:  {{"16:00", "home", "owner"}},
	}
	t.weeks(week{"2026-02-16", "2026-03-10", usual, 2, 6})
	t.open(at("2026-03-11", "16:00"), "home", "owner")
	t.marks("mat-settle", "+", "+")
	t.event(curriculum.Event{Behaviour: "mat-settle", Session: t.session, Kind: curriculum.SignSeen, Sign: "limp", By: "her owner",
		Note: "holds up the left fore paw after the garden"})
	t.now = at("2026-03-14", "09:20")
	t.event(curriculum.Event{Kind: curriculum.SignCleared, Sign: "limp", By: "Dr Ines Quill, vet",
		Note: "a grass seed between the toes, out and healed"})
	t.weeks(week{"2026-03-16", "2026-04-04", usual, 2, 6})

	// The file comes in: once a day, five quiet contacts, two days for every level.
	quiet := []string{"+", "+", "+", "+", "+"}
	for _, d := range []string{"2026-04-06", "2026-04-07", "2026-04-08", "2026-04-09", "2026-04-10", "2026-04-11"} {
		t.learner.night(t.program.Curriculum().Behaviours)
		t.open(at(d, "16:00"), "home", "senior")
		t.marks("hand-touch", "+", "+")
		t.marks("nail-file", quiet...)
	}
	// A hand on the paw: she leaves twice. It gets easier after the first time and ends after the second.
	t.open(at("2026-04-13", "16:00"), "home", "senior")
	t.marks("hand-touch", "+", "+")
	t.marks("nail-file", "+", "+", "o!", "+", "o!")
	for _, d := range []string{"2026-04-14", "2026-04-15", "2026-04-16", "2026-04-17"} {
		t.learner.night(t.program.Curriculum().Behaviours)
		t.practise(at(d, "11:00"), "room-a", "junior", 2, 5)
		t.open(at(d, "16:00"), "home", "senior")
		t.marks("nail-file", quiet...)
	}
	t.open(at("2026-04-18", "16:00"), "home", "junior")
	t.marks("chin-rest", "+", "+")
	t.marks("nail-file", "+", "+")
	t.event(curriculum.Event{Behaviour: "nail-file", Session: t.session, Kind: curriculum.SignSeen, Sign: "growl", By: "Dov Marsh",
		Note: "hand on the paw; stopped at once, door open"})
}

// gantry comes with a history and learns the tasks of an assistance dog. Fetching breaks twice at the same piece.
func gantry(t *team) {
	t.now = at("2026-03-16", "09:00")
	t.learner.skill["name-check"], t.learner.skill["hand-touch"] = 0.97, 0.97
	for _, b := range []string{"name-check", "hand-touch"} {
		t.event(curriculum.Event{Behaviour: b, Kind: curriculum.HandMove, Kept: true, By: "Halla Oke",
			Note: "raised at the yard; first ask, three days running"})
	}
	usual := map[time.Weekday][]visit{
		time.Monday:    {{"09:30", "room-a", "senior"}, {"15:00", "room-b", "junior"}},
		time.Tuesday:   {{"09:30", "home", "owner"}, {"15:00", "room-a", "senior"}},
		time.Wednesday: {{"09:30", "room-a", "senior"}, {"15:00", "home", "owner"}},
		time.Thursday:  {{"09:30", "home", "owner"}, {"15:00", "room-b", "senior"}},
		time.Friday:    {{"09:30", "room-a", "junior"}, {"15:00", "lane", "owner"}},
	}
	w := week{days: usual, items: 4, trials: 6}
	broke := false
	for d := day("2026-03-16"); !d.After(day("2026-04-18")); d = d.AddDate(0, 0, 1) {
		w.from, w.to = d.Format(time.DateOnly), d.Format(time.DateOnly)
		t.weeks(w)
		if v := t.view("bring-dropped"); !broke && v.State == curriculum.Working && v.Step < len(v.Behaviour.Steps) &&
			v.Behaviour.Steps[v.Step].Name == "from-take" {
			broke = true
			t.open(d.Add(18*time.Hour), "room-a", "senior")
			t.marks("hold", "+", "+")
			for range 2 {
				t.trial("bring-dropped", curriculum.Wrong, curriculum.NoHelp, func(tr *curriculum.Trial) { tr.Failed = "hold" })
			}
		}
	}
}

// pewter cannot hear and has a vet's limits.
func pewter(t *team) {
	usual := map[time.Weekday][]visit{
		time.Monday:    {{"10:30", "home", "owner"}},
		time.Wednesday: {{"10:30", "home", "owner"}, {"16:30", "room-a", "senior"}},
		time.Friday:    {{"10:30", "home", "owner"}},
		time.Saturday:  {{"11:30", "room-a", "junior"}},
	}
	t.weeks(week{"2026-02-16", "2026-04-18", usual, 2, 5})
}

// bisk snores. A gate bangs through one session, and a warm noon ends another.
func bisk(t *team) {
	usual := map[time.Weekday][]visit{
		time.Monday:   {{"07:30", "home", "owner"}},
		time.Tuesday:  {{"18:00", "room-b", "junior"}},
		time.Thursday: {{"07:30", "home", "owner"}},
		time.Friday:   {{"18:00", "room-a", "senior"}},
		time.Saturday: {{"09:00", "home", "second-owner"}},
	}
	t.weeks(week{"2026-03-02", "2026-04-07", usual, 3, 5})
	t.open(at("2026-04-08", "18:00"), "yard", "junior")
	t.marks("mat-settle", "+", "x", "x", "x")
	t.event(curriculum.Event{Kind: curriculum.NoteTaken, By: "Dov Marsh", Note: "the gate bangs in the wind"})
	t.weeks(week{"2026-04-09", "2026-04-16", usual, 3, 5})
	t.open(at("2026-04-17", "13:00"), "yard", "junior")
	t.marks("hand-touch", "+", "+", "0")
	t.event(curriculum.Event{Kind: curriculum.NoteTaken, By: "Dov Marsh", Note: "24 degrees in the shade"})
	t.event(curriculum.Event{Kind: curriculum.SignSeen, Sign: "heavy-panting", By: "Dov Marsh", Note: "into the shade, water, home"})
	t.weeks(week{"2026-04-18", "2026-04-18", usual, 2, 4})
}

func split(marks string) []string {
	var out []string
	for _, m := range marks {
		if m != ' ' {
			out = append(out, string(m))
		}
	}
	return out
}
