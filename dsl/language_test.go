package dsl

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// fenced are the fenced pieces of LANGUAGE.md: what stands behind the fence's ``` and the text.
func fenced(t testing.TB) (out [][2]string) {
	page, err := os.ReadFile("LANGUAGE.md")
	require.NoError(t, err)
	for _, m := range regexp.MustCompile("(?ms)^```(.*?)\n(.*?)^```").FindAllStringSubmatch(string(page), -1) {
		out = append(out, [2]string{m[1], m[2]})
	}
	return out
}

func TestEveryExampleOfThePageIsReadAndTidy(t *testing.T) {
	kinds := map[string]int{}
	for i, f := range fenced(t) {
		kind, text := f[0], f[1]
		kinds[kind]++
		switch kind {
		case "rung":
		case "rung behaviour":
			text = "rung 1\nbehaviour circle {\n" + text + "}\n"
		case "rung step":
			text = "rung 1\nbehaviour circle {\nstep here {\n" + text + "}\n}\n"
		case "rung criterion":
			for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
				_, c, ds := parseCriterion(line)
				require.Empty(t, ds, ds.Text())
				require.NotNil(t, c, line)
			}
			continue
		case "ebnf":
			continue
		default:
			t.Fatalf("a fence of an unknown kind: %q", kind)
		}
		_, ds := Parse(fmt.Sprintf("example-%d", i), []byte(text))
		require.Empty(t, ds, ds.Text())
		out, err := Tidy("example", []byte(text))
		require.NoError(t, err)
		if kind == "rung" {
			require.Equal(t, text, string(out), "examples on the page are laid out as tidy does")
		}
	}
	require.Equal(t, []string{"ebnf", "rung", "rung behaviour", "rung criterion", "rung step"}, slices.Sorted(maps.Keys(kinds)))
}

// ebnfOf is the grammar on the page.
func ebnfOf(t testing.TB) map[string]*ebnfNode {
	for _, f := range fenced(t) {
		if f[0] == "ebnf" {
			return readEBNF(t, f[1])
		}
	}
	t.Fatal("no grammar on the page")
	return nil
}

func TestTheGrammarOnThePageHasTheWordsOfTheLanguageAndNoOther(t *testing.T) {
	onPage := map[string]bool{}
	for _, n := range ebnfOf(t) {
		n.each(func(m *ebnfNode) {
			if m.literal != "" {
				onPage[m.literal] = true
			}
		})
	}
	language := map[string]bool{}
	for _, words := range []map[string]bool{grammarWords(), reservedWords, unitWords} {
		maps.Copy(language, words)
	}
	for w := range language {
		require.True(t, onPage[w], "%q is a word of the language, but not on the page", w)
	}
	word := regexp.MustCompile(`^[a-z][a-z-]+$`)
	for w := range onPage {
		if word.MatchString(w) && w != "plan" { // `expect plan` reads as a name
			require.True(t, language[w], "%q is on the page, but no word of the language", w)
		}
	}
}

func TestThePageListsTheReservedWords(t *testing.T) {
	page, err := os.ReadFile("LANGUAGE.md")
	require.NoError(t, err)
	_, rest, ok := strings.Cut(string(page), "- **Reserved**")
	require.True(t, ok)
	rest, _, ok = strings.Cut(rest, "No name may be one of these")
	require.True(t, ok)
	listed := map[string]bool{}
	for _, m := range regexp.MustCompile("`([a-z-]+)`").FindAllStringSubmatch(rest, -1) {
		listed[m[1]] = true
	}
	require.Equal(t, reservedWords, listed)
}

// Whatever the grammar on the page makes, the reader reads, and tidy brings it to rest.
func TestWhateverTheGrammarOnThePageMakesIsReadAndTidied(t *testing.T) {
	grammar := ebnfOf(t)
	made := map[string]int{}
	for seed := range uint64(400) { // the same ones every time, so that every rule is surely reached
		require.NoError(t, readsAndTidies(grammar, seed, made))
	}
	for rule := range grammar {
		require.Positive(t, made[rule]+map[string]int{"File": 1}[rule], rule)
	}
	rapid.Check(t, func(rt *rapid.T) {
		if err := readsAndTidies(grammar, rapid.Uint64().Draw(rt, "seed"), made); err != nil {
			rt.Fatal(err)
		}
	})
}

func readsAndTidies(grammar map[string]*ebnfNode, seed uint64, made map[string]int) error {
	w := &sentenceMaker{random: rand.New(rand.NewPCG(seed, 1)), grammar: grammar, made: made}
	w.make(grammar["File"], 0)
	src := w.out.String()
	if _, ds := Parse("made.rung", []byte(src)); len(ds) > 0 {
		return fmt.Errorf("seed %d: %s\n%w", seed, src, ds)
	}
	once, err := Tidy("made.rung", []byte(src))
	if err != nil {
		return fmt.Errorf("seed %d: %s\n%w", seed, src, err)
	}
	twice, err := Tidy("made.rung", once)
	if err != nil || string(once) != string(twice) {
		return fmt.Errorf("seed %d: tidy does not come to rest: %w\n%s\n%s", seed, err, once, twice)
	}
	return nil
}

// ebnfNode is a piece of the grammar: exactly one of its kinds.
type ebnfNode struct {
	literal  string
	ref      string
	choices  []*ebnfNode
	sequence []*ebnfNode
	option   *ebnfNode
	repeat   *ebnfNode
}

func (n *ebnfNode) each(f func(*ebnfNode)) {
	f(n)
	for _, m := range slices.Concat(n.choices, n.sequence) {
		m.each(f)
	}
	for _, m := range []*ebnfNode{n.option, n.repeat} {
		if m != nil {
			m.each(f)
		}
	}
}

func readEBNF(t testing.TB, text string) map[string]*ebnfNode {
	tokens := regexp.MustCompile(`"[^"]*"|[A-Za-z]+|[=|.()\[\]{}]`).FindAllString(text, -1)
	out, i := map[string]*ebnfNode{}, 0
	var choices func() *ebnfNode
	choices = func() *ebnfNode {
		n := &ebnfNode{}
		for {
			s := &ebnfNode{}
			for !strings.ContainsAny(tokens[i], "|.)]}") || tokens[i][0] == '"' {
				tok := tokens[i]
				i++
				switch tok {
				case "(":
					s.sequence = append(s.sequence, choices())
					i++
				case "[":
					s.sequence = append(s.sequence, &ebnfNode{option: choices()})
					i++
				case "{":
					s.sequence = append(s.sequence, &ebnfNode{repeat: choices()})
					i++
				default:
					if tok[0] == '"' {
						s.sequence = append(s.sequence, &ebnfNode{literal: strings.Trim(tok, `"`)})
					} else {
						s.sequence = append(s.sequence, &ebnfNode{ref: tok})
					}
				}
			}
			n.choices = append(n.choices, s)
			if tokens[i] != "|" {
				return n
			}
			i++
		}
	}
	for i < len(tokens) {
		name := tokens[i]
		require.Equal(t, "=", tokens[i+1], name)
		i += 2
		out[name] = choices()
		require.Equal(t, ".", tokens[i], name)
		i++
	}
	for name, n := range out {
		n.each(func(m *ebnfNode) {
			if m.ref != "" && out[m.ref] == nil {
				require.Contains(t, []string{"name", "number", "string", "expression", "end"}, m.ref, name)
			}
		})
	}
	return out
}

// sentenceMaker makes a random text of the grammar, with random white space and remarks.
type sentenceMaker struct {
	random  *rand.Rand
	grammar map[string]*ebnfNode
	made    map[string]int // how often each rule was used
	out     strings.Builder
}

func (w *sentenceMaker) pick(n int) int { return w.random.IntN(n) }

func (w *sentenceMaker) word(s string) {
	w.out.WriteString([]string{" ", " ", "  ", "\t", "     "}[w.pick(5)])
	w.out.WriteString(s)
	if s == "," && w.pick(4) == 0 {
		w.out.WriteString(" # on with it\n")
	}
}

func (w *sentenceMaker) make(n *ebnfNode, depth int) {
	switch {
	case n.literal == "{":
		w.word("{")
		w.out.WriteString("\n")
	case n.literal == "}":
		w.out.WriteString("}")
	case n.literal != "":
		w.word(n.literal)
	case n.ref == "end":
		w.out.WriteString([]string{"\n", " # said\n", "\n\n\n", "\n# alone\n", "\n  # set in\n"}[w.pick(5)])
	case n.ref == "name":
		w.word([]string{"follow", "pivot-left", "B2", "step", "turn", "prompt", "mins"}[w.pick(7)])
	case n.ref == "number":
		w.word([]string{"1", "2", "05", "1.50", "30", "0.5"}[w.pick(6)])
	case n.ref == "string":
		w.word([]string{`"a b"`, `""`, `"says \"so\""`, `"# { } é"`}[w.pick(4)])
	case n.ref == "expression":
		w.word([]string{"{ latency < 2 }", `{place=="a}b"}`, "{ a and\n  b }"}[w.pick(3)])
	case n.ref != "":
		w.made[n.ref]++
		w.make(w.grammar[n.ref], depth+1)
	case n.option != nil:
		if depth < 60 && w.pick(2) == 0 {
			w.make(n.option, depth+1)
		}
	case n.repeat != nil:
		for i := w.pick(max(2, 12-depth/2)); i > 0 && depth < 60; i-- {
			w.make(n.repeat, depth+1)
		}
	case len(n.choices) > 0:
		i := 0
		if depth < 80 {
			i = w.pick(len(n.choices))
		}
		w.make(n.choices[i], depth+1)
	default:
		for _, m := range n.sequence {
			w.make(m, depth+1)
		}
	}
}
