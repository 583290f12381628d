package plan

import (
	"fmt"
	"math"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/schedules"
)

// builder makes one plan.
type builder struct {
	c *curriculum.Curriculum
	v *engine.DogView
	r Request
	s *curriculum.Session

	print   string // fingerprint of the curriculum
	history string // fingerprint of the dog's
	plan    *Plan
	limits  limits
	foods   larder
	cands   []*candidate
	today   planned // beside what is on record
	rows    map[string]rowOfBlocks
	unsure  bool // a question of what would be enough was left open
}

// limits is every bound of the session in whole units, so that sums are exact: tenths of a second, thousandths of a
// kcal. Negative means none.
type limits struct {
	time, trials, behaviours, fresh, impact, inARow, each, pieces, energy, extras int
	from                                                                          map[string]string // which of several bounds holds
}

// defaultMinutes bounds a session of which nobody says how long it may last; short, as sessions should be.
const defaultMinutes = 5

// extrasRule is the share of the day's energy that extras may have where the session rules say nothing: the tenth that
// veterinary advice commonly names.
var extrasRule = curriculum.Percent(10)

func (b *builder) build() *Plan {
	b.plan = &Plan{
		Curriculum: b.c.Name, Edition: b.c.Edition, Fingerprint: b.print, Dog: b.v.Dog.Name, At: b.r.At, Place: b.r.Place, Handler: b.r.Handler,
		Session: b.r.Session, Seed: b.r.Seed, Number: b.v.Sessions + 1, History: b.history, Celsius: b.r.Celsius,
		Locked: append([]engine.Lock{}, b.v.Locked...), Cautions: []string{}, Food: []Food{}, Kit: []string{}, Items: []Item{},
		LeftOut: []LeftOut{}, Notes: []string{}, Limits: []Limit{},
	}
	if b.plan.Dog == "" {
		b.plan.Dog = b.r.Dog
	}
	if b.lockedWhole() {
		b.plan.Cautions = append(b.plan.Cautions, strangeCautions(b.v.Strange)...)
		return b.plan
	}
	b.past()
	b.setLimits()
	b.stock()
	b.gate()
	chosen := b.choose()
	blocks := b.order(chosen)
	b.claim(chosen, blocks)
	b.emit(chosen, blocks)
	b.expect(chosen, blocks)
	b.explain(chosen)
	b.cautions()
	return b.plan
}

// past says that the log goes on behind the moment of planning: mostly a date is mistyped, here or there.
func (b *builder) past() {
	last := b.r.At
	for i := range b.v.Behaviours {
		if at := b.v.Behaviours[i].LastTrained; at.After(last) {
			last = at
		}
	}
	if last.After(b.r.At) {
		b.note("The log goes on to %s, after the moment planned for; all of it counts here. Look at the dates.", last.Format("2 January 2006, 15:04"))
	}
}

func (b *builder) note(format string, args ...any) {
	b.plan.Notes = append(b.plan.Notes, fmt.Sprintf(format, args...))
}

func (b *builder) leave(name string, code Code, format string, args ...any) {
	b.plan.LeftOut = append(b.plan.LeftOut, LeftOut{Behaviour: name, Code: code, Reason: fmt.Sprintf(format, args...)})
}

// lockedWhole fills the plan of a dog for which everything is locked, or whose session a sign has ended.
func (b *builder) lockedWhole() bool {
	var whole []engine.Lock
	for _, l := range b.v.Locked {
		if len(l.Behaviours) == 0 {
			whole = append(whole, l)
		}
	}
	switch {
	case len(whole) > 0:
		b.plan.Referral = append(referral(b.plan.Dog, whole), strangeCautions(b.v.Strange)...)
		for _, v := range b.v.Behaviours {
			b.leave(v.Behaviour.Name, Locked, "no training until the sign is cleared: %s, seen %s", whole[0].SignText(), day(whole[0].At))
		}
	case b.v.SessionEnded:
		b.note("A sign ended the session that is still open. Let the dog rest; plan again for a later session.")
		for _, v := range b.v.Behaviours {
			b.leave(v.Behaviour.Name, SessionEnded, "a sign ended this session")
		}
	default:
		return false
	}
	return true
}

// bound keeps the tighter of two limits and remembers where it comes from; a value of nought or less is no limit.
func (l *limits) bound(at *int, name string, value float64, from string) {
	if value <= 0 {
		return
	}
	n := int(math.Floor(value + 1e-9))
	if *at < 0 || n < *at {
		*at = n
		l.from[name] = from
	}
}

// The names of Limit.
const (
	limitMinutes    = "minutes"
	limitTrials     = "trials"
	limitBehaviours = "behaviours"
	limitNew        = "new behaviours"
	limitImpact     = "impact trials"
	limitInARow     = "in a row"
	limitEach       = "trials of one behaviour"
	limitPieces     = "pieces"
	limitKcal       = "kcal"
	limitExtras     = "extras kcal"
	limitSuccess    = "expected success"
)

const (
	fromSession = "session rules"
	fromRequest = "request"
	fromProfile = "profile"
	fromDefault = "default"
)

func (b *builder) setLimits() {
	l := &b.limits
	*l = limits{-1, -1, -1, -1, -1, -1, -1, -1, -1, -1, map[string]string{}}
	if !b.s.Lasts.IsZero() {
		l.bound(&l.time, limitMinutes, b.s.Lasts.Float()*10, fromSession)
	}
	l.bound(&l.time, limitMinutes, b.r.Minutes*600, fromRequest)
	l.bound(&l.time, limitMinutes, b.v.Dog.Limits.Minutes*600, fromProfile)
	if l.time < 0 {
		l.bound(&l.time, limitMinutes, defaultMinutes*600, fromDefault)
		b.note("Nothing says how long the session may last: %d minutes are taken.", defaultMinutes)
	}
	if b.r.Minutes*600 > float64(l.time) {
		by := "the session rules"
		if l.from[limitMinutes] == fromProfile {
			by = "the dog's profile"
		}
		b.note("At most %s minutes by %s, not the %s asked for.", number(float64(l.time)/600), by, number(b.r.Minutes))
	}
	l.bound(&l.trials, limitTrials, float64(b.s.MaxTrials), fromSession)
	l.bound(&l.trials, limitTrials, float64(b.v.Dog.Limits.Trials), fromProfile)
	l.bound(&l.behaviours, limitBehaviours, float64(b.s.MaxBehaviours), fromSession)
	l.bound(&l.fresh, limitNew, float64(b.s.MaxNew), fromSession)
	for i, k := range b.impactCaps() {
		if left := max(0, k.N-b.impactSince(k.Per)); l.impact < 0 || left < l.impact {
			l.impact, l.from[limitImpact] = left, fromSession
			if i == len(b.s.Impact) {
				l.from[limitImpact] = fromProfile
			}
		}
	}
	l.bound(&l.inARow, limitInARow, float64(b.s.MaxInARow), fromSession)
	l.bound(&l.each, limitEach, float64(b.s.MaxPerBehaviour), fromSession)
	l.bound(&l.pieces, limitPieces, float64(b.r.Pieces), fromRequest)
	l.bound(&l.energy, limitKcal, b.r.Kcal*1000, fromRequest)
}

// facts is what the energy equations need of the dog.
func (b *builder) facts() schedules.Facts {
	d := b.v.Dog
	f := schedules.Facts{VetKcal: d.DailyKcal, Kg: d.WeightKg, AdultKg: d.AdultWeightKg, Intact: d.Neutered == curriculum.No}
	f.Months, _, _, _ = d.AgeAt(b.r.At)
	return f
}

// role is what a candidate is in the session for.
type role string

const (
	roleNew    role = "new"
	roleWork   role = "work"
	roleLapsed role = "lapsed"
	roleReview role = "review"
	roleKnown  role = "known" // finished and not due
)

// candidate is a behaviour that passed the gates.
type candidate struct {
	b     *curriculum.Behaviour
	v     *engine.BehaviourView
	step  *curriculum.Step
	level curriculum.Level
	held  bool // the profile keeps it below where it stands
	sheet curriculum.Sheet
	cues  []Cue

	role     role
	points   float64
	why      string
	least    int // trials of an item, where there is room
	most     int
	finished bool
	steady   bool // may stand in for something known
	chance   float64
	surplus  int  // see chance.go
	hard     bool // deserves the better food
	favoured bool // somebody wishes for it
	partners []int
	apart    []int

	costs map[*food]*costs
	last  *food // whose costs were asked for last
	lastC *costs
}

func (c *candidate) name() string { return c.b.Name }

func (c *candidate) is(k curriculum.Kind) bool {
	for _, x := range c.b.Kinds {
		if x == k {
			return true
		}
	}
	return false
}
