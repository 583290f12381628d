package plan_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

var update = flag.Bool("update", false, "write the golden files anew")

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(want), got)
}

func TestSheets(t *testing.T) {
	c := yard()
	puppy := curriculum.Dog{Name: "okapi", Born: morning.AddDate(0, 0, -77), WeightKg: 4.2, AdultWeightKg: 11, Avoid: []string{"milk"}, Notes: "naps often"}
	locked := gantry(c)
	locked.Locked = []engine.Lock{{Sign: "growl", At: morning.AddDate(0, 0, -2), By: "Dov", Note: "at the file"}}
	for _, s := range []struct {
		name string
		v    *engine.DogView
		r    plan.Request
	}{
		{"gantry", gantry(c), plan.Request{Place: "yard", Handler: "owner", Seed: 7}},
		{"puppy", shown(c, puppy), plan.Request{Place: "room-a", Minutes: 2, Pieces: 12}},
		{"locked", locked, plan.Request{Place: "yard"}},
	} {
		t.Run(s.name, func(t *testing.T) {
			p := planned(t, s.v, s.r)
			golden(t, s.name+".txt", p.Text())
			golden(t, s.name+".md", p.Markdown())
			golden(t, s.name+"-owner.txt", p.TextFor(engine.ForOwner))
			golden(t, s.name+"-owner.md", p.MarkdownFor(engine.ForOwner))
			var b bytes.Buffer
			for name, v := range map[string]engine.Voice{".html": engine.ForTrainer, "-owner.html": engine.ForOwner} {
				b.Reset()
				require.NoError(t, p.WriteHTML(&b, v))
				golden(t, s.name+name, b.String())
			}
			b.Reset()
			require.NoError(t, p.WriteJSON(&b))
			golden(t, s.name+".json", b.String())
			for _, l := range strings.Split(p.Text()+p.TextFor(engine.ForOwner), "\n") {
				require.LessOrEqual(t, utf8.RuneCountInString(l), 80, l)
				require.NotRegexp(t, `\s$`, l)
			}
		})
	}
}
