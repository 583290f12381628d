package curriculum

import "time"

// Dog is a dog's profile. It may tighten what the curriculum allows, never loosen it.
type Dog struct {
	Name          string
	Born          time.Time // zero where unknown
	WeightKg      float64
	AdultWeightKg float64
	Neutered      YesNo
	DailyKcal     float64  // the vet's figure; overrides every equation
	Avoid         []string // foods and ingredients it may not eat
	Clearances    []string
	Equipment     []string // what it owns
	Cues          []string // kinds of cue it can sense; empty means all
	Limits        Limits
	Notes         string
}

// Limits tighten the curriculum for one dog. Zero means no limit of its own.
type Limits struct {
	Minutes    float64
	Trials     int // a session
	ImpactADay int // trials of all behaviours that count as impact together
	LivelyUpTo int // whole degrees Celsius above which nothing lively is planned
	Behaviours map[string]BehaviourLimits
}

// BehaviourLimits tighten one behaviour for one dog.
type BehaviourLimits struct {
	Never   bool     // not for this dog
	Because string   // printed with Never
	Trials  int      // a session
	Level   LevelRef // plans stay at or below it
}

// AgeAt is the dog's age in whole months, weeks and days on a date; ok is false where the birth date is unknown.
func (d *Dog) AgeAt(day time.Time) (months, weeks, days int, ok bool) {
	if d == nil || d.Born.IsZero() {
		return 0, 0, 0, false
	}
	by, bm, bd := d.Born.Date()
	y, m, dd := day.Date()
	months = (y-by)*12 + int(m) - int(bm)
	if dd < bd {
		months--
	}
	days = int(time.Date(y, m, dd, 0, 0, 0, 0, time.UTC).Sub(time.Date(by, bm, bd, 0, 0, 0, 0, time.UTC)).Hours() / 24)
	if days < 0 {
		return 0, 0, 0, true
	}
	return months, days / 7, days, true
}
