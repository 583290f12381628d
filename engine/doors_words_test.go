package engine_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

func TestADoorOnTheDogSaysWhatItLacksInWords(t *testing.T) {
	day := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	young := &curriculum.Dog{Name: "okapi", Born: time.Date(2025, 6, 1, 0, 0, 0, 0, time.UTC), WeightKg: 4.2}
	unknown := &curriculum.Dog{Name: "okapi"}
	for _, c := range []struct {
		name, door string
		dog        *curriculum.Dog
		want       string // behind "needs"; "" where the door is met
	}{
		{"an age not reached", "dog.age_months >= 12", young, "the dog to be at least 12 months old (now 9)"},
		{"an age reached", "age_months >= 9", young, ""},
		{"written the other way round", "12 <= age_months", young, "the dog to be at least 12 months old (now 9)"},
		{"one month", "age_months < 1", young, "the dog to be less than 1 month old (now 9)"},
		{"weeks and days", "age_weeks > 52 and age_days >= 400", young, "the dog to be more than 52 weeks old (now 39) and at least 400 days old (now 274)"},
		{"only what is lacking of two", "age_months >= 6 and weight_kg >= 8.5", young, "the dog to be at least 8.5 kg (now 4.2)"},
		{"too heavy", "weight_kg <= 4", young, "the dog to be at most 4 kg (now 4.2)"},
		{"a grown weight nobody wrote down", "adult_weight_kg < 25", young, "the dog to be less than 25 kg when grown (its grown weight is not known)"},
		{"no birth date", "age_months >= 12", unknown, "the dog to be at least 12 months old (its birth date is not known)"},
		{"no profile", "age_months >= 12", nil, "the dog to be at least 12 months old (it has no profile)"},
		{"neutered or not, and nobody said", "neutered", young, "the dog to be neutered (the profile does not say)"},
		{"not neutered", "not neutered", &curriculum.Dog{Name: "okapi", Neutered: curriculum.Yes}, "the dog to be not neutered"},
		{"an alternative stays as it is written", "age_months >= 12 or weight_kg >= 8", young, "the dog: age_months >= 12 or weight_kg >= 8"},
		{"and without a profile", "age_months + 1 >= 12", nil, "the dog: age_months + 1 >= 12 (it has no profile)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := behaviour("pull", step("one"))
			b.Needs = []curriculum.Need{{Dog: &curriculum.Expression{Text: c.door}}}
			p := compile(t, house(b))
			f := p.NewFold()
			if c.dog != nil {
				f = p.NewFold(*c.dog)
			}
			_ = f.Note(&curriculum.Event{Dog: "okapi", At: day, Kind: curriculum.NoteTaken})
			got := f.Standing(day).Dogs[0].Behaviours[0]
			if c.want == "" {
				require.Equal(t, curriculum.Open, got.State)
				return
			}
			require.Equal(t, []string{c.want}, got.Missing)
		})
	}
	b := behaviour("pull", step("one"))
	b.Needs = []curriculum.Need{{Dog: &curriculum.Expression{Text: "dog.age_months >= 12"}}}
	w, err := compile(t, house(b)).NewFold(*young).Why("okapi", "pull", day)
	require.NoError(t, err)
	require.Contains(t, w.Text(), "needs the dog to be at least 12 months old (now 9)")
	require.Contains(t, w.Words(engine.ForOwner), "It waits: okapi has to be at least 12 months old (now 9).")
}
