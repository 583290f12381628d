package history

import (
	"math/bits"

	"example.com/rung/curriculum"
)

// field is one of the names a line can carry.
type field uint8

const (
	fNone field = iota
	fID
	fDog
	fBehaviour
	fAt
	fSession
	fPlace
	fHandler
	fOutcome
	fHelp
	fEarly
	fLatency
	fDuration
	fDistance
	fMeasures
	fStep
	fLevel
	fRewarded
	fFailed
	fNote
	fEvent
	fSign
	fKept
	fBy
)

// fieldNames in the order they are written.
var fieldNames = []string{fNone: "", fID: "id", fDog: "dog", fBehaviour: "behaviour", fAt: "at", fSession: "session",
	fPlace: "place", fHandler: "handler", fOutcome: "outcome", fHelp: "help", fEarly: "early", fLatency: "latency",
	fDuration: "duration", fDistance: "distance", fMeasures: "measures", fStep: "step", fLevel: "level",
	fRewarded: "rewarded", fFailed: "failed", fNote: "note", fEvent: "event", fSign: "sign", fKept: "kept", fBy: "by"}

func (f field) String() string { return fieldNames[f] }

// fieldOf is the field of a name, fNone for no such. The compiler turns this into a few comparisons.
func fieldOf(name []byte) field {
	switch string(name) {
	case "id":
		return fID
	case "dog":
		return fDog
	case "behaviour":
		return fBehaviour
	case "at":
		return fAt
	case "session":
		return fSession
	case "place":
		return fPlace
	case "handler":
		return fHandler
	case "outcome":
		return fOutcome
	case "help":
		return fHelp
	case "early":
		return fEarly
	case "latency":
		return fLatency
	case "duration":
		return fDuration
	case "distance":
		return fDistance
	case "measures":
		return fMeasures
	case "step":
		return fStep
	case "level":
		return fLevel
	case "rewarded":
		return fRewarded
	case "failed":
		return fFailed
	case "note":
		return fNote
	case "event":
		return fEvent
	case "sign":
		return fSign
	case "kept":
		return fKept
	case "by":
		return fBy
	}
	return fNone
}

// fields is a set of fields.
type fields uint32

func (s fields) has(f field) bool { return s&(1<<f) != 0 }
func (s *fields) add(f field)     { *s |= 1 << f }

const (
	onlyTrials fields = 1<<fPlace | 1<<fHandler | 1<<fOutcome | 1<<fHelp | 1<<fEarly | 1<<fLatency | 1<<fDuration |
		1<<fDistance | 1<<fMeasures | 1<<fRewarded | 1<<fFailed
	onlyEvents fields = 1<<fSign | 1<<fKept | 1<<fBy
)

// draft is a line as it is being read: the trial's fields go straight into the entry, those that only an event has wait
// here until it is known which of the two the line is.
type draft struct {
	given fields // with a value
	kind  curriculum.EventKind
	sign  string
	by    string
	kept  bool
}

// finish checks that what a line needs is there and makes an event of an event's fields. e.Trial holds the rest.
func (d *draft) finish(k *sink, line int, e *curriculum.Entry) *slip {
	t := &e.Trial
	t.Source, t.Line = k.source, line
	e.IsEvent = d.given.has(fEvent)
	if t.Dog == "" {
		return missing("dog")
	}
	if !d.given.has(fAt) {
		return missing("at")
	}
	if !e.IsEvent {
		d.odd(k, line, onlyEvents, "an event")
		if t.Behaviour == "" {
			return missing("behaviour")
		}
		if t.Outcome == curriculum.NoOutcome && len(t.Measures) == 0 {
			return slipf(-1, codeMissing, "outcome is missing, and there is no measure that could decide the trial")
		}
		return nil
	}
	d.odd(k, line, onlyTrials, "a trial")
	e.Event = curriculum.Event{ID: t.ID, Dog: t.Dog, Behaviour: t.Behaviour, At: t.At, Kind: d.kind, Session: t.Session,
		Sign: d.sign, Step: t.Step, Level: t.Level, Kept: d.kept, By: d.by, Note: t.Note, Source: t.Source, Line: t.Line}
	return d.finishEvent(k, line, &e.Event)
}

func missing(name string) *slip { return slipf(-1, codeMissing, "%s is missing", name) }

func (d *draft) finishEvent(k *sink, line int, ev *curriculum.Event) *slip {
	lacks := func(what string) *slip {
		return slipf(-1, codeEvent, "an event of kind %s needs %s", ev.Kind, what)
	}
	switch ev.Kind {
	case curriculum.SignSeen:
		if ev.Sign == "" {
			return lacks("the sign that was seen")
		}
	case curriculum.SignCleared:
		if ev.Sign == "" {
			return lacks("the sign that it clears")
		}
		if ev.By == "" {
			return lacks("by: only a named person can clear a sign")
		}
	case curriculum.HandMove:
		switch {
		case ev.Behaviour == "":
			return lacks("behaviour")
		case ev.Step == "" && !ev.Kept:
			return lacks("a step to move to, or kept")
		case ev.Kept && (ev.Step != "" || len(ev.Level) > 0):
			return slipf(-1, codeEvent, "a move goes to a step or says kept, not both")
		case ev.By == "":
			k.mention(line, 0, codeBy, "a move by hand should say by whom it was made")
		}
	case curriculum.NoteTaken:
		if ev.Note == "" {
			return lacks("the note's words")
		}
	}
	return nil
}

// odd mentions fields that belong to the other kind of line, once a source each.
func (d *draft) odd(k *sink, line int, not fields, other string) {
	for s := uint32(d.given & not); s != 0; s &= s - 1 {
		f := field(bits.TrailingZeros32(s))
		k.mentionOnce("odd "+f.String()+other, line, 0, codeOdd, f.String()+" belongs to "+other+"; the line was read without it")
	}
}

// eventKind is the kind of that name; the slip names the nearest.
func eventKind(b []byte, at int) (curriculum.EventKind, *slip) {
	switch string(b) {
	case "sign":
		return curriculum.SignSeen, nil
	case "clear":
		return curriculum.SignCleared, nil
	case "move":
		return curriculum.HandMove, nil
	case "note":
		return curriculum.NoteTaken, nil
	}
	return "", slipf(at, codeEvent, "an event is sign, clear, move or note, not %s%s", quoteShort(b),
		didYouMean(string(b), []string{"sign", "clear", "move", "note"}))
}

// outcomeOf is the outcome of that name; the slip names the nearest.
func outcomeOf(b []byte, at int) (curriculum.Outcome, *slip) {
	switch string(b) {
	case "success":
		return curriculum.Success, nil
	case "wrong":
		return curriculum.Wrong, nil
	case "silent":
		return curriculum.Silent, nil
	case "opt-out":
		return curriculum.OptOut, nil
	case "void":
		return curriculum.Void, nil
	}
	hint := didYouMean(string(b), []string{"success", "wrong", "silent", "opt-out", "void"})
	switch string(b) {
	case "helped":
		hint = `; a helped trial is a success with "help" beside it`
	case "miss", "error", "fail", "failure", "incorrect":
		hint = "; a miss is wrong, or silent where the dog did nothing"
	case "correct", "yes", "ok", "hit", "pass":
		hint = `; is "success" meant?`
	case "none", "no response", "no-response", "nothing":
		hint = `; is "silent" meant?`
	case "abort", "aborted", "spoiled":
		hint = `; is "void" meant?`
	}
	return 0, slipf(at, codeOutcome, "the outcome is success, wrong, silent, opt-out or void, not %s%s", quoteShort(b), hint)
}

// addMeasure adds a number; latency, duration and distance may not be below nought, and no measure may come twice.
func addMeasure(t *curriculum.Trial, name string, v float64, at int) *slip {
	if v < 0 && (name == "latency" || name == "duration" || name == "distance") {
		return slipf(at, codeNumber, "%s cannot be below nought", name)
	}
	for i := range t.Measures {
		if t.Measures[i].Name == name {
			return slipf(at, codeTwice, "%s is given twice", name)
		}
	}
	t.Measures = append(t.Measures, curriculum.MeasureValue{Name: name, Value: v})
	return nil
}

// addLevel adds a ramp's value; no ramp may come twice.
func addLevel(n *interner, t *curriculum.Trial, of string, text []byte, at int) *slip {
	for i := range t.Level {
		if t.Level[i].Of == of {
			return slipf(at, codeTwice, "the level gives %s twice", of)
		}
	}
	v, ok := n.level(of, text)
	// a name begins with a letter, so what begins as a number is one with a slip in it
	if ok && v.Name != "" && of != curriculum.PieceRamp && (text[0]-'0' <= 9 || text[0] == '-' || text[0] == '.') {
		return slipf(at, codeLevel, "the level's %s is %s, which is no number with a unit such as 30 deg; ramps have commas between them", of, quoteShort(text))
	}
	if !ok {
		want := `a value such as "30 deg"`
		if of == curriculum.ThinRamp {
			want = `a reward schedule such as "variable ratio 2"`
		}
		return slipf(at, codeLevel, "the level's %s wants %s, not %s", of, want, quoteShort(text))
	}
	t.Level = append(t.Level, curriculum.NamedValue{Of: of, LevelValue: v})
	return nil
}
