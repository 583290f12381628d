package engine

import "slices"

// pages say what the codes of refusals and reports mean.
var pages = map[string]string{
	CodeBroken:  "A curriculum that a program built does not hold together, such as a behaviour without steps or a rule that leads to a step that is not there. A curriculum read from a text never has this.",
	CodeTooLong: "A window, a ramp or a list of rules is longer than the engine holds. Each limit is named in the text of the refusal.",

	CodeNoDog:            "The line names no dog.",
	CodeNoTime:           "The line has no time, so its place in the order is not known.",
	CodeNoOutcome:        "The trial has no outcome and carries no measure that its level ramps over, so nothing says how it went.",
	CodeBadOutcome:       "The outcome is none of success, wrong, silent, opt-out and void.",
	CodeBadMeasure:       "What was measured is not a number, has no end, or is a time or a distance below nought. Leave the measure out, or write what was read off.",
	CodeUnknownBehaviour: "The curriculum has no behaviour of that name. If it was renamed, write `formerly OLD-NAME` in the behaviour.",
	CodeUnknownStep:      "The behaviour has no step of that name. If it was renamed, write `formerly OLD-NAME` in the step.",
	CodeUnknownLevel:     "A move by hand names a level that its step does not have.",
	CodeBadEvent:         "The event is of no known kind, or lacks what its kind needs: a sign names a sign, a clear also who cleared it, a move where to.",
	CodeEarlier:          "The line is earlier than the last one taken of its dog. Reading a whole history sorts it; taking lines one at a time does not.",
	CodeTwin:             "Another line bears the same id. The first stands; this one was not read.",

	CodeUndeclaredPlace:   "The trial was recorded at a place that the curriculum does not declare. It counts, but belongs to no place of the rules.",
	CodeUndeclaredHandler: "The trial was recorded with a handler that the curriculum does not declare. It counts, but belongs to no handler of the rules.",
	CodeUndeclaredMeasure: "The trial carries a measure that the curriculum does not declare. No rule can ask for it.",
	CodeUndeclaredHelp:    "The help is named in no step. It is taken for help beyond the step's prompts.",
	CodeUndeclaredSign:    "The sign is not declared. One that is spelled much like a declared one is taken for that, since a lock too many costs a question; any other locks nothing, and stands on every plan and standing until a named person clears it. Mend its name in the log, or declare it.",
	CodeUnlistedLevel:     "The trial names a level that its step does not list. It was kept, and feeds no rule.",
	CodeUnlistedPiece:     "The trial says that a piece failed which its step does not run. The trial counts as always; the piece is counted nowhere.",
	CodeDisagrees:         "What was measured, or the piece said to have failed, and the outcome that was written say different things. The written outcome stands.",
	CodeMeasureMissing:    "The measures decide this trial, and one that its level ramps over was not recorded. It counts as not met.",
	CodeWaiting:           "The behaviour may not begin yet: something it needs is missing. The trial was kept and feeds no rule, also later.",
	CodePaused:            "The behaviour is paused, as it has lost something it firmly needs. The trial was kept and feeds no rule, also later.",
	CodeNoStepAfterMove:   "The behaviour moved earlier in this session, and the trial does not say which step it was. It was counted where the dog stood by then; write the step where that is not meant.",
	CodeSessionReopened:   "The trial bears the id of a session that was over. It belongs to it, and the session was closed again.",
	CodeSessionLong:       "Two trials of one session lie twelve hours or more apart. Is the session's id written twice?",
	CodeNoProfile:         "The curriculum asks for a fact of the dog, and no profile was given. What is not known does not meet a need.",
	CodeTrainedLocked:     "The dog was trained while a welfare sign was not cleared. The trial counts; somebody should look into it.",
	CodeNothingToClear:    "A sign was cleared that had not been seen, or had been cleared before.",
	CodeUnsigned:          "A move by hand names nobody who made it.",
	CodeSpoiledSession:    "Three trials of one session were void. Where people or the world spoil so many, the place, the time or the set-up is not fit for work today. A void is written before anybody judges the trial; a miss that is called void afterwards only hides how it went.",
	CodePaidErrors:        "More than 15% of the newest twenty trials whose log says whether they were paid were misses that were paid. That never changes what counts, but the dog learns from it: look at the marker and at the hand with the food.",
	CodeFunctionBroke:     "A function that the program around this one lends to conditions in braces panicked. A condition that calls it does not hold then, so a rule may not have been seen to hold. Whoever wrote the program mends the function and replays the history.",
}

// Codes lists every code of refusals and reports, sorted.
func Codes() []string {
	out := make([]string, 0, len(pages))
	for code := range pages {
		out = append(out, code)
	}
	slices.Sort(out)
	return out
}

// Explain says in a sentence or two what a code of this package means.
func Explain(code string) (string, bool) {
	text, ok := pages[code]
	return text, ok
}
