package dsl

import "strings"

// words that people write for others
var (
	statementSpellings = map[string]string{"behavior": "behaviour", "exercise": "behaviour", "skill": "behaviour",
		"criteria": "criterion", "include": "use", "import": "use", "markers": "marker", "foods": "food", "treat": "food",
		"places": "place", "handlers": "handler", "measures": "measure", "signs": "sign", "cautions": "caution",
		"prompts": "prompt", "rewards": "reward", "cues": "cue", "requires": "needs", "require": "needs", "need": "needs",
		"progress": "advance", "regress": "ease", "setup": "set-up", "examples": "example", "test": "example",
		"break": "rest"}
	whenSpellings    = wordSet("if", "once", "whenever", "upon")
	successSpellings = wordSet("times", "time", "successes", "success", "correct", "right", "good", "hits", "trials")
	missSpellings    = map[string]string{"failures": "misses", "failure": "miss", "fails": "misses", "fail": "miss",
		"errors": "misses", "error": "miss", "mistakes": "misses", "mistake": "miss", "faults": "misses",
		"silences": "silent", "wrongs": "wrong", "optouts": "opt-outs", "optout": "opt-out"}
	// rows of words that people write for others, each with its marker in the report
	phraseSpellings = []struct {
		from  []string
		right string
	}{
		{[]string{"no", "more", "than"}, "at most"}, {[]string{"not", "more", "than"}, "at most"}, {[]string{"in", "row"}, "in a row"},
		{[]string{"in", "succession"}, "in a row"}, {[]string{"in", "under"}, "within"}, {[]string{"in", "less", "than"}, "within"},
		{[]string{"in", "last"}, "of last"}, {[]string{"in", "the", "last"}, "of last"}, {[]string{"two", "times"}, "twice"},
		{[]string{"locks", "all"}, "locks everything"}, {[]string{"set", "up"}, "set-up"}, {[]string{"lasts", "for"}, "lasts"},
		{[]string{"lower", "others"}, "lowering others"}, {[]string{"lower", "the", "others"}, "lowering others"},
		{[]string{"to", "be"}, "is"}, {[]string{"to", "have"}, "has"},
	}
	rowSpellings = wordSet("straight", "running", "consecutive", "consecutively")
)

// capitals reads a statement that begins with a capital as if its words were written small.
func (m *mender) capitals() {
	for k := 0; m.ahead(k).Type != tEnd; k++ {
		t := &m.in[m.i+k]
		low := strings.ToLower(t.Value)
		if t.Type != tName || low == t.Value || !knownWord(low) || k == 1 && declaringWords[strings.ToLower(m.in[m.i].Value)] {
			continue
		}
		at := spanOf(*t)
		m.report(finding{key: "capitals", span: at, args: []string{low, t.Value}, edits: []Edit{{at, low}}})
		t.Value, t.Type = low, wordType(low)
	}
}

// phrase mends a row of words that has another in the language.
func (m *mender) phrase() bool {
	for _, p := range phraseSpellings {
		n := 0
		for n < len(p.from) && m.is(n, p.from[n]) {
			n++
		}
		if n < len(p.from) {
			continue
		}
		m.say("word-spelled", n, p.right, p.right, strings.Join(p.from, " "))
		for _, word := range strings.Fields(p.right) {
			m.put(wordType(word), word, n)
			n = 0
		}
		return true
	}
	return false
}
