package dsl

import (
	"slices"
	"strings"
)

// What participle expected, said in a trainer's words. Participle spells it as EBNF: words in quotes, names of
// productions, brackets, ? * + and |.

// wantedNames are the productions and leaves in words.
var wantedNames = map[string]string{
	"name": "a name", "prefix": "a word to put before the steps' names", "text": "a sentence in quotes", "value": "a number", "amount": "an amount",
	"braces": "an expression in braces, such as { latency < 2 }", "compare": "<=, <, >=, > or ==", "mark": "a tally mark: + - h e 0 o! or x",
	"condition": "a criterion, such as 4 of last 5", "chain": "a criterion, such as 4 of last 5", "term": "a criterion, such as 4 of last 5",
	"primary": "a criterion, such as 4 of last 5", "head": "a count, such as 1 wrong of last 4",
	"bound": `"most" and a count, or "least" and a percentage`, "times": "a number of times, such as twice or 3 times",
	"window": "last 5, each 5 or a session of at least 10 trials", "sequential": "two percentages, such as 60% against 90%",
	"after": "how long, such as 20 trials, 3 sessions or 7 days", "inwords": "this session, a row, 3 sessions, 2 places, 2 handlers or 2 days",
	"statistic": "a measure", "foodpart": "an amount, eaten in, contains or extra", "equipmentitem": "a name",
	"schedule": "a reward schedule, such as every success or variable ratio 3", "levels": "one level, or a number of levels",
	"limit": "a limit, such as 30 trials", "cappart": "a limit, such as 6 trials a session", "levelpart": "a level, such as turn 30 deg",
	"needpart": "a behaviour's name", "cueitem": `a spoken word in quotes, or a kind of cue and a text, such as hand "left hand sweeps"`,
	"measured": "what was recorded, such as latency 1.4 s or rewarded", "dogpart": "a fact of the dog, such as 14 months old, 20 kg or avoids chicken",
	"thenpart": "at and a step, is and a state, or notes stop",
}

// valuesAfter say what kind of number a word asks for.
var valuesAfter = map[string]string{
	"least": "a percentage, such as 80%", "best": "a percentage, such as 60%", "against": "a percentage, such as 90%",
	"up": "a percentage, such as 5%", "down": "a percentage, such as 10%", "with": "a percentage, such as 95%",
	"sequential": "a percentage, such as 60%", "from": "the easiest bar, such as 30 deg",
	"within": "a time, such as 2 s", "holding": "a time, such as 5 s", "lasts": "a time, such as 5 min", "takes": "a time, such as 20 s",
	"grain": "an amount, such as 15 deg", "rung": "the version of the language, 1", "interval": "a time, such as 10 s",
	"duration": "a time, such as 10 s", "ratio": "a number, such as 3", "by": "an amount, such as 30 deg",
}

// valuesIn say what kind of number a statement asks for.
var valuesIn = map[string]string{
	"ramp": "a level, such as 30 deg or people", "review": "a time, such as 3 days", "food": "an amount, such as 1.5 kcal",
	"climb": "a number, an amount or a name", "keep": "a percentage, such as 75%", "rest": "a time, such as 1 min", "after": "a number of days, such as 21 days",
}

// namesAfter say what kind of name a word asks for.
var namesAfter = map[string]string{
	"to": "a step's name", "until": "a step's name", "climb": "a ladder's name", "mark": "a marker's name",
	"behaviour": "a name for the behaviour, such as pivot-left", "step": "a step's name, such as follow", "ladder": "a name for the ladder",
	"criterion": "a name for the criterion, such as steady", "marker": "a name for the marker", "food": "a name for the food",
	"measure": "a name for the measure", "caution": "a caution's name", "as": "care, impact, lively, calm or safety",
	"with": "a behaviour's name", "needs": "a behaviour's name", "after": "a behaviour's name", "allow": "the code of a finding",
	"median": "a measure, such as latency", "mean": "a measure, such as latency", "best": "a measure, such as latency",
	"worst": "a measure, such as latency", "for": "a measure's name", "ramp": "what grows, such as duration or distraction",
	"sign": "a sign's name, such as limp", "expect": "a behaviour's name, or plan", "start": "a behaviour's name", "case": "a behaviour's name",
	"avoids": "a food's name, or what it contains", "senses": "a kind of cue, such as hand", "is": "a state, such as working", "at": "a step's name",
	"clear": "a sign's name, such as limp", "by": "a name",
}

// wanted says what should stand behind the words before.
func wanted(want string, before []token) string {
	var words, out []string
	for _, w := range firstOf(want) {
		if lit, ok := strings.CutPrefix(w, `"`); ok {
			words = append(words, quoted(strings.TrimSuffix(lit, `"`)))
			continue
		}
		out = append(out, wantedLeaf(strings.ToLower(w), before))
	}
	// singular and plural of one word are one
	words = slices.DeleteFunc(words, func(w string) bool {
		return slices.ContainsFunc(words, func(v string) bool {
			return v == strings.TrimSuffix(w, `"`)+`s"` || v == strings.TrimSuffix(w, `s"`)+`es"`
		})
	})
	out = append(words, out...)
	out = slices.Compact(out)
	switch n := len(out); n {
	case 0:
		return "something else"
	case 1:
		return out[0]
	default:
		return strings.Join(out[:n-1], ", ") + " or " + out[n-1]
	}
}

func wantedLeaf(leaf string, before []token) string {
	first, last := "", ""
	if len(before) > 0 {
		first, last = before[0].Value, before[len(before)-1].Value
	}
	switch leaf {
	case "value":
		if s := valuesAfter[last]; s != "" {
			return s
		}
		if s := valuesIn[first]; s != "" {
			return s
		}
	case "name":
		if s := namesAfter[last]; s != "" {
			return s
		}
	}
	if s := wantedNames[leaf]; s != "" {
		return s
	}
	return leaf
}

// wantedWords are the words that could stand there.
func wantedWords(want string) []string {
	var out []string
	for _, w := range firstOf(want) {
		if lit, ok := strings.CutPrefix(w, `"`); ok {
			out = append(out, strings.TrimSuffix(lit, `"`))
		}
	}
	return out
}

// firstOf is what an EBNF expression can begin with: words in quotes and names of productions.
func firstOf(ebnf string) []string {
	r := &ebnfReader{text: ebnf}
	first, _ := r.alternatives()
	return first
}

type ebnfReader struct {
	text string
	at   int
}

func (r *ebnfReader) peek() byte {
	for r.at < len(r.text) && r.text[r.at] == ' ' {
		r.at++
	}
	if r.at == len(r.text) {
		return 0
	}
	return r.text[r.at]
}

// alternatives are sequences with | between them; optional says whether all of it may be absent.
func (r *ebnfReader) alternatives() (first []string, optional bool) {
	for {
		f, opt := r.sequence()
		first, optional = append(first, f...), optional || opt
		if r.peek() != '|' {
			return first, optional
		}
		r.at++
	}
}

func (r *ebnfReader) sequence() (first []string, optional bool) {
	optional = true
	for {
		c := r.peek()
		if c == 0 || c == '|' || c == ')' {
			return first, optional
		}
		f, opt := r.atom()
		if optional {
			first = append(first, f...)
		}
		optional = optional && opt
	}
}

func (r *ebnfReader) atom() (first []string, optional bool) {
	start := r.at
	switch c := r.text[r.at]; c {
	case '(':
		r.at++
		first, optional = r.alternatives()
		r.at = min(r.at+1, len(r.text))
	case '"':
		if i := strings.IndexByte(r.text[r.at+1:], '"'); i >= 0 {
			r.at += i + 2
		} else {
			r.at = len(r.text)
		}
		first = []string{r.text[start:r.at]}
	default:
		for r.at++; r.at < len(r.text) && !strings.ContainsRune(" ()|?*+", rune(r.text[r.at])); {
			r.at++
		}
		first = []string{strings.Trim(r.text[start:r.at], "<>")}
	}
	if r.at < len(r.text) {
		switch r.text[r.at] {
		case '?', '*':
			r.at++
			return first, true
		case '+':
			r.at++
		}
	}
	return first, optional
}

// hintFor is the help text for what people are likely to have meant, "" for none. tokens are the statement's, at the
// index of the one that did not fit.
func hintFor(tokens []token, at int) string {
	word := func(i int) string {
		if i < 0 || i >= len(tokens) {
			return ""
		}
		return tokens[i].Value
	}
	switch first := word(0); {
	case first == "reward" && (at == 2 || at == 3) && word(1) == "every" || first == "reward" && at == 1:
		return "expected.reward"
	case first == "marker" && at >= 2:
		return "expected.marker"
	case first == "at" && at >= 2:
		return "expected.limit"
	case first == "review" && at >= 1:
		return "expected.review"
	case first == "climb" && at > 3 && reservedWords[word(at)]:
		return "expected.climb"
	case first == "ramp" && at >= 2:
		return "expected.ramp"
	case first == "split" && word(at-1) != "when":
		return "expected.split"
	case first == "needs" && at >= 2:
		return "expected.needs"
	case (ruleWords[first] || first == "criterion") && at > 1 && tokens[at-1].Type == tNumber:
		return "expected.window"
	}
	return ""
}
