package engine_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/internal/naive/cases"
)

// What the reader of texts lets through the engine evaluates: random curricula, the demo school and the examples of the
// semantics pages are taken as they are, and again with words, numbers, criteria and lines changed.

func TestTheEngineRefusesNothingThatTheReaderAccepts(t *testing.T) {
	t.Parallel()
	on := allFeatures(t)
	texts := append(schoolTexts(t), pageTexts(t)...)
	n := caseCount(t, 1000)
	for seed := range uint64(n / 20) {
		texts = append(texts, cases.Make(seed+1, on).Text())
	}
	accepted, changed := 0, 0
	for _, text := range texts {
		if takesIfRead(t, text) {
			accepted++
		}
	}
	require.Greater(t, accepted, len(texts)/2, "too few of the plain texts are read")
	r := rand.New(rand.NewPCG(7, 51790))
	for range n {
		text := texts[r.IntN(len(texts))]
		for range 1 + r.IntN(3) {
			text = changedText(r, text)
		}
		if takesIfRead(t, text) {
			changed++
		}
	}
	require.Greater(t, changed, n/5, "too few of the changed texts are read")
	t.Logf("%d of %d texts read, %d of %d changed ones", accepted, len(texts), changed, n)
}

// takesIfRead reports whether the reader accepts a text; if so the engine must compile it.
func takesIfRead(t *testing.T, text string) bool {
	c, found := dsl.ReadString("changed.rung", text)
	if found.Err() != nil {
		return false
	}
	if _, err := engine.Compile(c); err != nil {
		t.Fatalf("the reader accepts and the engine refuses:\n%v\n\n%s", err, text)
	}
	return true
}

func TestACaseWrittenOutAndReadMeansTheSame(t *testing.T) {
	t.Parallel()
	on := allFeatures(t)
	read, n := 0, caseCount(t, 150)
	for seed := range uint64(n) {
		c := cases.Make(seed, on)
		for _, b := range c.Curriculum.Behaviours {
			for _, need := range b.Needs {
				if need.Dog != nil { // where nothing but the dog can be meant, authors leave it out
					need.Dog.Text = strings.ReplaceAll(need.Dog.Text, "dog.", "")
				}
			}
		}
		got, found := dsl.ReadString("case.rung", c.Text())
		if found.Err() != nil {
			continue // beyond the language
		}
		read++
		require.Equal(t, c.Curriculum.Fingerprint(), got.Fingerprint(), "%s", c.Text())
	}
	require.Greater(t, read, n/2)
}

// schoolTexts are the demo school's files, each whole by itself: what it uses is written in.
func schoolTexts(t *testing.T) (out []string) {
	dir := filepath.Join("..", "examples", "pindrift")
	names, err := filepath.Glob(filepath.Join(dir, "*.rung"))
	require.NoError(t, err)
	require.NotEmpty(t, names)
	for _, name := range names {
		seen := map[string]bool{}
		var whole func(name string) string
		whole = func(name string) string {
			if seen[name] {
				return ""
			}
			seen[name] = true
			src, err := os.ReadFile(filepath.Join(dir, name))
			require.NoError(t, err)
			text := regexp.MustCompile(`(?m)^rung 1.*$`).ReplaceAllString(string(src), "")
			return regexp.MustCompile(`(?m)^use "(.*?)".*$`).ReplaceAllStringFunc(text, func(line string) string {
				return whole(strings.Split(line, `"`)[1])
			})
		}
		out = append(out, "rung 1\n"+whole(filepath.Base(name)))
	}
	return out
}

// pageTexts are the curricula of the semantics pages.
func pageTexts(t *testing.T) (out []string) {
	all, _ := readPages(t)
	for _, s := range all {
		out = append(out, s.whole(t))
	}
	return out
}

// criteria and lines that a text may be changed to hold: every form of the language, also where it is at home.
var (
	someCriteria = eachOf(`4 of last 5|4 of each 5|4 of each 5 twice in a row|3 in a row|80% of last 20|100% of each 8|at most 1 wrong of last 4|3 misses of last 5
2 silent in a row|2 helped of last 5|2 opt-outs in this session|3 misses in this session where { latency > 2 }|done 8 times|4 of last 5 even helped|4 of last 5 within 2 s
4 of last 5 holding 5 s|4 of last 5 where { success }|4 of last 5 among { place == "lane" }|80% of a session of at least 10 trials|80% of a session of at least 3 trials in 2 sessions in a row
first trial in 3 sessions in a row|first trial in 2 sessions|at least 80% with 95% confidence of last 30|sequential 60% against 90% wrongly up 5% wrongly down 10%
median latency of last 5 successes <= 2 s|best duration of last 2 successes >= 1 min|after 20 trials|after 20 trials at this step|after 3 sessions|after 7 days|eased twice|eased 3 times
{ latency < 2 }|{ dog.age_months > 12 and early }`)
	someLines = eachOf(`decide each session|decide every 5 trials|raise one at a time lowering others by 2 levels|raise one at a time|thin fixed ratio 2, 3|ramp pause 1 s, 2 s grain 1 s
ramp distance 3 m, 1 m|reward variable ratio 2|review after 1 min, 1 week, 5000 weeks|needs dog { weight_kg > 3 }|skip when 2 of last 3|flag when 2 misses of last 3|stop today when 2 in a row
split into "a", "b" when eased twice|split when 3 misses in a row|lapse when 2 misses of last 3|after 3 days away ease one level|prompt word|formerly another`)
	someNumbers = []string{"0", "1", "2", "3", "5", "7", "50", "64", "65", "100", "128", "500", "501", "4096", "4097", "9999", "10000", "10001", "0.5", "99.9"}
	whenTail    = regexp.MustCompile(`when .+`)
	number      = regexp.MustCompile(`\b\d+(\.\d+)?\b`)
	word        = regexp.MustCompile(`[\pL][\pL\d-]*`)
)

func eachOf(list string) []string {
	return strings.FieldsFunc(list, func(r rune) bool { return r == '|' || r == '\n' })
}

// changedText is a text with one thing changed.
func changedText(r *rand.Rand, text string) string {
	instead := func(at []int, by string) string { return text[:at[0]] + by + text[at[1]:] }
	some := func(rx *regexp.Regexp) []int {
		all := rx.FindAllStringIndex(text, -1)
		if len(all) == 0 {
			return []int{len(text), len(text)}
		}
		return all[r.IntN(len(all))]
	}
	criterion := func() string {
		if r.IntN(2) == 0 {
			at := some(whenTail)
			return strings.TrimPrefix(text[at[0]:at[1]], "when ")
		}
		return someCriteria[r.IntN(len(someCriteria))]
	}
	lines := strings.Split(text, "\n")
	line := func() int { return r.IntN(len(lines)) }
	switch r.IntN(12) {
	case 0, 1:
		return instead(some(number), someNumbers[r.IntN(len(someNumbers))])
	case 2:
		return instead(some(whenTail), "when "+criterion())
	case 3:
		return instead(some(whenTail), fmt.Sprintf("when (%s) %s (%s)", criterion(), []string{"and", "or"}[r.IntN(2)], criterion()))
	case 4:
		return instead(some(whenTail), "when not ("+criterion()+")")
	case 5:
		return instead(some(whenTail), "when ("+criterion()+") in "+[]string{"this session", "3 sessions", "2 sessions in a row", "2 places", "3 handlers", "2 days"}[r.IntN(6)])
	case 6, 7:
		return strings.Join(slices.Insert(lines, line(), someLines[r.IntN(len(someLines))]), "\n")
	case 8:
		i := line()
		return strings.Join(slices.Delete(lines, i, i+1), "\n")
	case 9:
		return strings.Join(slices.Insert(lines, line(), lines[line()]), "\n")
	case 10:
		i, j := line(), line()
		lines[i], lines[j] = lines[j], lines[i]
		return strings.Join(lines, "\n")
	}
	at := some(word)
	return instead(some(word), text[at[0]:at[1]])
}

// The largest that the reader lets through: windows of its largest count, and more rules and conditions in one step than
// a machine word has bits.
func TestTheLargestThatIsReadIsEvaluated(t *testing.T) {
	text := func(lines ...string) string {
		return "rung 1\nmeasure turn in deg\nbehaviour spin {\n  step one {\n    prompt word\n" + strings.Join(lines, "\n") + "\n  }\n}\n"
	}
	for name, text := range map[string]string{
		"a window":         text("advance when 9000 of last 10000"),
		"blocks":           text("advance when 9000 of each 10000 twice in a row"),
		"a streak":         text("ease when 10000 misses in a row"),
		"first trials":     text("advance when first trial in 10000 sessions in a row"),
		"confidence":       text("advance when at least 80% with 95% confidence of last 10000"),
		"a statistic":      text("advance when median turn of last 10000 successes >= 30 deg"),
		"groups":           text("advance when (9000 of last 10000) in 10000 sessions in a row"),
		"the longest gaps": "rung 1\nbehaviour spin {\n  step one {\n    advance when 1 in a row\n  }\n  review after 5000 weeks, 10000 weeks\n}\n",
	} {
		t.Run(name, func(t *testing.T) {
			c, found := dsl.ReadString("large.rung", text)
			require.NoError(t, found.Err())
			f := compile(t, c).NewFold()
			for i := range okapi().tally("spin", "+-+h").list {
				require.NoError(t, f.Take(&okapi().tally("spin", "+-+h").list[i]))
			}
			why, err := f.Why("okapi", "spin", f.Now())
			require.NoError(t, err)
			require.NotEmpty(t, why.Text())
			saved(t, f)
		})
	}
}

func TestAStepMayHaveMoreRulesAndConditionsThanAWordHasBits(t *testing.T) {
	var rules, conditions []string
	for i := range 130 {
		rules = append(rules, fmt.Sprintf("flag when %d misses in a row\nstop today when %[1]d misses in a row", i+1))
		conditions = append(conditions, fmt.Sprintf("{ latency > %d }", i))
	}
	program := func(lines string) *engine.Program {
		c, found := dsl.ReadString("many.rung", "rung 1\nbehaviour spin {\nstep one {\n"+lines+"\n}\n}\n")
		require.NoError(t, found.Err())
		return compile(t, c)
	}
	st := stands(t, program(strings.Join(rules, "\n")), okapi().tally("spin", strings.Repeat("-", 130)))
	require.Len(t, st.Noted, 260, "each is noted once, when it begins to hold")

	p := program("advance when 1% of a session of at least 1 trial and " + strings.Join(conditions, " and "))
	for latency, want := range map[float64]curriculum.State{129.5: curriculum.Kept, 70: curriculum.Working} {
		d := okapi().tally("spin", "+")
		d.list[0].Trial.Measures = []curriculum.MeasureValue{{Name: "latency", Value: latency}}
		f := p.NewFold()
		require.NoError(t, f.Take(&d.list[0]))
		again, err := p.Resume(bytes.NewReader(saved(t, f)))
		require.NoError(t, err)
		for _, f := range []*engine.Fold{f, again} {
			require.Equal(t, want, f.Standing(monday.Add(time.Hour)).Dogs[0].Behaviours[0].State, "latency %v", latency)
		}
	}
}
