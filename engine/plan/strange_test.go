package plan_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

// A sign that the curriculum does not know locks nothing, so every form of the plan has to speak of it until somebody
// has looked at the dog.
func TestASignThatNothingDeclaresStandsOnEveryPlanUntilItIsCleared(t *testing.T) {
	c := yard()
	p, f := fresh(t, c)
	seen := &curriculum.Event{Dog: "gantry", At: morning.Add(-24 * time.Hour), Kind: curriculum.SignSeen, Sign: "wobbly-hind", Behaviour: "hand-touch", By: "Dov", Note: "at the gate"}
	require.NoError(t, f.Note(seen))
	forms := func() map[string]string {
		r := plan.Request{Dog: "gantry", At: morning, Place: "yard"}
		next, err := plan.Next(p, f, r)
		require.NoError(t, err)
		days, err := plan.Ahead(p, f, r, 3, 0)
		require.NoError(t, err)
		class, err := plan.ForClass(p, f, plan.Class{At: morning, Turns: 2, Minutes: 4, Stations: []plan.Station{{Place: "yard"}}, Dogs: []plan.ClassDog{{Dog: "gantry", Turns: 1}}}, plan.Request{At: morning})
		require.NoError(t, err)
		out := map[string]string{
			"text": next.Text(), "owner": next.TextFor(engine.ForOwner), "markdown": next.Markdown(), "days": days.Text(), "days markdown": days.Markdown(),
			"class": class.Text(), "class markdown": class.Markdown(), "days owner": days.TextFor(engine.ForOwner),
			"json": strings.Join(next.Cautions, "\n"), "days json": strings.Join(days.Cautions, "\n"), "class json": strings.Join(class.Cautions, "\n"),
		}
		for name, write := range map[string]func(*bytes.Buffer) error{
			"html":       func(b *bytes.Buffer) error { return next.WriteHTML(b, engine.ForTrainer) },
			"html owner": func(b *bytes.Buffer) error { return next.WriteHTML(b, engine.ForOwner) },
			"days html":  func(b *bytes.Buffer) error { return days.WriteHTML(b, engine.ForTrainer) },
			"class html": func(b *bytes.Buffer) error { return class.WriteHTML(b) },
		} {
			var b bytes.Buffer
			require.NoError(t, write(&b))
			out[name] = b.String()
		}
		for name, text := range out {
			out[name] = strings.Join(strings.Fields(text), " ")
		}
		require.NotEmpty(t, next.Items, "nothing is locked")
		return out
	}
	for name, text := range forms() {
		require.Contains(t, text, "Seen and not cleared: wobbly-hind in hand-touch on 2 March 2026, noted by Dov (at the gate)", name)
		if strings.Contains(name, "owner") {
			require.Contains(t, text, "Ring your trainer before you begin, and a veterinarian", name)
			require.NotContains(t, text, "senior trainer look", name)
		} else {
			require.Contains(t, text, "have a senior trainer look at the dog, and a veterinarian", name)
		}
		if strings.Contains(name, "html") {
			require.Equal(t, 1, strings.Count(text, "Seen and not cleared"), name)
		}
	}

	// whoever looks at the dog need not have been there: a clear of another behaviour lifts nothing, one by name does
	require.NoError(t, f.Note(&curriculum.Event{Dog: "gantry", At: morning.Add(-3 * time.Hour), Kind: curriculum.SignCleared, Sign: "wobbly-hind", Behaviour: "settle", By: "Halla"}))
	require.Contains(t, forms()["text"], "wobbly-hind")
	require.NoError(t, f.Note(&curriculum.Event{Dog: "gantry", At: morning.Add(-2 * time.Hour), Kind: curriculum.SignCleared, Sign: "wobbly-hind", By: "Halla"}))
	for name, text := range forms() {
		require.NotContains(t, text, "wobbly-hind", name)
	}
	require.Len(t, f.Reports(), 2, "the sign, and the clear that lifted nothing")
}

func TestAStrangeSignStandsBesideALockAndAfterASavedStanding(t *testing.T) {
	c := yard()
	p, f := fresh(t, c)
	before := f.HistoryPrint("gantry")
	for i, e := range []curriculum.Event{{Sign: "wobbly-hind", By: "Dov"}, {Sign: "growl", By: "Dov"}} {
		e.Dog, e.Kind, e.At = "gantry", curriculum.SignSeen, morning.Add(time.Duration(i-9)*time.Minute)
		require.NoError(t, f.Note(&e))
	}
	require.NotEqual(t, before, f.HistoryPrint("gantry"))
	var saved bytes.Buffer
	require.NoError(t, f.Save(&saved))
	again, err := p.Resume(&saved)
	require.NoError(t, err)
	for _, f := range []*engine.Fold{f, again} {
		next, err := plan.Next(p, f, plan.Request{Dog: "gantry", At: morning})
		require.NoError(t, err)
		require.Empty(t, next.Items)
		require.Contains(t, strings.Join(next.Referral, "\n"), "Seen and not cleared: wobbly-hind on 3 March 2026, noted by Dov.")
		require.Equal(t, next.Referral[len(next.Referral)-1:], next.Cautions)
	}
}
