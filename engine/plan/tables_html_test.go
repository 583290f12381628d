package plan_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

func TestDaysAndClassDaysArePagesOfTables(t *testing.T) {
	c := yard()
	p := program(t, c)
	f := p.NewFold(curriculum.Dog{Name: "okapi"}, curriculum.Dog{Name: "bisk"})
	days, err := plan.Ahead(p, f, plan.Request{Dog: "okapi", At: morning, Place: "room-a"}, 7, 0)
	require.NoError(t, err)
	class, err := plan.ForClass(p, f, plan.Class{At: morning, Turns: 4, Minutes: 4, Change: 2, Equipment: map[string]int{"towel": 1},
		Stations: []plan.Station{{Name: "mats", Place: "room-a", Equipment: []string{"mat"}}, {Name: "yard", Place: "yard"}},
		Dogs:     []plan.ClassDog{{Dog: "okapi"}, {Dog: "bisk", Handler: "owner"}}, Apart: [][]string{{"okapi", "bisk"}}}, plan.Request{At: morning})
	require.NoError(t, err)
	pages := map[string]string{}
	write := func(name string, to func(*strings.Builder) error) {
		var b strings.Builder
		require.NoError(t, to(&b))
		pages[name] = b.String()
		accessible(t, b.String())
	}
	write("days", func(b *strings.Builder) error { return days.WriteHTML(b, engine.ForTrainer) })
	write("days for the owner", func(b *strings.Builder) error { return days.WriteHTML(b, engine.ForOwner) })
	write("class", func(b *strings.Builder) error { return class.WriteHTML(b) })

	require.Equal(t, 7, strings.Count(pages["days"], "<table"), "one for each session")
	require.Contains(t, pages["days for the owner"], `<th scope="col">Exercise</th><th scope="col">This time</th><th scope="col">Tries</th>`)
	require.NotContains(t, pages["days for the owner"], "Step and level")
	require.Equal(t, 3, strings.Count(pages["class"], "<table"), "who works where, and one for each station")
	for _, says := range []string{"bisk with owner", "Station mats, room-a; mat stays there", "<h2>Never in one turn</h2>\n<ul><li>okapi and bisk</li></ul>", "towel: 1"} {
		require.Contains(t, pages["class"], says)
	}
	for _, turn := range class.Turns {
		require.Contains(t, pages["class"], `<th scope="row">`+fmt.Sprintf("%d, %s", turn.Turn, turn.At.Format("15:04")))
		require.LessOrEqual(t, len(turn.Work), 1, "they are kept apart")
	}
}

func TestADayWithoutTrainingHasNoTable(t *testing.T) {
	c := yard()
	p := program(t, c)
	f := p.NewFold(curriculum.Dog{Name: "okapi"})
	require.NoError(t, f.Note(&curriculum.Event{ID: "1", Dog: "okapi", At: morning, Kind: curriculum.SignSeen, Sign: "growl", By: "Dov"}))
	days, err := plan.Ahead(p, f, plan.Request{Dog: "okapi", At: morning.AddDate(0, 0, 1)}, 7, 0)
	require.NoError(t, err)
	var b strings.Builder
	require.NoError(t, days.WriteHTML(&b, engine.ForOwner))
	require.NotContains(t, b.String(), "<table")
	require.Contains(t, b.String(), "See a veterinarian first")
}
