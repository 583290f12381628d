package main

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

// trade is what an owner should not have to read: schedules, spellings of rules, percent, lines of files, ids of trials.
var trade = regexp.MustCompile(`variable|\bfixed\b|percentile|ratio\b|interval|\bthin\b|of last|of each|misses|silent|opt-out|%|advance|evidence|[a-z]\.rung|dog\.|seed|/20\d\d-|[{}<>]`)

// Every dog and behaviour of the school, in the owner's words.
func TestWhatAnOwnerReadsOfTheWholeSchoolIsPlain(t *testing.T) {
	school := filepath.Join(repoRoot(t), "examples", "pindrift")
	flags := historyFlags{Log: []string{filepath.Join(school, "logs")}, Dogs: filepath.Join(school, "dogs.json"), Zone: "UTC", Echo: "none"}
	w, _, _ := testWorld("")
	told, err := flags.read(w, filepath.Join(school, "house.rung"), "", true)
	require.NoError(t, err)
	now := told.now()
	plain := func(text string) {
		for _, l := range strings.Split(strings.ReplaceAll(text, "ration", "food"), "\n") {
			require.LessOrEqual(t, columns(l), width, l)
			require.NotRegexp(t, trade, l)
			require.NotRegexp(t, `\s$`, l)
		}
	}
	sheets := 0
	for _, d := range told.fold.Standing(now).Dogs {
		for _, b := range d.Behaviours {
			why, err := told.fold.Why(d.Dog, b.Behaviour, now)
			require.NoError(t, err)
			plain(why.Words(engine.ForOwner))
			require.Equal(t, why.Text(), why.Words(engine.ForTrainer))
		}
		for _, place := range []string{"yard", "home", "room-a"} {
			p, err := plan.Next(told.program, told.fold, plan.Request{Dog: d.Dog, At: now.Add(20 * time.Hour), Place: place, Handler: "owner"})
			require.NoError(t, err)
			text := p.TextFor(engine.ForOwner)
			if len(p.Referral) > 0 {
				require.Contains(t, text, "veterinarian")
			}
			plain(text)
			require.Equal(t, p.Text(), p.TextFor(engine.ForTrainer))
			for _, it := range p.Items {
				sheets++
				require.Contains(t, strings.Join(strings.Fields(p.MarkdownFor(engine.ForOwner)), " "), it.Behaviour)
				if it.Card.Stop != "" {
					require.NotEmpty(t, it.Card.OwnerStop)
				}
			}
		}
	}
	require.Greater(t, sheets, 30)
}
