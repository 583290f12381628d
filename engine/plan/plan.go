package plan

import (
	"time"

	"example.com/rung/engine"
)

// Plan is one session. Its JSON form is what `rung plan --format json` prints.
type Plan struct {
	Curriculum  string    `json:"curriculum"`
	Edition     string    `json:"edition,omitempty"`
	Fingerprint string    `json:"fingerprint"`
	Dog         string    `json:"dog"`
	At          time.Time `json:"at"`
	Place       string    `json:"place"`
	Handler     string    `json:"handler,omitempty"`
	Session     string    `json:"session,omitempty"` // name of the session rules
	Seed        uint64    `json:"seed"`
	Number      int       `json:"session_number"`    // which session of the dog's this one would be, from 1
	History     string    `json:"history,omitempty"` // fingerprint of what the dog's log held; empty where it held nothing
	Celsius     *float64  `json:"celsius,omitempty"` // how warm it is, where somebody said
	If          string    `json:"if,omitempty"`      // the session that has not been, in words, after which this one would come

	IfMoves []IfMove `json:"if_moves,omitempty"` // what would have moved in it

	Minutes float64 `json:"minutes"` // planned, changeovers included; Seconds rounded up
	Seconds float64 `json:"seconds"`
	Trials  int     `json:"trials"`
	Kcal    float64 `json:"kcal"` // of all rewards, if every trial succeeds
	Ration  float64 `json:"ration_kcal"`
	Extras  float64 `json:"extras_kcal"`
	Pieces  int     `json:"pieces"`
	Wanted  string  `json:"wanted_success,omitempty"` // the share that the session rules ask for, as "70%"
	// Expected is the share of trials that is expected to succeed; PerMinute the rewards a minute expected with it.
	Expected  float64 `json:"expected_success,omitempty"`
	PerMinute float64 `json:"rewards_per_minute,omitempty"`

	Locked   []engine.Lock `json:"locked"`
	Referral []string      `json:"referral,omitempty"` // in place of items where a sign locks everything
	Cautions []string      `json:"cautions"`
	Food     []Food        `json:"food"`
	Kit      []string      `json:"kit"`
	Items    []Item        `json:"items"`
	LeftOut  []LeftOut     `json:"left_out"`
	Notes    []string      `json:"notes"`
	Next     *NextTime     `json:"next,omitempty"` // nil where nothing can be said
	Limits   []Limit       `json:"limits"`
	Clash    *Clash        `json:"clash,omitempty"`  // nil where the session is whole
	Choice   *Choice       `json:"choice,omitempty"` // nil where there was nothing to choose from
}

// IfMove is a move that a session that has not been would have made.
type IfMove struct {
	Behaviour string `json:"behaviour"`
	engine.Move
	Text string `json:"text"` // where it leads, in words
}

// NextTime is what comes after this session, as far as it can be seen.
type NextTime struct {
	ReviewOn string   `json:"review_on,omitempty"` // the date on which the next cold test falls due after today
	Reviews  []string `json:"reviews,omitempty"`   // of these behaviours
	Likely   []string `json:"likely,omitempty"`    // what there was no room for today, the most urgent first
}

// Choice is how good the choice of items is, in the points of the package's documentation, and how good any could be
// with as many of the opening and closing places filled.
type Choice struct {
	Points float64 `json:"points"`
	AtMost float64 `json:"at_most"`
	Exact  bool    `json:"exact"` // no other choice brings more; otherwise none brings more than AtMost
	// OrderExact says that no other order of the items costs less.
	OrderExact bool `json:"order_exact"`
}

// Item is one block of trials of one behaviour. A behaviour may come up in several; Part counts them.
type Item struct {
	Behaviour string            `json:"behaviour"`
	Title     string            `json:"title,omitempty"`
	Step      string            `json:"step"`
	StepTitle string            `json:"step_title,omitempty"`
	Level     map[string]string `json:"level"`
	LevelText string            `json:"level_text,omitempty"` // the level in the language's own spelling
	Part      int               `json:"part"`                 // from 1
	Parts     int               `json:"parts"`
	Trials    int               `json:"trials"`

	// Rewarded tells of each success, in order, whether it is paid; a trial that fails takes no place of the list.
	Rewarded []bool `json:"rewarded"`
	Schedule string `json:"schedule"`
	PayWords string `json:"pay_words"` // the schedule for the person who pays
	// PayAfter is the seconds of an interval schedule, each from the reward before: the first success after each is paid.
	// The first is what earlier sessions have left of it; the last may not come due, as it is one more than expected.
	PayAfter []float64 `json:"pay_after_seconds,omitempty"`
	// PayAt is, for each trial of a duration schedule, the seconds of its hold at which a piece is given.
	PayAt [][]float64 `json:"pay_at_seconds,omitempty"`
	// PayBar is what a success must do to be paid under a percentile schedule, the same for the whole session; nil where
	// too little is known yet.
	PayBar *PayBar `json:"pay_bar,omitempty"`
	// Measure is what a percentile schedule ranks: it is to be written down of each trial.
	Measure string `json:"measure,omitempty"`
	// Asked is the values to ask for, trial by trial, where they vary inside the level.
	Asked  []Asked `json:"asked,omitempty"`
	Pieces int     `json:"pieces"`
	Food   string  `json:"food,omitempty"`
	Extra  bool    `json:"extra"`

	Marker     string   `json:"marker"`
	MarkerText string   `json:"marker_text,omitempty"` // as it is said, where the dog can hear it
	MarkerSign string   `json:"marker_sign,omitempty"` // how it is shown, where it is not said or may also be shown
	Releases   bool     `json:"marker_releases"`       // the marker ends the exercise; otherwise the dog stays in work
	Do         string   `json:"do,omitempty"`
	Success    string   `json:"success,omitempty"`
	Cues       []Cue    `json:"cues"`
	CueLater   bool     `json:"cue_later,omitempty"` // the cues belong to a later step and are not given yet
	Prompts    []string `json:"prompts"`
	Help       []string `json:"help"` // in the order to try it
	Pay        string   `json:"pay,omitempty"`
	Side       string   `json:"side,omitempty"`
	SetUp      string   `json:"set_up,omitempty"`
	Equipment  []string `json:"equipment"`
	Cautions   []string `json:"cautions"`
	Card       Card     `json:"card"`

	Role    string  `json:"role"`           // new, work, lapsed, review, known
	Slot    string  `json:"slot,omitempty"` // opens, closes
	Reason  string  `json:"reason"`         // why it is in
	Seconds float64 `json:"seconds"`
	Kcal    float64 `json:"kcal"`
	// RestBefore is a break that comes before this item.
	RestBefore float64 `json:"rest_before_seconds,omitempty"`
	// Expected is the chance that a trial succeeds; PerMinute the rewards a minute expected with it.
	Expected  float64 `json:"expected_success"`
	PerMinute float64 `json:"rewards_per_minute"`
}

// PayBar is a bar such as "turn over 45 deg".
type PayBar struct {
	Measure string  `json:"measure"`
	Words   string  `json:"words"` // over, at least, under, at most
	Value   float64 `json:"value"`
	Unit    string  `json:"unit,omitempty"`
}

// Cue is one form of the cue that the dog can sense.
type Cue struct {
	Kind string `json:"kind"` // "word" for a spoken one
	Text string `json:"text"`
}

// Card is what to do on which tally, in words; empty where the step has no such rule.
type Card struct {
	Advance string `json:"advance"`
	Ease    string `json:"ease"`
	Split   string `json:"split,omitempty"`
	Stop    string `json:"stop,omitempty"`
	Flag    string `json:"flag,omitempty"`
	// Soon is how many more successes would do for Advance as the count stands; empty where that cannot be said in a line.
	Soon string `json:"soon,omitempty"`
	// SoonTrials is how many they are.
	SoonTrials int `json:"soon_trials,omitempty"`
	// OwnerEase and OwnerStop are Ease and Stop in an owner's words.
	OwnerEase string `json:"owner_ease,omitempty"`
	OwnerStop string `json:"owner_stop,omitempty"`
}

// LeftOut is a behaviour that is not in, and why.
type LeftOut struct {
	Behaviour string `json:"behaviour"`
	Reason    string `json:"reason"`
	Code      Code   `json:"code"`
}

// Code is a stable name for why a behaviour is left out.
type Code string

// The codes of LeftOut.
const (
	Locked       Code = "locked"        // an uncleared welfare sign
	SessionEnded Code = "session-ended" // a sign ended the session that is still open
	Profile      Code = "profile"       // the dog's profile bars it
	Stopped      Code = "stopped"       // a stop rule held in the session that is still open
	Waiting      Code = "waiting"       // a door is not open
	CapReached   Code = "cap"           // its own caps are used up
	WrongPlace   Code = "place"
	TooWarm      Code = "warmth" // too warm for lively work
	NoEquipment  Code = "equipment"
	NoCue        Code = "cue"     // no cue the dog can sense
	PairAhead    Code = "pair"    // its partner must catch up first
	Unbalanced   Code = "balance" // its partner has had fewer trials in seven days
	NotDue       Code = "not-due"
	NeverWith    Code = "never-with" // something it must be kept apart from is in
	NewLimit     Code = "new-limit"  // enough new behaviours
	Minutes      Code = "minutes"
	NoFood       Code = "food"
	TooHard      Code = "success" // too little would succeed
	NoOrder      Code = "order"   // it cannot be put into a row with what is in
	LimitReached Code = "limit"   // trials or behaviours of the session
)

// Food is how much of one food to put in the pot.
type Food struct {
	Food   string  `json:"food"`
	Pieces int     `json:"pieces"`
	Kcal   float64 `json:"kcal"`
	Grams  float64 `json:"grams,omitempty"`
	Extra  bool    `json:"extra"`
}

// Limit is one limit of the session and how much of it the plan uses. AtMost is exact; Used never exceeds it.
type Limit struct {
	Limit  string  `json:"limit"` // minutes, trials, behaviours, new behaviours, impact trials, in a row, trials of one behaviour, pieces, kcal, extras kcal
	Used   float64 `json:"used"`
	AtMost float64 `json:"at_most"`
	From   string  `json:"from"` // session rules, request, profile, default
}
