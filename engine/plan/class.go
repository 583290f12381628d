package plan

import (
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// Class is a class day: which dogs come, which stations there are, and who must not work at the same time.
type Class struct {
	At       time.Time  `json:"at"`      // when it begins; zero means Request.At
	Turns    int        `json:"turns"`   // how many times the stations are manned
	Minutes  float64    `json:"minutes"` // a turn lasts
	Change   float64    `json:"change"`  // minutes between two turns
	Stations []Station  `json:"stations"`
	Dogs     []ClassDog `json:"dogs"`
	// Apart is dogs that never work in the same turn.
	Apart [][]string `json:"apart"`
	// Equipment is how many there are of what goes from station to station, by name. What is not named here and at no
	// station is not there.
	Equipment map[string]int `json:"equipment"`
}

// Station is where dogs work, one at a time unless Dogs says how many.
type Station struct {
	Name      string   `json:"station"`
	Place     string   `json:"place"`
	Dogs      int      `json:"dogs"`              // at a time; 0 means 1
	Equipment []string `json:"equipment"`         // that stays there
	Celsius   *float64 `json:"celsius,omitempty"` // how warm it is there; nil where nobody says
}

// ClassDog is one dog of a class.
type ClassDog struct {
	Dog     string `json:"dog"`
	Handler string `json:"handler"`
	Turns   int    `json:"turns"` // it works; 0 means 2
}

// UnmarshalJSON also takes a dog's name alone.
func (d *ClassDog) UnmarshalJSON(b []byte) error {
	if json.Unmarshal(b, &d.Dog) == nil {
		return nil
	}
	type plain ClassDog
	return json.Unmarshal(b, (*plain)(d))
}

// The most a class day holds; a school with more makes two.
const (
	maxTurns    = 24
	maxClass    = 24
	maxStations = 12
	usualTurns  = 2
)

// ClassDay is what every dog does when and where.
type ClassDay struct {
	At       time.Time  `json:"at"`
	Stations []Station  `json:"stations"`
	Apart    [][]string `json:"apart"` // dogs that never work in the same turn
	// Equipment is how many there are of what goes from station to station.
	Equipment map[string]int `json:"equipment"`
	SetUp     SetUp          `json:"set_up"`
	Turns     []Turn         `json:"turns"`
	Cautions  []string       `json:"cautions"` // for all: when to stop first, then what is urgent, then what every sheet carries
	Minding   []Minding      `json:"minding"`
	Notes     []string       `json:"notes"`

	urgent []string // of the cautions: what was seen of a dog and is not cleared, and heat
}

// SetUp is how good a set-up is. NoRest counts the turns that come straight after one of the same dog, Again those at a
// station that the dog has had; no set-up has less than Least of either. Proved says that it is the best of all, by
// NoRest first.
type SetUp struct {
	NoRest      int  `json:"no_rest"`
	Again       int  `json:"again"`
	LeastNoRest int  `json:"least_no_rest"`
	LeastAgain  int  `json:"least_again"`
	Proved      bool `json:"proved"`
}

// Minding is what everybody at a station has to know of a dog before it comes.
type Minding struct {
	Dog  string   `json:"dog"`
	Text []string `json:"text"`
}

// Turn is one manning of the stations.
type Turn struct {
	Turn    int       `json:"turn"` // from 1
	At      time.Time `json:"at"`
	Work    []Working `json:"work"`
	Resting []string  `json:"resting"`
}

// Working is one dog at one station.
type Working struct {
	Station string `json:"station"`
	Dog     string `json:"dog"`
	Handler string `json:"handler,omitempty"`
	Plan    *Plan  `json:"plan"`
}

// ClassError is a class day that cannot be held: which limits clash, and what would help.
type ClassError struct {
	Text string
	Next string
}

// Error is what is wrong and what would help.
func (e *ClassError) Error() string { return e.Text + "; " + e.Next }

// ForClass sets up a class day and plans every turn of every dog. A dog rests between its turns where that can be had,
// and changes stations where it can; the set-up is the best of all by these two counts, in this order, or SetUp and Notes
// say how far from it it may be. Each turn is a session; what a dog does in one counts in its later ones, and where turns
// follow one another within half an hour, the limits of its profile hold for all of them together. r is what holds for
// all: Kcal, Pieces, Session, Seed.
// A dog that is locked has no turns; it is named in Notes.
func ForClass(p *engine.Program, f *engine.Fold, c Class, r Request) (*ClassDay, error) {
	if p.Curriculum() == nil || f.Program() == nil {
		return nil, engine.ErrNoProgram
	}
	if c.At.IsZero() {
		c.At = r.At
	}
	day := &ClassDay{At: c.At, Stations: []Station{}, Apart: [][]string{}, Equipment: map[string]int{}, Turns: []Turn{}, Minding: []Minding{}, Notes: []string{}}
	if err := c.check(p, f, r); err != nil {
		return nil, err
	}
	day.Stations = append(day.Stations, c.Stations...)
	for name, n := range c.Equipment {
		day.Equipment[name] = n
	}
	c.leaveOutLocked(p, f, r, day)
	day.urgent = slices.Concat(c.strangeCautions(f), c.warmCautions())
	day.Cautions = slices.Concat(stopCautions(p.Curriculum()), day.urgent, generalCautions)
	day.Apart = append(day.Apart, c.apart()...)
	if len(c.Dogs) == 0 {
		return day, nil
	}
	set, err := c.setUp(setUpBudget)
	if err != nil {
		return nil, err
	}
	day.SetUp = set.SetUp
	day.Notes = append(day.Notes, set.notes()...)
	c.mind(f, day)
	ahead := map[string]foreseen{}
	for t := range c.Turns {
		turn := Turn{Turn: t + 1, At: c.startOf(t), Work: []Working{}, Resting: []string{}}
		if err := c.plan(p, f, r, set, &turn, ahead); err != nil {
			return nil, err
		}
		day.Turns = append(day.Turns, turn)
	}
	return day, nil
}

func (c *Class) startOf(turn int) time.Time {
	return c.At.Add(time.Duration(float64(turn) * (c.Minutes + c.Change) * float64(time.Minute))).Truncate(time.Second)
}

// plan makes the plans of one turn. What goes from station to station is given out in an order that changes every turn.
func (c *Class) plan(p *engine.Program, f *engine.Fold, r Request, set *setUp, turn *Turn, ahead map[string]foreseen) error {
	left := map[string]int{}
	for name, n := range c.Equipment {
		left[name] = n
	}
	plans := make([]*Plan, len(c.Dogs))
	for i := range c.Dogs {
		d := (i + turn.Turn - 1) % len(c.Dogs)
		at := set.at[d][turn.Turn-1]
		if at < 0 {
			continue
		}
		s := c.Stations[at]
		r := r
		r.Dog, r.Handler, r.Place, r.At = c.Dogs[d].Dog, c.Dogs[d].Handler, s.Place, turn.At
		r.Celsius = s.Celsius
		r.Minutes, r.Seed = c.Minutes, r.Seed+uint64(turn.Turn-1)
		r.Equipment = append([]string{}, s.Equipment...)
		for _, name := range sortedKeys(left) {
			if left[name] > 0 && !slices.Contains(r.Equipment, name) {
				r.Equipment = append(r.Equipment, name)
			}
		}
		next, err := ahead[r.Dog].plan(p, f, r, func(dog *curriculum.Dog) { c.share(dog, p.Curriculum(), d, ahead[r.Dog]) })
		if err != nil {
			return err
		}
		for _, k := range next.Kit {
			if _, counted := left[k]; counted && !slices.Contains(s.Equipment, k) {
				left[k]--
			}
		}
		ahead[r.Dog] = append(ahead[r.Dog], next)
		plans[d] = next
	}
	for at, s := range c.Stations {
		for d := range c.Dogs {
			if set.at[d][turn.Turn-1] == at {
				turn.Work = append(turn.Work, Working{s.Name, c.Dogs[d].Dog, c.Dogs[d].Handler, plans[d]})
			}
		}
	}
	for d := range c.Dogs {
		if plans[d] == nil {
			turn.Resting = append(turn.Resting, c.Dogs[d].Dog)
		}
	}
	return nil
}

func sortedKeys(m map[string]int) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// check refuses what is not known and what cannot be, and fills in what is usual.
func (c *Class) check(p *engine.Program, f *engine.Fold, r Request) error {
	for _, n := range []struct {
		what      string
		have, max int
	}{{"turns", c.Turns, maxTurns}, {"dogs", len(c.Dogs), maxClass}, {"stations", len(c.Stations), maxStations}} {
		if n.have < 1 || n.have > n.max {
			return &ClassError{fmt.Sprintf("a class day has %d %s", n.have, n.what), fmt.Sprintf("it takes 1 to %d", n.max)}
		}
	}
	if !(c.Minutes > 0 && c.Minutes <= 240) || !(c.Change >= 0 && c.Change <= 240) {
		return &ClassError{fmt.Sprintf("turns of %v minutes with %v between them", c.Minutes, c.Change), "a turn lasts more than nought minutes and no more than 240"}
	}
	house, names, dogs := p.Curriculum(), map[string]bool{}, []string{}
	kit := []string{}
	for _, e := range house.Equipment {
		kit = append(kit, e.Name)
	}
	c.Stations, c.Dogs = slices.Clone(c.Stations), slices.Clone(c.Dogs)
	for i := range c.Stations {
		s := &c.Stations[i]
		if s.Name == "" {
			s.Name = s.Place
		}
		if s.Name == "" || names[s.Name] {
			return &ClassError{fmt.Sprintf("station %d has the name %q", i+1, s.Name), "give every station a name of its own"}
		}
		names[s.Name] = true
		if s.Dogs == 0 {
			s.Dogs = 1
		}
		if err := known("place", s.Place, house.Places); err != nil {
			return err
		}
		if err := checkCelsius(s.Celsius); err != nil {
			return err
		}
		for _, e := range s.Equipment {
			if err := known("equipment", e, kit); err != nil {
				return err
			}
		}
	}
	for _, e := range sortedKeys(c.Equipment) {
		if err := known("equipment", e, kit); err != nil {
			return err
		}
	}
	for i := range c.Dogs {
		d := &c.Dogs[i]
		if d.Turns == 0 {
			d.Turns = min(usualTurns, c.Turns)
		}
		if slices.Contains(dogs, d.Dog) {
			return &ClassError{d.Dog + " is in the class twice", "name it once, with its turns"}
		}
		dogs = append(dogs, d.Dog)
		one := r
		one.Dog, one.Handler, one.At = d.Dog, d.Handler, c.At
		if _, err := one.check(house); err != nil {
			return err
		}
		if _, err := viewOf(p, f, one); err != nil {
			return err
		}
	}
	for _, group := range c.Apart {
		for _, d := range group {
			if err := known("dog", d, dogs); err != nil {
				return err
			}
		}
	}
	return nil
}

// leaveOutLocked takes dogs out that may not train.
func (c *Class) leaveOutLocked(p *engine.Program, f *engine.Fold, r Request, day *ClassDay) {
	c.Dogs = slices.DeleteFunc(c.Dogs, func(d ClassDog) bool {
		one := r
		one.Dog, one.At = d.Dog, c.At
		next, err := Next(p, f, one)
		if err == nil && len(next.Referral) > 0 {
			day.Notes = append(day.Notes, d.Dog+" stays out. "+next.Referral[0])
			return true
		}
		return false
	})
}
