package plan

import (
	"fmt"
	"math"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// Request is what the caller knows of the session to be planned. Zero numbers mean: no limit of the caller's.
type Request struct {
	Dog       string
	At        time.Time // the moment of planning; its date, in its own offset, is the day
	Place     string    // "" where it is not settled
	Handler   string
	Minutes   float64
	Pieces    int      // pieces of food at hand
	Kcal      float64  // energy of the food at hand
	Equipment []string // at hand; nil means all that is declared, empty means none
	Seed      uint64
	Session   string   // name of the session rules; "" means the unnamed ones
	Celsius   *float64 // how warm it is there; nil where nobody says
	// DaysCelsius is for Ahead alone: how warm it will be on each of its days. Empty means Celsius on all of them.
	DaysCelsius []float64
	Favour      []string // behaviours that somebody wishes for; they weigh more, and no limit is lifted for them

	// ExtrasFed is the kcal of extras the dog has had today. Where it is nought, ExtrasKnown is not set, and there was
	// training today, each of today's trials is taken to have earned a piece of the extra.
	ExtrasFed   float64
	ExtrasKnown bool // ExtrasFed is what was fed, also where it is nought
}

// RequestError is a request that cannot be answered: a name that is not known, or a number that is none.
type RequestError struct {
	Field   string // at, dog, place, handler, equipment, behaviour, session, minutes, pieces, kcal, extras, celsius
	Value   string
	Nearest string   // the known name nearest to it, if one is near
	Known   []string // the known names
}

// Error says what is wrong and what could be meant.
func (e *RequestError) Error() string {
	if e.Field == "at" {
		return "at is not given: the moment of planning is needed, as nothing here reads a clock"
	}
	if e.Known == nil && e.Nearest == "" {
		return fmt.Sprintf("%s %s: not usable here", e.Field, e.Value)
	}
	t := fmt.Sprintf("%s %q is not known", e.Field, e.Value)
	if e.Nearest != "" {
		t += fmt.Sprintf("; did you mean %q?", e.Nearest)
	} else if len(e.Known) > 0 {
		t += "; known: " + list(e.Known)
	}
	return t
}

// check refuses names the curriculum does not know and numbers that make no sense, and finds the session rules.
func (r *Request) check(c *curriculum.Curriculum) (*curriculum.Session, error) {
	s, err := r.known(c)
	if err == nil && r.At.IsZero() { // ages, days since and what is due would all be wrong
		err = &RequestError{Field: "at"}
	}
	return s, err
}

func (r *Request) known(c *curriculum.Curriculum) (*curriculum.Session, error) {
	for _, n := range []struct {
		field string
		v     float64
	}{{"minutes", r.Minutes}, {"pieces", float64(r.Pieces)}, {"kcal", r.Kcal}, {"extras", r.ExtrasFed}} {
		if n.v < 0 || math.IsNaN(n.v) || math.IsInf(n.v, 0) {
			return nil, &RequestError{Field: n.field, Value: fmt.Sprint(n.v)}
		}
	}
	if err := checkCelsius(r.Celsius); err != nil {
		return nil, err
	}
	if len(r.DaysCelsius) > 0 {
		return nil, &RequestError{Field: "celsius", Value: "of several days"}
	}
	if err := known("place", r.Place, c.Places); err != nil {
		return nil, err
	}
	if err := known("handler", r.Handler, c.Handlers); err != nil {
		return nil, err
	}
	var kit []string
	for _, e := range c.Equipment {
		kit = append(kit, e.Name)
	}
	for _, e := range r.Equipment {
		if err := known("equipment", e, kit); err != nil {
			return nil, err
		}
	}
	var behaviours []string
	for _, x := range c.Behaviours {
		behaviours = append(behaviours, x.Name)
	}
	for _, f := range r.Favour {
		if c.Behaviour(f) == nil {
			return nil, unknown("behaviour", f, behaviours)
		}
	}
	var names []string
	for _, s := range c.Sessions {
		if s.Name == r.Session {
			return s, nil
		}
		if s.Name != "" {
			names = append(names, s.Name)
		}
	}
	if r.Session != "" {
		return nil, unknown("session", r.Session, names)
	}
	return &curriculum.Session{}, nil
}

// known lets a name pass where it is declared, or where none of its kind is.
func known(field, name string, declared []string) error {
	if name == "" || len(declared) == 0 {
		return nil
	}
	for _, d := range declared {
		if d == name {
			return nil
		}
	}
	return unknown(field, name, declared)
}

func unknown(field, name string, declared []string) error {
	return &RequestError{Field: field, Value: name, Nearest: nearest(name, declared), Known: append([]string{}, declared...)}
}

// Next is the next session of r.Dog, as it stands in f at r.At.
func Next(p *engine.Program, f *engine.Fold, r Request) (*Plan, error) {
	v, err := viewOf(p, f, r)
	if err != nil {
		return nil, err
	}
	b, err := newBuilder(p, v, r)
	if err != nil {
		return nil, err
	}
	b.history = f.HistoryPrint(r.Dog)
	plan := b.build()
	b.lookAhead(f)
	return plan, nil
}

// viewOf is the dog as it stands at the moment of the request.
func viewOf(p *engine.Program, f *engine.Fold, r Request) (*engine.DogView, error) {
	switch of := f.Program(); {
	case p.Curriculum() == nil || of == nil:
		return nil, engine.ErrNoProgram
	case of != p && of.Fingerprint() != p.Fingerprint():
		return nil, fmt.Errorf("the fold was made with %q and is to be planned with %q: %w", of.Curriculum().Name, p.Curriculum().Name, engine.ErrOtherCurriculum)
	}
	if v := f.Dog(r.Dog, r.At); v != nil {
		return v, nil
	}
	var dogs []string
	for _, d := range f.Standing(r.At).Dogs {
		dogs = append(dogs, d.Dog)
	}
	return nil, unknown("dog", r.Dog, dogs)
}

// ForView is the next session of the dog that v shows. The view is not changed. It knows no history beyond the view, so
// the cards have no Soon.
func ForView(p *engine.Program, v *engine.DogView, r Request) (*Plan, error) {
	b, err := newBuilder(p, v, r)
	if err != nil {
		return nil, err
	}
	return b.build(), nil
}

func newBuilder(p *engine.Program, v *engine.DogView, r Request) (*builder, error) {
	c := p.Curriculum()
	if c == nil {
		return nil, engine.ErrNoProgram
	}
	if v == nil {
		return nil, unknown("dog", r.Dog, nil)
	}
	s, err := r.check(c)
	if err != nil {
		return nil, err
	}
	return &builder{c: c, v: v, r: r, s: s, print: p.Fingerprint()}, nil
}
