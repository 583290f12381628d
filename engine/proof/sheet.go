package proof

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

const (
	codeVague  = "vague"
	codeUnsaid = "unsaid"
)

var sheetCodes = []codeEntry{
	{
		Code: codeVague, Severity: Warning, Title: "a success sentence that two people judge differently",
		Means: "The sentence says how the dog is or how well it does it (nicely, calmly, wants to), and gives no number. Two people then count differently, and every rule stands on what they count. " +
			"Say what can be seen: which part of the dog does what, how far, how long, within how many seconds.",
		Faulty:   "rung 1\nbehaviour settle {\n  success \"dog is doing it nicely\"\n" + cueTail,
		Repaired: "rung 1\nbehaviour settle {\n  success \"elbows touch the mat within 3 s\"\n" + cueTail,
	},
	{
		Code: codeUnsaid, Severity: Note, Title: "nothing says what counts",
		Means:    "The step has no success sentence, its behaviour has none and the step has no text in quotes, so the sheet cannot say what to count as good. Write one sentence that a junior can judge.",
		Faulty:   "rung 1\nbehaviour settle {\n  step go {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n  step go {\n    success \"elbows touch the mat within 3 s\"\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
	},
}

var sheetChecks = []check{{[]string{codeVague, codeUnsaid}, (*subject).successSentences}}

// judging are words that say what somebody thinks of the dog instead of what can be seen.
var judging = []string{
	"nice", "nicely", "well", "good", "better", "great", "proper", "properly", "correct", "correctly", "perfect", "perfectly", "fine", "ok", "okay", "decent", "decently",
	"smooth", "smoothly", "acceptable", "satisfactory", "adequate", "adequately", "polite", "politely", "friendly",
	"happy", "happily", "willing", "willingly", "keen", "keenly", "eager", "eagerly", "enthusiastic", "enthusiastically", "calm", "calmly", "relaxed", "comfortable", "comfortably",
	"confident", "confidently", "reliable", "reliably", "attentive", "attentively", "focused", "focuses", "engaged", "engages", "cooperative", "cooperates",
	"tries", "try", "understands", "understand", "knows", "know", "wants", "want", "likes", "enjoys", "loves", "respects", "obeys", "listens", "behaves", "concentrates",
}

// countWords are numbers that are written out, and words that stand for one.
var countWords = []string{
	"one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "twelve", "twenty", "thirty", "once", "twice", "both", "half", "each", "all", "every",
}

// vague is the judging word of a sentence without a number, or "".
func vague(sentence string) string {
	if strings.ContainsFunc(sentence, unicode.IsDigit) {
		return ""
	}
	words := letterWords(sentence)
	if slices.ContainsFunc(words, func(w string) bool { return slices.Contains(countWords, w) }) {
		return ""
	}
	if i := slices.IndexFunc(words, func(w string) bool { return slices.Contains(judging, w) }); i >= 0 {
		return words[i]
	}
	return ""
}

func (s *subject) successSentences() {
	for _, b := range s.c.Behaviours {
		reported := map[string]bool{}
		for i, st := range b.Steps {
			sheet := b.SheetOf(i)
			f := Finding{Pos: orPos(sheet.SuccessAt, st.Pos), Behaviour: b.Name}
			if st.Sheet.Success != "" || b.Sheet.Success == "" {
				f.Step = st.Name
			}
			switch word := vague(sheet.Success); {
			case word != "":
				f.Code = codeVague
				f.Text = fmt.Sprintf("%q cannot be judged alike by two people: %q is an opinion, and no number stands beside it", sheet.Success, word)
				f.Help = "say what can be seen, with a number: which part of the dog does what, how far, how long, how soon"
			case sheet.Success == "":
				f.Code, f.Step = codeUnsaid, st.Name
				f.Text = fmt.Sprintf("nothing says what counts as a success at %s", st.Name)
				f.Help = `add: success "..."`
			default:
				continue
			}
			if key := f.Code + sheet.Success; !reported[key] { // once for a sentence that many steps share
				reported[key] = true
				s.report(f)
			}
		}
	}
}
