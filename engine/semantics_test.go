package engine_test

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/history"
	"example.com/rung/engine/internal/naive"
)

// The pages SEMANTICS*.md say what rules and criteria mean, each sentence with a history that shows it. This file runs
// all of them; SEMANTICS.md says at its top how the blocks are written.

// shown is a rung block with the histories under it.
type shown struct {
	name        string // page and line
	frame, kind string
	text        string
	fault       bool
	histories   []told
	faults      []string // expected of a faulty text
}

// told is a history with what is expected of it.
type told struct {
	kind, text string // tally or jsonl
	dogs       string
	expects    []expected
}

type expected struct {
	line int
	at   string // empty: the time of the last line
	want []string
}

var pageFence = regexp.MustCompile("^```(.*)$")

// readPages gathers the blocks of all pages, and counts the fences that open one.
func readPages(t *testing.T) (all []*shown, expects int) {
	pages, err := filepath.Glob("SEMANTICS*.md")
	require.NoError(t, err)
	require.Contains(t, pages, "SEMANTICS.md")
	slices.SortFunc(pages, func(a, b string) int { return len(a) - len(b) }) // the first page has the frame
	frame := ""
	for _, page := range pages {
		src, err := os.ReadFile(page)
		require.NoError(t, err)
		expects += strings.Count("\n"+string(src), "\n```expect")
		var info, dogs string
		var body []string
		open := false
		for i, l := range strings.Split(string(src), "\n") {
			m := pageFence.FindStringSubmatch(l)
			switch {
			case m == nil && open:
				body = append(body, l)
			case m == nil:
			case !open:
				open, info, body = true, m[1], nil
			default:
				open = false
				at := fmt.Sprintf("%s:%d", page, i-len(body))
				text := strings.Join(body, "\n") + "\n"
				switch word, rest, _ := strings.Cut(info, " "); word {
				case "rung":
					if rest == "frame" {
						require.Empty(t, frame, "%s: a second frame", at)
						frame = text
						continue
					}
					s := &shown{name: at, frame: frame, text: text}
					s.fault = strings.Contains(rest, "fault")
					s.kind = strings.TrimSpace(strings.ReplaceAll(rest, "fault", ""))
					all = append(all, s)
					dogs = ""
				case "dogs":
					dogs = text
				case "tally", "jsonl":
					require.NotEmpty(t, all, at)
					s := all[len(all)-1]
					s.histories = append(s.histories, told{kind: word, text: text, dogs: dogs})
				case "expect":
					require.NotEmpty(t, all, at)
					s := all[len(all)-1]
					want := strings.Split(strings.TrimSpace(text), "\n")
					if s.fault {
						s.faults = append(s.faults, want...)
						continue
					}
					require.NotEmpty(t, s.histories, "%s: expects something of no history", at)
					h := &s.histories[len(s.histories)-1]
					h.expects = append(h.expects, expected{i - len(body), strings.TrimPrefix(rest, "at "), want})
				default:
					require.Fail(t, "a fence of an unknown kind", "%s: %q", at, info)
				}
			}
		}
		require.False(t, open, "%s: a fence is never closed", page)
	}
	return all, expects
}

// whole is the curriculum around a block.
func (s *shown) whole(t *testing.T) string {
	text := s.text
	switch s.kind {
	case "criterion":
		text = "advance when " + text
		fallthrough
	case "step":
		if !regexp.MustCompile(`(?m)^prompt`).MatchString(text) {
			text = "prompt word\n" + text
		}
		text = "step one {\n" + text + "}\nstep two {\nprompt word\n}\n"
		fallthrough
	case "behaviour":
		text = "behaviour spin {\n" + text + "}\n"
	case "":
	default:
		require.Fail(t, "a rung block of an unknown kind", "%s: %q", s.name, s.kind)
	}
	return "rung 1\n" + s.frame + text
}

func TestEverySentenceOfTheSemanticsHasAHistoryThatShowsIt(t *testing.T) {
	all, expects := readPages(t)
	compared := 0
	for _, s := range all {
		t.Run(s.name, func(t *testing.T) { compared += s.run(t) })
	}
	if !t.Failed() {
		require.Equal(t, expects, compared, "some expectation was passed over")
		require.Greater(t, compared, 150)
	}
}

// run compares all that a block expects, and says how many expectations that were.
func (s *shown) run(t *testing.T) (compared int) {
	c, found := dsl.ReadString("page.rung", s.whole(t))
	if s.fault {
		var got []string
		for _, d := range found {
			if d.Severity == dsl.Error {
				got = append(got, "fault "+d.Code)
			}
		}
		require.NotEmpty(t, s.faults, "no fault is expected")
		require.Equal(t, s.faults, got)
		return 1
	}
	require.NoError(t, found.Err())
	require.NotEmpty(t, s.histories, "no history shows it")
	p, err := engine.Compile(c)
	require.NoError(t, err, "what is read must be evaluated")
	for _, h := range s.histories {
		require.NotEmpty(t, h.expects, "a history of which nothing is expected")
		log := h.read(t, c)
		for _, e := range h.expects {
			now := log.now
			if e.at != "" {
				var err error
				now, err = time.Parse("2006-01-02 15:04", e.at)
				require.NoError(t, err)
			}
			want, got := e.want, log.naively(s.plainly(t), now)
			mine, reports := log.folded(p, now)
			require.Equal(t, got, mine, "line %d: the slow reader and the engine part", e.line)
			got = append(mine, reports...)
			require.Equal(t, strings.Join(want, "\n"), strings.Join(alike(got, want), "\n"), "line %d", e.line)
			compared++
		}
	}
	return compared
}

// plainly is the curriculum once more, with `dog.` written out in needs, as the slow reader wants it.
func (s *shown) plainly(t *testing.T) *curriculum.Curriculum {
	c, found := dsl.ReadString("page.rung", s.whole(t))
	require.NoError(t, found.Err())
	for _, b := range c.Behaviours {
		for _, n := range b.Needs {
			if n.Dog != nil && !strings.HasPrefix(n.Dog.Text, "dog.") {
				n.Dog.Text = "dog." + n.Dog.Text
			}
		}
	}
	return c
}

// logged is a history that was read.
type logged struct {
	entries []curriculum.Entry
	now     time.Time
	label   map[string]string // of a trial's id
	at      map[string]time.Time
	many    bool // dogs
	dogs    []curriculum.Dog
	wrong   []engine.Report
	added   int // lines before the block's own
}

// read reads a history. Marks are numbered as they stand on the page; lines of JSON have their ids.
func (h told) read(t *testing.T, c *curriculum.Curriculum) *logged {
	l := &logged{label: map[string]string{}, at: map[string]time.Time{}}
	text := h.text
	if h.kind == "tally" && !regexp.MustCompile(`^\S+ \d`).MatchString(text) {
		text = "okapi 2026-03-02 17:10 yard senior\n" + text
		l.added = 1
	}
	r, err := history.OpenReader(strings.NewReader(text), "log."+h.kind, history.Options{}.For(c))
	require.NoError(t, err)
	for {
		var e curriculum.Entry
		err := r.Next(&e)
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		l.entries = append(l.entries, history.Clone(&e))
	}
	l.wrong = r.Reports()
	require.NoError(t, r.Close())
	byPlace := slices.Clone(l.entries)
	slices.SortStableFunc(byPlace, func(a, b curriculum.Entry) int { return a.Trial.Line - b.Trial.Line })
	n := 0
	for _, e := range byPlace {
		l.many = l.many || e.Dog() != byPlace[0].Dog()
		if e.At().After(l.now) {
			l.now = e.At()
		}
		if e.IsEvent {
			continue
		}
		n++
		l.at[e.Trial.ID] = e.Trial.At
		l.label[e.Trial.ID] = "trial " + strconv.Itoa(n)
		if h.kind == "jsonl" {
			l.label[e.Trial.ID] = "trial " + e.Trial.ID
		}
	}
	if h.dogs != "" {
		var wrong []engine.Report
		l.dogs, wrong, err = history.ReadDogs(strings.NewReader(h.dogs), "dogs.json")
		require.NoError(t, err)
		require.Empty(t, wrong)
	}
	return l
}

// naively is what the slow reader answers.
func (l *logged) naively(c *curriculum.Curriculum, now time.Time) []string {
	reader := naive.New(c, l.dogs...)
	for _, e := range l.entries {
		_ = reader.Take(e) // a line that cannot be used is among the reports
	}
	plains, locks := ofNaive(reader.Answers(now))
	return l.lines(c, plains, locks)
}

// folded is what the engine answers, and what it and the reader of histories report.
func (l *logged) folded(p *engine.Program, now time.Time) (answers, reports []string) {
	fold := p.NewFold(l.dogs...)
	for i := range l.entries {
		_ = fold.Take(&l.entries[i])
	}
	plains, locks := ofEngine(fold.Standing(now))
	return l.lines(p.Curriculum(), plains, locks), l.reports(fold.Reports())
}

// lines are what a reader answers, in the words of an expect block.
func (l *logged) lines(c *curriculum.Curriculum, plains []plain, locks []plainLock) (out []string) {
	for _, p := range plains {
		b, who := c.Behaviour(p.Behaviour), ""
		if l.many {
			who = p.Dog + ", "
		}
		noted := p.Noted
		note := func() {
			word := noted[0].Rule
			if word == "stop" {
				word = "stop today"
			}
			out = append(out, fmt.Sprintf("%s%s: %s", who, l.label[noted[0].Trial], word))
			noted = noted[1:]
		}
		for _, m := range p.Moves {
			at, _ := time.Parse(time.RFC3339, m.At)
			for len(noted) > 0 && !l.at[noted[0].Trial].After(at) {
				note()
			}
			to := "kept"
			if !m.ToKept {
				to = placeWords(b, m.ToStep, m.To)
			}
			if m.Rule == "hand" {
				by := "hand"
				if m.By != "" {
					by += " of " + m.By
				}
				out = append(out, fmt.Sprintf("%s%s: to %s", who, by, to))
			} else {
				out = append(out, fmt.Sprintf("%s%s: %s to %s", who, l.label[m.Trial], m.Rule, to))
			}
		}
		for len(noted) > 0 {
			note()
		}
		for _, v := range p.Reviews {
			what := "review missed"
			if v.Passed {
				what = "review passed"
			}
			out = append(out, fmt.Sprintf("%s%s: %s", who, l.label[v.Trial], what))
		}
		where := "kept"
		if p.State != curriculum.Kept {
			where = string(p.State) + " at " + placeWords(b, p.Step, p.Level)
		}
		counts := fmt.Sprintf("; trials %d, sessions %d", p.Trials, p.Sessions)
		for _, pieces := range []struct{ word, list string }{{"failed", p.Failed}, {"failed before", p.Before}} {
			if pieces.list != "" {
				counts += "; " + pieces.word + ": " + pieces.list
			}
		}
		out = append(out, who+p.Behaviour+": "+where+counts)
		if p.Due != "" {
			out = append(out, fmt.Sprintf("%s%s: review due %s", who, p.Behaviour, p.Due))
		}
	}
	for _, k := range locks {
		if k.Strange {
			out = append(out, fmt.Sprintf("strange sign %s", strings.Join(append([]string{k.Sign}, k.Behaviours...), " in ")))
			continue
		}
		what := "everything"
		if len(k.Behaviours) > 0 {
			what = strings.Join(k.Behaviours, ", ")
		}
		if l.many {
			what = k.Dog + ", " + what
		}
		out = append(out, fmt.Sprintf("locked by %s: %s", engine.Lock{Sign: k.Sign, Written: k.Written}.SignText(), what))
	}
	return out
}

// placeWords is a step and level, ramps in their order.
func placeWords(b *curriculum.Behaviour, step string, level map[string]string) string {
	var parts []string
	for _, r := range b.Steps[b.Step(step)].Ramps {
		if v, ok := level[r.Of]; ok {
			parts = append(parts, r.Of+" "+v)
		}
	}
	if v, ok := level[curriculum.PieceRamp]; ok {
		parts = append(parts, "piece "+v)
	}
	return strings.TrimSpace(step + " " + strings.Join(parts, ", "))
}

// reports are the codes of what was said of lines, with repetitions on one line counted.
func (l *logged) reports(said []engine.Report) (out []string) {
	said = append(slices.Clone(l.wrong), said...)
	slices.SortStableFunc(said, func(a, b engine.Report) int { return a.Line - b.Line })
	for i := 0; i < len(said); {
		n := 1
		for i+n < len(said) && said[i+n].Line == said[i].Line && said[i+n].Code == said[i].Code {
			n++
		}
		text := fmt.Sprintf("line %d: %s", said[i].Line-l.added, said[i].Code)
		if n > 1 {
			text += fmt.Sprintf(", %d times", n)
		}
		out = append(out, text)
		i += n
	}
	return out
}

// alike leaves out what the page need not say: behaviours that nobody has begun, and the counts of trials and sessions.
func alike(got, want []string) (out []string) {
	for _, l := range got {
		who, is, _ := strings.Cut(l, ": ")
		said := slices.ContainsFunc(want, func(w string) bool { return strings.HasPrefix(w, who+": ") })
		if said || !strings.HasPrefix(is, "open at ") {
			out = append(out, l)
		}
	}
	for i := range out {
		if i < len(want) && !strings.Contains(want[i], "; ") {
			out[i], _, _ = strings.Cut(out[i], "; ")
		}
	}
	return out
}
