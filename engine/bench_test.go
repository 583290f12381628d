package engine_test

import (
	"fmt"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
)

// A million trials of 100 dogs in 50 behaviours, in memory, folded by the engine and by the loop that somebody would
// write by hand for the one question `4 of last 5` / `3 misses of last 5`. Run both in one go:
//
//	go test -run xxx -bench 'Record|Yardstick' ./engine/
const (
	benchDogs       = 100
	benchBehaviours = 50
	benchTrials     = 1_000_000
)

func benchHouse() *curriculum.Curriculum {
	var bs []*curriculum.Behaviour
	for i := range benchBehaviours {
		bs = append(bs, behaviour("behaviour-"+strconv.Itoa(i),
			turning(step("follow", rule(curriculum.Advance, last(4, 5)), rule(curriculum.Ease, missesOf(3, 5))), 30, 60, 90, 120, 150, 180),
			step("pair", rule(curriculum.Advance, last(4, 5)), rule(curriculum.Ease, missesOf(3, 5))),
			step("alone", rule(curriculum.Ease, missesOf(3, 5)))))
	}
	return house(bs...)
}

// benchHistory gives every dog sessions of ten trials in each of five behaviours, at a success rate that keeps moving.
func benchHistory(n int) []curriculum.Trial {
	out := make([]curriculum.Trial, n)
	names := func(of string, n int) []string {
		s := make([]string, n)
		for i := range s {
			s[i] = fmt.Sprintf("%s-%d", of, i)
		}
		return s
	}
	dogs, bs := names("dog", benchDogs), names("behaviour", benchBehaviours)
	x := uint32(1)
	at := monday
	for i := range out {
		session := i / 50
		dog := session % benchDogs
		x ^= x << 13
		x ^= x >> 17
		x ^= x << 5
		o := curriculum.Success
		if x%10 < 4 {
			o = curriculum.Wrong
		}
		at = at.Add(time.Second)
		out[i] = curriculum.Trial{ID: "t" + strconv.Itoa(i), Dog: dogs[dog], Behaviour: bs[(session/benchDogs*5+i/10%5)%benchBehaviours], At: at, Place: "yard", Handler: "senior", Outcome: o}
	}
	return out
}

func BenchmarkRecord(b *testing.B) {
	p := compile(b, benchHouse())
	history := benchHistory(benchTrials)
	b.ReportAllocs()
	for b.Loop() {
		f := p.NewFold()
		for i := range history {
			if err := f.Record(&history[i]); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/benchTrials, "ns/trial")
}

// yardKey and yard are the hand-written loop's state: where a dog stands in a behaviour, and its last five trials.
type yardKey struct{ dog, behaviour string }

type yard struct {
	level, n int
	last     [5]bool
}

func BenchmarkYardstick(b *testing.B) {
	history := benchHistory(benchTrials)
	b.ReportAllocs()
	for b.Loop() {
		dogs := map[yardKey]*yard{}
		for i := range history {
			t := &history[i]
			k := yardKey{t.Dog, t.Behaviour}
			y := dogs[k]
			if y == nil {
				y = &yard{}
				dogs[k] = y
			}
			y.last[y.n%5] = t.Outcome == curriculum.Success
			y.n++
			good := 0
			for _, ok := range y.last[:min(y.n, 5)] {
				if ok {
					good++
				}
			}
			bad := min(y.n, 5) - good
			switch {
			case bad >= 3:
				*y = yard{level: max(0, y.level-1)}
			case good >= 4:
				*y = yard{level: y.level + 1}
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/benchTrials, "ns/trial")
}

func BenchmarkWhy(b *testing.B) {
	p := compile(b, benchHouse())
	f := p.NewFold()
	history := benchHistory(20_000)
	for i := range history {
		require.NoError(b, f.Record(&history[i]))
	}
	for b.Loop() {
		if _, err := f.Why("dog-7", "behaviour-3", f.Now()); err != nil {
			b.Fatal(err)
		}
	}
}

func TestATrialIsTakenWithoutAllocation(t *testing.T) {
	second := curriculum.Q(2, curriculum.Second)
	rules := []curriculum.Rule{
		rule(curriculum.Advance, curriculum.And{All: []curriculum.Criterion{last(100, 100), curriculum.Window{K: 4, N: 5, Qualify: curriculum.Qualifiers{Within: &second, Among: &curriculum.Expression{Text: `place == "yard" and dog.weight_kg > 3`}}}}}),
		rule(curriculum.Ease, missesOf(50, 50)), rule(curriculum.StopToday, curriculum.InSessionCount{N: 1000, Count: curriculum.Misses})}
	p := compile(t, house(behaviour("spin", turning(step("follow", rules...), 30, 60))))
	f := p.NewFold(curriculum.Dog{Name: "okapi", WeightKg: 4})
	d := okapi().tally("spin", repeat("+-+0h", 40))
	for i := range d.list {
		trial := &d.list[i].Trial
		trial.Place, trial.Handler = "yard", "owner"
		trial.Step, trial.Level = "follow", curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(30, curriculum.Degree)}}}
		trial.Measures = []curriculum.MeasureValue{{Name: "latency", Value: 1}}
	}
	next := 0
	take := func() {
		if err := f.Record(&d.list[next].Trial); err != nil {
			panic(err)
		}
		next++
	}
	for range 90 {
		take()
	}
	require.Zero(t, testing.AllocsPerRun(100, take))
}
