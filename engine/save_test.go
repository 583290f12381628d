package engine_test

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

func saved(t require.TestingT, f *engine.Fold) []byte {
	var b bytes.Buffer
	require.NoError(t, f.Save(&b))
	return b.Bytes()
}

func TestRecordReplayAndResumeAtAnyPointAreTheSameToTheByte(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		p, err := engine.Compile(anyHouse(r))
		require.NoError(t, err)
		d := anyDiary(r, rapid.IntRange(1, 60).Draw(t, "trials"))
		ids := rapid.Bool().Draw(t, "session ids")
		for i := range d.list {
			if ids {
				d.list[i].Trial.Session = []string{"", "s1", "s2", "s3"}[r.IntN(4)]
			}
			if r.IntN(25) == 0 {
				d.list[i].IsEvent = true
				d.list[i].Event = curriculum.Event{ID: "v", Dog: d.dog, Behaviour: "spin", At: d.list[i].Trial.At, Kind: []curriculum.EventKind{curriculum.SignSeen, curriculum.SignCleared, curriculum.HandMove}[r.IntN(3)],
					Sign: []string{"growl", "limp", "turns-away"}[r.IntN(3)], Step: []string{"follow", "pair"}[r.IntN(2)], Kept: r.IntN(4) == 0, By: "Halla"}
				d.list[i].Event.ID += d.list[i].Trial.ID
			}
		}
		one := p.NewFold()
		for i := range d.list {
			require.NoError(t, one.Take(&d.list[i]))
		}
		whole := saved(t, one)
		shuffled := slices.Clone(d.list)
		r.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		require.Equal(t, string(whole), string(saved(t, p.Replay(shuffled, one.Now()))))
		cut := rapid.IntRange(0, len(d.list)).Draw(t, "cut")
		part := p.NewFold()
		for i := range d.list[:cut] {
			require.NoError(t, part.Take(&d.list[i]))
		}
		first := saved(t, part)
		again, err := p.Resume(bytes.NewReader(first))
		require.NoError(t, err)
		require.Equal(t, string(first), string(saved(t, again)))
		for i := range d.list[cut:] {
			require.NoError(t, again.Take(&d.list[cut+i]))
		}
		require.Equal(t, string(whole), string(saved(t, again)))
		a, err := one.Why("okapi", "spin", one.Now())
		require.NoError(t, err)
		b, err := again.Why("okapi", "spin", one.Now())
		require.NoError(t, err)
		require.Equal(t, a.Text(), b.Text())
	})
}

func TestAStandingOfAnotherMeaningIsRefused(t *testing.T) {
	p := compile(t, house(behaviour("spin", step("follow", rule(curriculum.Advance, last(4, 5))))))
	f := p.NewFold()
	for _, e := range okapi().tally("spin", "+ + -").list {
		require.NoError(t, f.Take(&e))
	}
	text := saved(t, f)
	other := compile(t, house(behaviour("spin", step("follow", rule(curriculum.Advance, last(4, 6))))))
	_, err := other.Resume(bytes.NewReader(text))
	require.ErrorIs(t, err, engine.ErrOtherCurriculum)
	respelt := house(behaviour("spin", step("follow", rule(curriculum.Advance, curriculum.Window{K: 4, N: 5, Share: curriculum.Percent(80)}))))
	_, err = compile(t, respelt).Resume(bytes.NewReader(text))
	require.NoError(t, err, "another spelling of the same meaning")
	standing, err := json.Marshal(f.Standing(f.Now()))
	require.NoError(t, err)
	for name, broken := range map[string]string{
		"nothing":             "",
		"no object":           "[1]",
		"cut short":           string(text[:len(text)/2]),
		"a plain standing":    string(standing),
		"an unknown field":    `{"surprise":1}`,
		"a history with a 2":  string(bytes.Replace(text, []byte(`"history":"0`), []byte(`"history":"2`), 1)),
		"a wrong number":      string(bytes.Replace(text, []byte(`"filled":3`), []byte(`"filled":4`), 1)),
		"an unknown step":     string(bytes.Replace(text, []byte(`"step":"follow","begun"`), []byte(`"step":"fallow","begun"`), 1)),
		"a negative level":    string(bytes.Replace(text, []byte(`"begun":true`), []byte(`"begun":true,"level":-1`), 1)),
		"an impossible day":   string(bytes.Replace(text, []byte(`"lines":3`), []byte(`"lines":-3`), 1)),
		"an unknown rule":     string(bytes.Replace(text, []byte(`"tracks":[`), []byte(`"held":["x"],"tracks":[`), 1)),
		"an unknown history":  string(bytes.Replace(text, []byte(`"of":"`), []byte(`"of":"x`), 1)),
		"a trial of no kind":  string(bytes.Replace(text, []byte(`"trail":[{"id":"t1"`), []byte(`"trail":[{"id":"t1","kind":77`), 1)),
		"no session":          string(bytes.Replace(text, []byte(`"session":1,"sessions"`), []byte(`"session":9,"sessions"`), 1)),
		"a session too many":  string(bytes.Replace(text, []byte(`{"n":1,`), []byte(`{"n":7,`), 1)),
		"an unknown one work": string(bytes.Replace(text, []byte(`"worked":[{"behaviour":"spin"`), []byte(`"worked":[{"behaviour":"spun"`), 1)),
	} {
		require.NotEqual(t, string(text), broken, name)
		_, err := p.Resume(bytes.NewReader([]byte(broken)))
		require.Error(t, err, name)
	}
}

// FuzzResume must never panic, and what it takes up must save again.
func FuzzResume(f *testing.F) {
	p := compile(f, house(behaviour("spin", turning(step("follow", rule(curriculum.Advance, last(4, 5)), rule(curriculum.StopToday, curriculum.InSession{Is: missesOf(2, 2)})), 30, 60)),
		&curriculum.Behaviour{Name: "mat", Needs: []curriculum.Need{{Other: "spin", Step: "follow"}}, Steps: []*curriculum.Step{step("lie")}}))
	for _, marks := range []string{"", "+", "+ + - h | + + + e o x -", "- - - D + + + + +"} {
		fold := p.NewFold()
		for i, e := range okapi().tally("spin", marks).list {
			e.Trial.Session = []string{"", "s1", "s2"}[i/3%3]
			require.NoError(f, fold.Take(&e))
		}
		f.Add(saved(f, fold))
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		fold, err := p.Resume(bytes.NewReader(in))
		if err != nil {
			return
		}
		d := okapi()
		d.at = fold.Now().AddDate(0, 0, 1)
		for _, e := range d.tally("spin", "+ - h | + +").list {
			_ = fold.Take(&e)
		}
		saved(t, fold)
		_, _ = fold.Why("okapi", "spin", fold.Now())
	})
}

func TestAProgramIsSafeForManyFoldsAtOnce(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	p := compile(t, anyHouse(r))
	d := anyDiary(r, 80)
	want := ""
	var wait sync.WaitGroup
	got := make([]string, 8)
	for i := range got {
		wait.Add(1)
		go func() {
			defer wait.Done()
			f := p.NewFold(curriculum.Dog{Name: "okapi", WeightKg: 4})
			for j := range d.list {
				e := d.list[j]
				_ = f.Take(&e)
			}
			w, err := f.Why("okapi", "spin", f.Now())
			if err == nil {
				got[i] = string(saved(t, f)) + w.Text()
			}
		}()
	}
	wait.Wait()
	want = got[0]
	require.NotEmpty(t, want)
	for _, g := range got {
		require.Equal(t, want, g)
	}
}
