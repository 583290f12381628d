package proof

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

const (
	codeSameCue     = "same-cue"
	codeCuesAlike   = "cues-alike"
	codeSameGesture = "same-gesture"
	codeCueMissing  = "cue-missing"
)

const cueTail = "  step go \"lies down within 3 s\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n"

var cueCodes = []codeEntry{
	{
		Code: codeSameCue, Severity: Error, Title: "one word for two behaviours",
		Means:    "Two behaviours have the same spoken cue: the dog cannot know which is meant. Markers count too: a word that says food follows must say nothing else.",
		Faulty:   "rung 1\nbehaviour settle {\n  cue \"mat\"\n" + cueTail + "behaviour scrub {\n  cue \"Mat!\"\n" + cueTail,
		Repaired: "rung 1\nbehaviour settle {\n  cue \"mat\"\n" + cueTail + "behaviour scrub {\n  cue \"brush\"\n" + cueTail,
	},
	{
		Code: codeCuesAlike, Severity: Warning, Title: "cue words that differ by one sound",
		Means: "A dog that knows one of two such words answers the other as well, or waits to see which is meant. Dogs answered less when single sounds of their cue words were altered (Fukuzawa, Mills and Cooper 2005, J Comp Psychol 119:117); " +
			"measured at the brain, family dogs heard no difference between a word they knew and one that was a sound off (Magyari and others 2020, R Soc Open Sci, from news of it). " +
			"Words are compared by letters and by a simple sound key of English spelling of our own: it hears nose and toes as one sound apart. Choose a word with another vowel and another beginning.",
		Faulty:   "rung 1\nbehaviour settle {\n  cue \"mat\"\n" + cueTail + "behaviour street {\n  cue \"map\"\n" + cueTail,
		Repaired: "rung 1\nbehaviour settle {\n  cue \"mat\"\n" + cueTail + "behaviour street {\n  cue \"paper\"\n" + cueTail,
	},
	{
		Code: codeSameGesture, Severity: Warning, Title: "one gesture for two behaviours",
		Means:    "Two behaviours have the same signal of one kind, or signals that are told apart by nothing the dog can see. Where word and gesture disagree most dogs follow the gesture (D'Aniello and others 2016, Anim Cogn 19:1231).",
		Faulty:   "rung 1\nbehaviour settle {\n  cue hand \"flat hand down\"\n" + cueTail + "behaviour scrub {\n  cue hand \"Flat hand, down\"\n" + cueTail,
		Repaired: "rung 1\nbehaviour settle {\n  cue hand \"flat hand down\"\n" + cueTail + "behaviour scrub {\n  cue hand \"circling finger\"\n" + cueTail,
	},
	{
		Code: codeCueMissing, Severity: Warning, Title: "a step that works with a cue nobody was told",
		Means:    "The step's prompt is the word, or another kind of cue, and the behaviour says none: the sheet cannot print it, and each handler takes one of their own. Looked at in a curriculum with a name.",
		Faulty:   "rung 1\ncurriculum \"x\" {\n}\nbehaviour settle {\n  review after 1 day, 3 days\n  step go \"lies down within 3 s\" {\n    prompt word\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
		Repaired: "rung 1\ncurriculum \"x\" {\n}\nbehaviour settle {\n  cue \"mat\"\n  review after 1 day, 3 days\n  step go \"lies down within 3 s\" {\n    prompt word\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
	},
}

var cueChecks = []check{
	{[]string{codeSameCue, codeCuesAlike, codeSameGesture}, (*subject).cueClashes},
	{[]string{codeCueMissing}, (*subject).cuesMissing},
}

// signal is one cue of a behaviour or of a marker.
type signal struct {
	of    string // the behaviour's name, "" for a marker
	owner string // in words
	step  string
	kind  string
	text  string
	plain string // its words in small letters
	sound string
	at    curriculum.Pos
}

// signals lists the cues of markers and behaviours, each once.
func (s *subject) signals() []signal {
	var out []signal
	add := func(g signal) {
		seen := asSeen(g.text)
		g.plain = strings.Join(letterWords(seen), " ")
		if g.kind == curriculum.WordCue {
			g.sound = soundKey(seen)
		}
		for _, o := range out {
			if o.owner == g.owner && o.kind == g.kind && o.plain == g.plain {
				return
			}
		}
		if g.plain != "" {
			out = append(out, g)
		}
	}
	for _, m := range s.c.Markers {
		said := m.Text
		if said == "" || len(letterWords(said)) > 3 { // a long text says how it is given
			said = m.Name
		}
		add(signal{owner: "the marker " + m.Name, kind: curriculum.WordCue, text: said, at: m.Pos})
		for _, g := range m.Signals {
			add(signal{owner: "the marker " + m.Name, kind: g.Kind, text: g.Text, at: m.Pos})
		}
	}
	for _, b := range s.c.Behaviours {
		for _, g := range b.Sheet.Cues {
			add(signal{of: b.Name, owner: b.Name, kind: g.Kind, text: g.Text, at: orPos(g.Pos, b.Pos)})
		}
		for _, st := range b.Steps {
			for _, g := range st.Sheet.Cues {
				add(signal{of: b.Name, owner: b.Name, step: st.Name, kind: g.Kind, text: g.Text, at: orPos(g.Pos, st.Pos)})
			}
		}
	}
	return out
}

func orPos(a, b curriculum.Pos) curriculum.Pos {
	if a.Line > 0 {
		return a
	}
	return b
}

// cueClashes compares every two cues of one kind.
func (s *subject) cueClashes() {
	all := s.signals()
	for j, g := range all {
		for _, o := range all[:j] {
			if o.owner == g.owner || o.kind != g.kind {
				continue
			}
			f := Finding{Pos: g.at, Behaviour: g.of, Step: g.step, Related: []Related{{o.at, "that of " + o.owner}}}
			if o.of != "" {
				f.With = []string{o.of}
			}
			switch {
			case g.kind != curriculum.WordCue && g.plain == o.plain:
				f.Code = codeSameGesture
				f.Text = fmt.Sprintf("%s and %s have one signal: %q", o.owner, g.owner, g.text)
				f.Help = "change one so that a dog sees the difference from the first moment"
			case g.kind != curriculum.WordCue:
				continue
			case g.plain == o.plain:
				f.Code = codeSameCue
				f.Text = fmt.Sprintf("%s and %s have one word: %q", o.owner, g.owner, g.text)
				f.Help = "give one of them another word"
			case alike(g, o):
				f.Code = codeCuesAlike
				f.Text = fmt.Sprintf("%q (%s) and %q (%s) %s", o.text, o.owner, g.text, g.owner, howAlike(g, o))
				f.Help = "choose a word with another vowel and another beginning"
			default:
				continue
			}
			s.report(f)
		}
	}
}

// alike reports whether two words are one sound, or one letter, apart. Words of a single sound are not compared.
func alike(a, b signal) bool {
	if min(len(a.sound), len(b.sound)) > 1 && near(a.sound, b.sound) {
		return true
	}
	return min(len(a.plain), len(b.plain)) > 2 && near(a.plain, b.plain)
}

// near reports whether two words are at most one sign apart.
func near(a, b string) bool {
	return len(a)-len(b) <= 1 && len(b)-len(a) <= 1 && distance(a, b) <= 1
}

func howAlike(a, b signal) string {
	switch {
	case a.sound == b.sound:
		return "sound the same"
	case near(a.sound, b.sound):
		return "differ by one sound"
	}
	return "differ by one letter"
}

// cuesMissing looks for steps whose prompt is a cue that the behaviour does not have: the word, any cue, or a kind of cue
// that other behaviours have. One finding a behaviour, at the first such step.
func (s *subject) cuesMissing() {
	if !s.whole() {
		return
	}
	kinds := map[string]bool{curriculum.WordCue: true}
	for _, g := range s.signals() {
		kinds[g.kind] = true
	}
	reported := map[*curriculum.Behaviour]bool{}
	for _, p := range s.places() {
		cues := p.b.SheetOf(p.i).Cues
		for _, prompt := range p.step.Prompts {
			has := len(cues) > 0
			switch {
			case prompt == "cue":
			case kinds[prompt]:
				has = slices.ContainsFunc(cues, func(q curriculum.Cue) bool { return q.Kind == prompt })
			default:
				has = true
			}
			if has || reported[p.b] {
				continue
			}
			reported[p.b] = true
			f := p.finding(codeCueMissing, p.step.Pos, "%s works with the %s, and %s says none", p.step.Name, prompt, p.b.Name)
			f.Help = `say it in the behaviour: cue "..."`
			if prompt != "cue" && prompt != curriculum.WordCue {
				f.Help = fmt.Sprintf(`say it in the behaviour: cue %s "..."`, prompt)
			}
			s.report(f)
		}
	}
}
