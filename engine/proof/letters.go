package proof

import (
	"fmt"
	"strings"
	"unicode"

	"example.com/rung/curriculum"
)

const (
	codeHiddenMarks    = "hidden-marks"
	codeMixedLetters   = "mixed-letters"
	codeNamesLookAlike = "names-look-alike"
)

var letterCodes = []codeEntry{
	{
		Code: codeHiddenMarks, Severity: Error, Title: "marks that nobody sees",
		Means: "A name or sentence holds a character that is not seen, such as a mark that turns the direction of writing, a zero-width space or a soft hyphen. " +
			"What is printed can then read otherwise than what is meant. The reader refuses the worst of them; curricula built by a program may hold any.",
		Faulty:   "rung 1\nbehaviour settle {\n  cue \"m\u200bat\"\n" + cueTail,
		Repaired: "rung 1\nbehaviour settle {\n  cue \"mat\"\n" + cueTail,
	},
	{
		Code: codeMixedLetters, Severity: Warning, Title: "letters of two alphabets in one word",
		Means: "One word mixes Latin letters with Greek or Cyrillic ones that look like them. A search does not find it, and two such words look the same. " +
			"The table of look-alikes is short and our own, from memory.",
		Faulty:   "rung 1\nbehaviour settle {\n  cue \"m\u0430t\"\n" + cueTail,
		Repaired: "rung 1\nbehaviour settle {\n  cue \"mat\"\n" + cueTail,
	},
	{
		Code: codeNamesLookAlike, Severity: Warning, Title: "names that look the same",
		Means:    "Two names of one kind are told apart by capitals, or by signs that look alike in many types (l, I and 1, O and 0, rn and m). On a sheet in the rain they are one. Rename one of them; `formerly` keeps the old logs.",
		Faulty:   "rung 1\nbehaviour turn-l {\n" + cueTail + "behaviour turn-1 {\n" + cueTail,
		Repaired: "rung 1\nbehaviour turn-left {\n" + cueTail + "behaviour turn-1 {\n" + cueTail,
	},
}

var letterChecks = []check{
	{[]string{codeHiddenMarks, codeMixedLetters}, (*subject).letters},
	{[]string{codeNamesLookAlike}, (*subject).namesLookAlike},
}

// said is a text of the curriculum with its place.
type said struct {
	what, text      string
	behaviour, step string
	at              curriculum.Pos
	spoken          bool // a word for the dog or a name, not a sentence for people
}

// texts lists what the curriculum says, in order.
func (s *subject) texts() []said {
	out := []said{{what: "the curriculum's name", text: s.c.Name, at: s.c.Pos}}
	for _, n := range s.names() {
		out = append(out, said{what: "the name of a " + n.kind, text: n.name, behaviour: n.behaviour, at: n.at, spoken: true})
	}
	for _, m := range s.c.Markers {
		out = append(out, said{what: "the marker", text: m.Text, at: m.Pos, spoken: true})
	}
	for _, k := range s.c.Cautions {
		out = append(out, said{what: "the caution", text: k.Text, at: k.Pos})
	}
	sheet := func(b, step string, at curriculum.Pos, x curriculum.Sheet) {
		for _, q := range x.Cues {
			out = append(out, said{"the cue", q.Text, b, step, orPos(q.Pos, at), true})
		}
		for _, t := range []struct{ what, text string }{{"do", x.Do}, {"pay", x.Pay}, {"side", x.Side}, {"set-up", x.SetUp}} {
			out = append(out, said{what: "the text of " + t.what, text: t.text, behaviour: b, step: step, at: at})
		}
		out = append(out, said{what: "the success sentence", text: x.Success, behaviour: b, step: step, at: orPos(x.SuccessAt, at)})
	}
	for _, b := range s.c.Behaviours {
		out = append(out, said{what: "the text of " + b.Name, text: b.Text, behaviour: b.Name, at: b.Pos})
		sheet(b.Name, "", b.Pos, b.Sheet)
		for _, st := range b.Steps {
			out = append(out, said{what: "the text of " + st.Name, text: st.Text, behaviour: b.Name, step: st.Name, at: st.Pos})
			sheet(b.Name, st.Name, st.Pos, st.Sheet)
		}
	}
	return out
}

func (s *subject) letters() {
	for _, t := range s.texts() {
		f := Finding{Pos: t.at, Behaviour: t.behaviour, Step: t.step}
		if r, ok := hidden(t.text); ok {
			f.Code = codeHiddenMarks
			f.Text = fmt.Sprintf("%s holds a character that nobody sees (U+%04X)", t.what, r)
			f.Help = "type it anew"
			s.report(f)
		} else if w, ok := mixedWord(t.text); ok && t.spoken {
			f.Code = codeMixedLetters
			f.Text = fmt.Sprintf("%s mixes alphabets: %q only looks like %q", t.what, w, latin(w))
			f.Help = fmt.Sprintf("type it anew: %q", latin(w))
			s.report(f)
		}
	}
}

// hidden finds a character that is not seen: direction marks, zero widths, soft hyphens and other format characters.
func hidden(text string) (rune, bool) {
	for _, r := range text {
		if isHidden(r) {
			return r, true
		}
	}
	return 0, false
}

func isHidden(r rune) bool {
	return unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Zl, r) || unicode.Is(unicode.Zp, r)
}

// asSeen is a text as a reader takes it: without what nobody sees, and with look-alikes in words of Latin letters as the
// letters they look like.
func asSeen(text string) string {
	text = strings.Map(func(r rune) rune {
		if isHidden(r) {
			return -1
		}
		return r
	}, text)
	for {
		w, ok := mixedWord(text)
		if !ok {
			return text
		}
		text = strings.ReplaceAll(text, w, latin(w))
	}
}

// lookAlikes are Greek and Cyrillic letters that look like Latin ones: a short table of our own, from memory.
var lookAlikes = map[rune]rune{
	'а': 'a', 'в': 'b', 'с': 'c', 'е': 'e', 'һ': 'h', 'і': 'i', 'ј': 'j', 'к': 'k', 'м': 'm', 'о': 'o', 'р': 'p', 'ѕ': 's', 'т': 't', 'у': 'y', 'х': 'x', 'ԁ': 'd', 'ԛ': 'q', 'ԝ': 'w', 'ӏ': 'l',
	'А': 'A', 'В': 'B', 'С': 'C', 'Е': 'E', 'Н': 'H', 'І': 'I', 'Ј': 'J', 'К': 'K', 'М': 'M', 'О': 'O', 'Р': 'P', 'Ѕ': 'S', 'Т': 'T', 'У': 'Y', 'Х': 'X',
	'α': 'a', 'γ': 'y', 'ε': 'e', 'η': 'n', 'ι': 'i', 'κ': 'k', 'ν': 'v', 'ο': 'o', 'ρ': 'p', 'τ': 't', 'υ': 'u', 'χ': 'x', 'ω': 'w',
	'Α': 'A', 'Β': 'B', 'Ε': 'E', 'Ζ': 'Z', 'Η': 'H', 'Ι': 'I', 'Κ': 'K', 'Μ': 'M', 'Ν': 'N', 'Ο': 'O', 'Ρ': 'P', 'Τ': 'T', 'Υ': 'Y', 'Χ': 'X',
}

// mixedWord finds a word with both Latin letters and look-alikes.
func mixedWord(text string) (string, bool) {
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) }) {
		plain, other := false, false
		for _, r := range w {
			plain = plain || unicode.Is(unicode.Latin, r)
			other = other || lookAlikes[r] != 0
		}
		if plain && other {
			return w, true
		}
	}
	return "", false
}

// latin is a text with its look-alikes as the letters they look like.
func latin(text string) string {
	return strings.Map(func(r rune) rune {
		if l, ok := lookAlikes[r]; ok {
			return l
		}
		return r
	}, text)
}

// ---- names -----------------------------------------------------------------------------------------------------

// named is a name with what it names.
type named struct {
	kind, name, behaviour string
	at                    curriculum.Pos
}

// names lists every declared name, in order.
func (s *subject) names() []named {
	var out []named
	add := func(kind, name, behaviour string, at curriculum.Pos) {
		out = append(out, named{kind, name, behaviour, at})
	}
	for _, x := range s.c.Markers {
		add("marker", x.Name, "", x.Pos)
	}
	for _, x := range s.c.Foods {
		add("food", x.Name, "", x.Pos)
	}
	for i, x := range s.c.Places {
		add("place", x, "", posAt(s.c.PlacePos, i))
	}
	for i, x := range s.c.Handlers {
		add("handler", x, "", posAt(s.c.HandlerPos, i))
	}
	for _, x := range s.c.Equipment {
		add("piece of equipment", x.Name, "", x.Pos)
	}
	for _, x := range s.c.Measures {
		add("measure", x.Name, "", x.Pos)
	}
	for _, x := range s.c.Signs {
		add("sign", x.Name, "", x.Pos)
	}
	for _, x := range s.c.Criteria {
		add("criterion", x.Name, "", x.Pos)
	}
	for _, x := range s.c.Cautions {
		add("caution", x.Name, "", x.Pos)
	}
	for _, b := range s.c.Behaviours {
		add("behaviour", b.Name, b.Name, b.Pos)
		for _, st := range b.Steps {
			add("step of "+b.Name, st.Name, b.Name, st.Pos)
		}
	}
	return out
}

func posAt(ps []curriculum.Pos, i int) curriculum.Pos {
	if i < len(ps) {
		return ps[i]
	}
	return curriculum.Pos{}
}

// shape is a name as a tired eye sees it.
func shape(name string) string {
	return strings.NewReplacer("I", "l", "1", "l", "|", "l", "0", "o", "O", "o", "rn", "m", "vv", "w", "_", "-").Replace(latin(name))
}

func (s *subject) namesLookAlike() {
	type key struct{ kind, shape string }
	first := map[key]named{}
	for _, n := range s.names() {
		k := key{n.kind, strings.ToLower(shape(n.name))}
		o, taken := first[k]
		if !taken {
			first[k] = n
			continue
		}
		if o.name == n.name {
			continue
		}
		f := Finding{Code: codeNamesLookAlike, Pos: n.at, Behaviour: n.behaviour, Related: []Related{{o.at, o.name + " stands here"}}}
		if o.behaviour != "" && o.behaviour != n.behaviour {
			f.With = []string{o.behaviour}
		}
		f.Text = fmt.Sprintf("%s and %s are hard to tell apart", o.name, n.name)
		f.Help = "rename one of them"
		if n.kind == "behaviour" || strings.HasPrefix(n.kind, "step") {
			f.Help += "; formerly keeps the old logs readable"
		}
		s.report(f)
	}
}
