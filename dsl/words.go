package dsl

import "slices"

// The words of the language. EBNF in LANGUAGE.md lists every one of them; a test compares.

// reservedWords can begin or go on a criterion, and `when` stands before one: none of them can be a name.
var reservedWords = wordSet("at", "done", "not", "sequential", "median", "mean", "best", "worst", "after", "eased", "first",
	"of", "last", "each", "in", "even", "within", "holding", "where", "among", "and", "or", "twice", "when",
	"misses", "miss", "wrong", "silent", "helped", "opt-outs", "opt-out")

// unitWords are units where they stand right behind a number; elsewhere they may be names.
var unitWords = wordSet("s", "min", "h", "day", "days", "week", "weeks", "cm", "m", "deg", "kcal", "g", "kg")

// unitSpellings are units as people write them, and the language's spelling.
var unitSpellings = map[string]string{
	"sec": "s", "secs": "s", "second": "s", "seconds": "s", "mins": "min", "minute": "min", "minutes": "min",
	"hr": "h", "hrs": "h", "hour": "h", "hours": "h", "wk": "week", "wks": "weeks",
	"metre": "m", "metres": "m", "meter": "m", "meters": "m", "mtr": "m",
	"centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
	"degree": "deg", "degrees": "deg", "degs": "deg", "°": "deg", "percent": "%", "pct": "%", "per-cent": "%",
	"kcals": "kcal", "calorie": "kcal", "calories": "kcal", "cal": "kcal", "cals": "kcal", "kilocalorie": "kcal", "kilocalories": "kcal",
	"gram": "g", "grams": "g", "gramme": "g", "grammes": "g", "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg",
}

// numberWords are numbers as people say them.
var numberWords = map[string]string{
	"one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9",
	"ten": "10", "eleven": "11", "twelve": "12", "fifteen": "15", "twenty": "20", "thirty": "30",
}

// place is where a statement stands.
type place uint8

const (
	atTop place = iota
	inCurriculum
	inLadder
	inBehaviour
	inStep
	inSession
	inExample
)

// placeNames say it in words, for messages.
var placeNames = [...]string{
	atTop: "at the top level", inCurriculum: "in a curriculum block", inLadder: "in a ladder", inBehaviour: "in a behaviour",
	inStep: "in a step", inSession: "in a session block", inExample: "in an example",
}

// statementWords are the words that begin a statement, by place. An example's trial lines begin with a behaviour's name.
var statementWords = [...][]string{
	atTop: {"rung", "curriculum", "use", "marker", "food", "place", "handler", "equipment", "measure", "sign", "criterion",
		"caution", "ladder", "behaviour", "session", "example", "allow"},
	inCurriculum: {"edition", "for", "course"},
	inLadder:     {"step", "chain"},
	inBehaviour: {"cue", "do", "success", "pay", "side", "set-up", "mark", "equipment", "caution", "takes", "needs", "better",
		"never", "pairs", "formerly", "review", "lapse", "climb", "change", "step", "chain", "counts", "at", "allow"},
	inStep: {"prompt", "help", "reward", "ramp", "thin", "raise", "advance", "ease", "split", "stop", "flag", "skip", "decide",
		"do", "success", "mark", "pay", "side", "set-up", "cue", "equipment", "caution", "takes", "formerly", "allow", "at",
		"place", "choice"},
	inSession: {"lasts", "at", "opens", "closes", "extras", "keep", "rest", "nothing", "after"},
	inExample: {"dog", "start", "session", "sign", "clear", "case", "expect"},
}

// blockWords are the statements that open a block, and what is inside.
var blockWords = map[string]place{
	"curriculum": inCurriculum, "ladder": inLadder, "behaviour": inBehaviour, "session": inSession, "example": inExample,
	"step": inStep, "change": inStep, "chain": inStep,
}

// ruleWords begin a rule.
var ruleWords = wordSet("advance", "ease", "split", "stop", "flag", "skip", "lapse")

// expressionWords begin a statement in which a { is an expression's, never a block's.
var expressionWords = wordSet("criterion", "caution", "needs", "advance", "ease", "split", "stop", "flag", "skip", "lapse")

// listWords begin a statement that is a list of names.
var listWords = wordSet("place", "handler", "prompt", "help", "equipment", "needs", "better", "formerly", "cue", "counts", "choice")

// textWords begin a statement that is a text.
var textWords = wordSet("edition", "for", "do", "success", "pay", "side", "set-up")

// declaringWords begin a statement in which names are given.
var declaringWords = wordSet("behaviour", "ladder", "step", "session", "criterion", "marker", "food", "measure", "caution", "place",
	"handler", "equipment", "sign", "prompt", "help", "formerly", "choice")

// allStatementWords are the words of all places; at and after also go on criteria and are left out.
var allStatementWords = func() map[string]bool {
	out := map[string]bool{}
	for _, words := range statementWords {
		for _, w := range words {
			out[w] = w != "at" && w != "after"
		}
	}
	return out
}()

func wordSet(words ...string) map[string]bool {
	out := make(map[string]bool, len(words))
	for _, w := range words {
		out[w] = true
	}
	return out
}

func allowed(p place, word string) bool { return slices.Contains(statementWords[p], word) }
