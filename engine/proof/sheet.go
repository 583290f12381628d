package proof

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"example.com/rung/curriculum"
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
	"nice", "nicely", "well", "good", "better", "great", "properly", "correctly", "perfectly", "fine", "ok", "okay", "decent", "decently",
	"happy", "happily", "willing", "willingly", "keen", "keenly", "calm", "calmly", "confident", "confidently", "reliable", "reliably", "attentive", "focused", "engaged",
	"tries", "try", "understands", "understand", "knows", "know", "wants", "want", "likes", "respects", "obeys", "listens", "behaves",
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

// ---- what nobody uses ---------------------------------------------------------------------------------------

const (
	codeUnused   = "unused"
	codeNearName = "near-name"
)

var nameCodes = []codeEntry{
	{
		Code: codeUnused, Severity: Warning, Title: "declared and not used",
		Means: "A marker, a piece of equipment, a measure, a criterion, a caution or a ladder is declared and nothing uses it. Often a line was forgotten, or a name was mended in one place only. " +
			"Looked at in whole curricula only: in one with a name, and in a text that is all in one file.",
		Faulty:   "rung 1\ncriterion steady = 4 of last 5\nbehaviour settle {\n" + cueTail,
		Repaired: "rung 1\nbehaviour settle {\n" + cueTail,
	},
	{
		Code: codeNearName, Severity: Warning, Title: "a prompt's name that is nearly another's",
		Means:    "A prompt or help stands in one step only and is one letter away from one that stands in several. If they are the same thing, help by it is taken for help beyond the prompts.",
		Faulty:   "rung 1\nbehaviour settle {\n  step a \"follows 1 m\" {\n    prompt palms\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step b \"follows 2 m\" {\n    prompt palm\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step c \"follows 3 m\" {\n    prompt palm\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n  step a \"follows 1 m\" {\n    prompt palm\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step b \"follows 2 m\" {\n    prompt palm\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step c \"follows 3 m\" {\n    prompt palm\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
	},
}

var nameChecks = []check{
	{[]string{codeUnused}, (*subject).unused},
	{[]string{codeNearName}, (*subject).nearNames},
}

// complete reports whether all that could use a declaration is here.
func (s *subject) complete() bool {
	if s.whole() {
		return true
	}
	file := ""
	for i, n := range s.names() {
		if i == 0 {
			file = n.at.File
		} else if n.at.File != file {
			return false
		}
	}
	return len(s.c.Behaviours) > 0
}

func (s *subject) unused() {
	if !s.complete() {
		return
	}
	used := s.usedNames()
	look := func(kind, name string, at curriculum.Pos) {
		if used[kind+" "+name] {
			return
		}
		s.report(Finding{Code: codeUnused, Pos: at, Text: fmt.Sprintf("%s %s is declared, and nothing uses it", kind, name), Help: "use it or delete it"})
	}
	for _, x := range s.c.Markers {
		look("marker", x.Name, x.Pos)
	}
	for _, x := range s.c.Equipment {
		look("equipment", x.Name, x.Pos)
	}
	for _, x := range s.c.Measures {
		look("measure", x.Name, x.Pos)
	}
	for _, x := range s.c.Criteria {
		look("criterion", x.Name, x.Pos)
	}
	for _, x := range s.c.Cautions {
		look("caution", x.Name, x.Pos)
	}
	for _, x := range s.c.Ladders {
		if !x.Climbed {
			look("ladder", x.Name, x.Pos)
		}
	}
}

// usedNames are the names that something uses, each behind its kind.
func (s *subject) usedNames() map[string]bool {
	used := map[string]bool{}
	sheet := func(x curriculum.Sheet) {
		used["marker "+x.Mark] = true
		for _, n := range x.Equipment {
			used["equipment "+n] = true
		}
		for _, n := range x.Cautions {
			used["caution "+n] = true
		}
	}
	criterion := func(c curriculum.Criterion) {
		parts(c, func(p curriculum.Criterion) {
			if n, ok := p.(curriculum.Named); ok {
				used["criterion "+n.Name] = true
			}
		})
		for _, m := range s.measuresOf(c) {
			used["measure "+m] = true
		}
	}
	for _, b := range s.c.Behaviours {
		sheet(b.Sheet)
		for _, r := range b.Lapse {
			criterion(r.When)
		}
		for _, st := range b.Steps {
			sheet(st.Sheet)
			for _, r := range st.Rules {
				criterion(r.When)
			}
			for _, r := range st.Ramps {
				used["measure "+r.Of] = true
			}
			if st.Reward != nil {
				used["measure "+st.Reward.Measure] = true
			}
		}
	}
	return used
}

func (s *subject) nearNames() {
	count := map[string]int{}
	seen := map[curriculum.Pos]map[string]bool{} // a ladder's step counts once
	var order []struct {
		name string
		p    place
	}
	for _, p := range s.places() {
		for _, n := range append(slices.Clone(p.step.Prompts), p.step.Help...) {
			if p.step.Pos.Line > 0 {
				if seen[p.step.Pos] == nil {
					seen[p.step.Pos] = map[string]bool{}
				}
				if seen[p.step.Pos][n] {
					continue
				}
				seen[p.step.Pos][n] = true
			}
			count[n]++
			order = append(order, struct {
				name string
				p    place
			}{n, p})
		}
	}
	for _, o := range order {
		if count[o.name] != 1 || len(o.name) < 4 {
			continue
		}
		for _, x := range order {
			if count[x.name] > 1 && len(x.name) >= 4 && distance(o.name, x.name) == 1 {
				f := o.p.finding(codeNearName, o.p.step.Pos, "%s stands here only, and %s in %d steps: is it the same?", o.name, x.name, count[x.name])
				f.Help = "write " + x.name
				s.report(f)
				break
			}
		}
	}
}
