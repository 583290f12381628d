package history

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// The benchmarks read one file of a million trials, 100 dogs with 50 behaviours each, from the disk and run the same
// rule over it: 4 of the last 5 good moves a dog on, 3 misses of the last 5 move it back. Compare them in one run:
//
//	go test ./engine/history -run '^$' -bench 'Yardstick|Reader|History|FoldFromDisk' -benchtime 3x -count 5
const benchTrials = 1_000_000

var benchFile = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "rung-bench-*")
	if err != nil {
		return "", err
	}
	name := filepath.Join(dir, "million.jsonl")
	f, err := os.Create(name)
	if err != nil {
		return "", err
	}
	w := bufio.NewWriterSize(f, 1<<20)
	e := &benchEntries{r: rand.New(rand.NewPCG(1, 2)), at: time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)}
	var b []byte
	for i := 0; i < benchTrials; i++ {
		if b, err = AppendJSON(b[:0], e.next()); err != nil {
			return "", err
		}
		w.Write(append(b, '\n'))
	}
	if err := w.Flush(); err != nil {
		return "", err
	}
	return name, f.Close()
})

// benchEntries makes trials such as an app would write: some ten trials of a dog in a row, with place, handler and
// latency, step and level, now and then help.
type benchEntries struct {
	r       *rand.Rand
	at      time.Time
	n       int
	dog     int
	beh     int
	session int
	e       curriculum.Entry
}

func (g *benchEntries) next() *curriculum.Entry {
	if g.n%10 == 0 {
		g.dog, g.beh, g.session = g.r.IntN(100), g.r.IntN(50), g.session+1
	}
	g.n++
	g.at = g.at.Add(time.Duration(5+g.r.IntN(10)) * time.Second)
	g.e = curriculum.Entry{Trial: curriculum.Trial{
		ID: fmt.Sprintf("t%d", g.n), Dog: fmt.Sprintf("dog-%02d", g.dog), Behaviour: fmt.Sprintf("behaviour-%02d", g.beh),
		At: g.at, Session: fmt.Sprintf("s%d", g.session), Place: "yard", Handler: "owner", Outcome: curriculum.Success,
		Measures: []curriculum.MeasureValue{{Name: "latency", Value: float64(5+g.r.IntN(30)) / 10}},
		Step:     "follow", Level: curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(30, curriculum.Degree)}}},
		Rewarded: curriculum.Yes,
	}}
	switch x := g.r.IntN(10); {
	case x < 2:
		g.e.Trial.Outcome, g.e.Trial.Rewarded = curriculum.Wrong, curriculum.No
	case x < 3:
		g.e.Trial.Help = []string{"touch"}
	}
	return &g.e
}

// window is the state of the rule: the newest five trials as bits.
type window struct {
	bits   uint8
	n      uint8
	level  int32
	passed int32
}

var ones = func() (t [32]uint8) {
	for i := range t {
		for j := i; j > 0; j &= j - 1 {
			t[i]++
		}
	}
	return t
}()

func (w *window) take(good bool) {
	w.bits = w.bits << 1 & 31
	if good {
		w.bits |= 1
	}
	w.n = min(w.n+1, 5)
	switch hits := ones[w.bits]; {
	case w.n-hits >= 3:
		w.level, w.n, w.bits = w.level-1, 0, 0
	case hits >= 4:
		w.level, w.n, w.bits, w.passed = w.level+1, 0, 0, w.passed+1
	}
}

// board finds the state of a dog's behaviour.
type board map[string]map[string]*window

func (b board) state(dog, behaviour []byte) *window {
	m := b[string(dog)]
	if m == nil {
		m = map[string]*window{}
		b[string(dog)] = m
	}
	w := m[string(behaviour)]
	if w == nil {
		w = &window{}
		m[string(behaviour)] = w
	}
	return w
}

func (b board) named(dog, behaviour string) *window {
	if m := b[dog]; m != nil {
		if w := m[behaviour]; w != nil {
			return w
		}
	}
	return b.state([]byte(dog), []byte(behaviour))
}

func (b board) passed() (n int32) {
	for _, m := range b {
		for _, w := range m {
			n += w.passed
		}
	}
	return n
}

// BenchmarkYardstick is what a sensible person would write by hand for this one question, trusting every line.
func BenchmarkYardstick(b *testing.B) {
	benchRun(b, func(f *os.File, to board) error {
		in := bufio.NewScanner(f)
		in.Buffer(make([]byte, 64<<10), 1<<20)
		value := func(line []byte, key string) []byte {
			i := bytes.Index(line, []byte(key))
			if i < 0 {
				return nil
			}
			rest := line[i+len(key):]
			return rest[:bytes.IndexByte(rest, '"')]
		}
		for in.Scan() {
			line := in.Bytes()
			good := string(value(line, `"outcome":"`)) == "success" && !bytes.Contains(line, []byte(`"help"`))
			to.state(value(line, `"dog":"`), value(line, `"behaviour":"`)).take(good)
		}
		return in.Err()
	})
}

// BenchmarkReader reads one source with every field checked.
func BenchmarkReader(b *testing.B) {
	benchRun(b, func(f *os.File, to board) error {
		r := NewReader(f, f.Name(), Options{})
		var e curriculum.Entry
		for {
			err := r.Next(&e)
			if err == io.EOF {
				return nil
			}
			if err != nil {
				return err
			}
			t := &e.Trial
			to.named(t.Dog, t.Behaviour).take(t.Outcome == curriculum.Success && len(t.Help) == 0)
		}
	})
}

// BenchmarkHistory is the whole way in: the order looked through first, ids compared over all sources.
func BenchmarkHistory(b *testing.B) {
	benchRun(b, func(f *os.File, to board) error {
		h, err := Open([]string{f.Name()}, nil, Options{})
		if err != nil {
			return err
		}
		var e curriculum.Entry
		for {
			err := h.Next(&e)
			if err == io.EOF {
				return h.Close()
			}
			if err != nil {
				return err
			}
			t := &e.Trial
			to.named(t.Dog, t.Behaviour).take(t.Outcome == curriculum.Success && len(t.Help) == 0)
		}
	})
}

// BenchmarkFoldFromDisk is all of it: the file opened, checked, ids compared, and the engine told of every trial. The
// rule is the yardstick's, over a ramp long enough that it never stops being asked.
func BenchmarkFoldFromDisk(b *testing.B) {
	p := benchProgram(b)
	benchRun(b, func(f *os.File, _ board) error {
		h, err := Open([]string{f.Name()}, nil, Options{})
		if err != nil {
			return err
		}
		fold := p.NewFold()
		var e curriculum.Entry
		for {
			err := h.Next(&e)
			if err == io.EOF {
				break
			}
			if err != nil {
				return err
			}
			// the file names one level throughout, which would be beside the point once a dog has moved on
			e.Trial.Level = nil
			if err := fold.Take(&e); err != nil {
				return err
			}
		}
		b.StopTimer() // a standing puts a reason behind each of its moves, which is another question
		defer b.StartTimer()
		moves := 0
		for _, d := range fold.Standing(fold.Now()).Dogs {
			for _, s := range d.Behaviours {
				moves += len(s.Moves)
			}
		}
		if moves < benchTrials/20 || len(fold.Reports())+len(h.Reports()) > 0 {
			return fmt.Errorf("%d moves, %d reports of the engine and %d of the reader", moves, len(fold.Reports()), len(h.Reports()))
		}
		return h.Close()
	})
}

func benchProgram(b *testing.B) *engine.Program {
	c := &curriculum.Curriculum{Name: "Pindrift Yard", Places: []string{"yard"}, Handlers: []string{"owner"},
		Measures: []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}}}
	turn := curriculum.Ramp{Of: "turn"}
	for d := range int64(300) {
		turn.Values = append(turn.Values, curriculum.LevelValue{Quantity: curriculum.Q(1+d, curriculum.Degree)})
	}
	for i := range 50 {
		c.Behaviours = append(c.Behaviours, &curriculum.Behaviour{Name: fmt.Sprintf("behaviour-%02d", i), Steps: []*curriculum.Step{{
			Name: "follow", Prompts: []string{"word"}, Help: []string{"touch"},
			Ramps: []curriculum.Ramp{turn}, Levels: curriculum.LayOut([]curriculum.Ramp{turn}, curriculum.Raise{}),
			Rules: []curriculum.Rule{
				{Word: curriculum.Advance, When: curriculum.Window{K: 4, N: 5}},
				{Word: curriculum.Ease, When: curriculum.Window{K: 3, N: 5, Count: curriculum.Misses}},
			}}}})
	}
	p, err := engine.Compile(c)
	if err != nil {
		b.Fatal(err)
	}
	return p
}

// BenchmarkEncodingJSON is the standard decoder alone, without the checks it does not make.
func BenchmarkEncodingJSON(b *testing.B) {
	benchRun(b, func(f *os.File, to board) error {
		in := bufio.NewScanner(f)
		in.Buffer(make([]byte, 64<<10), 1<<20)
		for in.Scan() {
			var t struct {
				ID        string             `json:"id"`
				Dog       string             `json:"dog"`
				Behaviour string             `json:"behaviour"`
				At        time.Time          `json:"at"`
				Session   string             `json:"session"`
				Place     string             `json:"place"`
				Handler   string             `json:"handler"`
				Outcome   string             `json:"outcome"`
				Help      any                `json:"help"`
				Early     bool               `json:"early"`
				Latency   *float64           `json:"latency"`
				Measures  map[string]float64 `json:"measures"`
				Step      string             `json:"step"`
				Level     map[string]string  `json:"level"`
				Rewarded  *bool              `json:"rewarded"`
				Note      string             `json:"note"`
			}
			if err := json.Unmarshal(in.Bytes(), &t); err != nil {
				return err
			}
			to.named(t.Dog, t.Behaviour).take(t.Outcome == "success" && t.Help == nil)
		}
		return in.Err()
	})
}

// benchRun reads the file once a round. Every way of reading it must come to the same count.
func benchRun(b *testing.B, read func(*os.File, board) error) {
	name, err := benchFile()
	if err != nil {
		b.Fatal(err)
	}
	info, err := os.Stat(name)
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(info.Size())
	b.ReportAllocs()
	for b.Loop() {
		f, err := os.Open(name)
		if err != nil {
			b.Fatal(err)
		}
		to := board{}
		if err := read(f, to); err != nil {
			b.Fatal(err)
		}
		f.Close()
		if n := to.passed(); n == 0 {
			// it kept no board
		} else if benchPassed == 0 {
			benchPassed = n
		} else if n != benchPassed {
			b.Fatalf("%d steps passed, another way of reading says %d", n, benchPassed)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/benchTrials, "ns/trial")
}

// benchPassed is what the first way of reading came to, 0 where no benchmark ran.
var benchPassed int32

func TestMain(m *testing.M) {
	code := m.Run()
	if benchPassed != 0 {
		if name, err := benchFile(); err == nil {
			os.RemoveAll(filepath.Dir(name))
		}
	}
	os.Exit(code)
}
