package plan

import "slices"

// codePages say what it means that a behaviour is left out for a reason, and what would change it.
var codePages = map[Code]string{
	Locked:       "A welfare sign was seen that locks the behaviour, and no named person has cleared it. Write down who looked at the dog and cleared it: clear SIGN by NAME in the tally book, an event clear in a log. No rule and no flag lifts it.",
	SessionEnded: "A sign ended the session that is still open. Let the dog rest; the next session, half an hour later at the earliest, may have the behaviour again.",
	Profile:      "The dog's profile says that it is not for this dog, or not at the level that comes next. A profile may only tighten what the curriculum allows.",
	Stopped:      "A stop rule held, or a sign ended the behaviour, in the session that is still open. It stays out for that session and half an hour after its last trial.",
	Waiting:      "Something that it needs is not there: another behaviour is not far enough, or the dog is too young, too light or unknown. The reason names what is missing; rung why says how far it is.",
	CapReached:   "Its own limit of trials or sessions a day or week, or the limit of impact work, is used up. It is in again when the day or week is over.",
	WrongPlace:   "Its step is trained at certain places, and this is none of them. Plan at one of those, or give the place with --place.",
	NoOrder:      "Care work is never planned straight after lively work, and nothing calm is in that could come between. Open with something calm, or give the care work a session of its own.",
	TooWarm:      "It is too warm for lively work, by the session's rules or the dog's profile. Take a cooler hour or shade, and something calm until then.",
	NoEquipment:  "It needs things that are not at hand. Give them with --equipment when you have them.",
	NoCue:        "The dog can sense none of its cues, by what its profile says. Give the behaviour a cue of another kind.",
	PairAhead:    "It is ahead of its partner, and the two are to be kept alike. It is in again when the partner has caught up.",
	Unbalanced:   "Its partner had fewer trials in the last seven days, and both sides are to be worked alike.",
	NotDue:       "It is finished, and its next review is not due yet, or none is laid down.",
	NeverWith:    "It must be kept apart from a behaviour that is in the plan, until both are far enough.",
	NewLimit:     "The session has as many new behaviours as it may have.",
	Minutes:      "The minutes of the session do not hold it beside what is more urgent.",
	NoFood:       "The food at hand, or what the dog may have of it today, does not pay for it beside what is more urgent.",
	TooHard:      "With it too few of the session's trials would succeed, by what the dog did lately.",
	LimitReached: "The session has as many trials or behaviours as it may have, and other work is more urgent.",
}

// Codes lists every code of LeftOut, sorted.
func Codes() []Code {
	out := make([]Code, 0, len(codePages))
	for code := range codePages {
		out = append(out, code)
	}
	slices.Sort(out)
	return out
}

// Explain says in a sentence or two what a code of LeftOut means and what would change it.
func Explain(code Code) (string, bool) {
	text, ok := codePages[code]
	return text, ok
}
