package engine

import (
	"time"

	"example.com/rung/curriculum"
)

// Standing is where every dog stands in every behaviour, with every move so far and its reason. Its JSON form is what
// `rung standing --format json` prints and what Program.Resume picks up again.
type Standing struct {
	Curriculum  string        `json:"curriculum"`
	Fingerprint string        `json:"fingerprint"`
	Origin      string        `json:"origin,omitempty"` // the fingerprint by first names, where something was renamed
	At          time.Time     `json:"at"`               // the now it was worked out for
	Dogs        []DogStanding `json:"dogs"`
	Reports     []Report      `json:"reports"`
	Resume      *ResumeFold   `json:"resume,omitempty"` // only in Fold.Save
}

// DogStanding is one dog's part of a Standing: behaviours in file order, all listed.
type DogStanding struct {
	Dog        string              `json:"dog"`
	Behaviours []BehaviourStanding `json:"behaviours"`
	Locked     []Lock              `json:"locked"`
	Strange    []StrangeSign       `json:"strange_signs,omitempty"`
	Resume     *Resume             `json:"resume,omitempty"` // what Program.Resume needs to go on; only in Fold.Save
}

// BehaviourStanding is where a dog stands in one behaviour. Trials and Sessions count evidence, and sessions with
// evidence, since the level was entered.
type BehaviourStanding struct {
	Behaviour string            `json:"behaviour"`
	State     curriculum.State  `json:"state"`
	Step      string            `json:"step"`
	Level     map[string]string `json:"level"`
	Trials    int               `json:"trials"`
	Sessions  int               `json:"sessions"`
	Missing   []string          `json:"missing,omitempty"` // doors not met, in words
	// Failed is, for a chain, which piece failed first in the misses since the level was entered, in the order performed.
	// FailedBefore is the same of the level that the last move left, where that was an ease.
	Failed       []PieceCount `json:"failed,omitempty"`
	FailedBefore []PieceCount `json:"failed_before,omitempty"`

	ReviewDue string   `json:"review_due,omitempty"` // of a kept behaviour: the date of its next cold test
	ReviewGap string   `json:"review_gap,omitempty"` // that runs until then, as "3 days"
	Reviews   []Review `json:"reviews,omitempty"`    // all so far

	Moves []Move  `json:"moves"`
	Noted []Noted `json:"noted"`
}

// Place is a step and level; Kept says the behaviour is finished.
type Place struct {
	Step  string            `json:"step"`
	Level map[string]string `json:"level"`
	Kept  bool              `json:"kept,omitempty"`
}

// Move is one change of level, with its reason: the rule, the trials that made it true, the counts, the line.
type Move struct {
	Trial   string     `json:"trial,omitempty"` // id of the trial that made it; empty for a move by hand
	Rule    string     `json:"rule"`            // advance, ease, split, skip, lapse or hand
	From    Place      `json:"from"`
	To      Place      `json:"to"`
	Because string     `json:"because"`
	Trials  []string   `json:"trials,omitempty"` // ids of the trials that made it true, oldest first
	Line    int        `json:"line,omitempty"`   // of the rule
	File    string     `json:"file,omitempty"`
	At      *time.Time `json:"at,omitempty"` // a trial's time, or a hand move's
	By      string     `json:"by,omitempty"` // of a hand move
}

// Noted is a stop or flag rule that began to hold.
type Noted struct {
	Trial   string `json:"trial"`
	Rule    string `json:"rule"`
	Because string `json:"because"`
	Line    int    `json:"line,omitempty"`
	File    string `json:"file,omitempty"`
}

// Lock is a welfare sign that was seen and not cleared. Behaviours is empty where everything is locked.
type Lock struct {
	Sign       string    `json:"sign"`
	Written    string    `json:"written,omitempty"` // how the log has it, where it is not declared and was taken for Sign
	At         time.Time `json:"at"`
	By         string    `json:"by,omitempty"`
	Note       string    `json:"note,omitempty"`
	Behaviours []string  `json:"behaviours,omitempty"`
}

// StrangeSign is a sign in the log that the curriculum does not declare and that is like none it declares. It locks
// nothing; it is shown until a named person clears it.
type StrangeSign struct {
	Sign      string    `json:"sign"` // as the log has it
	At        time.Time `json:"at"`
	By        string    `json:"by,omitempty"`
	Note      string    `json:"note,omitempty"`
	Behaviour string    `json:"behaviour,omitempty"` // in which it was seen, where the log says so
}

// Report is something a person should know about a line of a history. Unusable lines were not read.
type Report struct {
	Source   string `json:"source"`
	Line     int    `json:"line"`
	Column   int    `json:"column,omitempty"` // in characters from 1, where a piece of the line is at fault
	Code     string `json:"code"`
	Dog      string `json:"dog,omitempty"` // whom the line is about, where that is known
	Text     string `json:"text"`
	Unusable bool   `json:"unusable,omitempty"`
}
