package plan_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

func TestWithoutAProgramOrAFoldThereIsAnErrorAndNoPlan(t *testing.T) {
	good, err := engine.Compile(&curriculum.Curriculum{Name: "one"})
	require.NoError(t, err)
	other, err := engine.Compile(&curriculum.Curriculum{Name: "two", Behaviours: []*curriculum.Behaviour{{Name: "spin", Steps: []*curriculum.Step{{Name: "one"}}}}})
	require.NoError(t, err)
	r := plan.Request{Dog: "okapi", At: time.Date(2026, 3, 2, 17, 0, 0, 0, time.UTC)}
	for name, c := range map[string]struct {
		p    *engine.Program
		f    *engine.Fold
		want error
	}{
		"no program":                {nil, good.NewFold(), engine.ErrNoProgram},
		"no fold":                   {good, nil, engine.ErrNoProgram},
		"a fold made from nothing":  {good, &engine.Fold{}, engine.ErrNoProgram},
		"a fold of another meaning": {good, other.NewFold(curriculum.Dog{Name: "okapi"}), engine.ErrOtherCurriculum},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := plan.Next(c.p, c.f, r)
			require.ErrorIs(t, err, c.want)
			_, err = plan.NextIf(c.p, c.f, r, []curriculum.Trial{{Behaviour: "spin"}})
			require.ErrorIs(t, err, c.want)
			_, err = plan.Ahead(c.p, c.f, r, 3, 0)
			require.ErrorIs(t, err, c.want)
			_, err = plan.ForClass(c.p, c.f, plan.Class{Turns: 1, Minutes: 5, Dogs: []plan.ClassDog{{Dog: "okapi"}}, Stations: []plan.Station{{Place: "yard"}}}, r)
			require.ErrorIs(t, err, c.want)
		})
	}
	_, err = plan.ForView(nil, &engine.DogView{}, r)
	require.ErrorIs(t, err, engine.ErrNoProgram)
	_, err = plan.ForView(good, nil, r)
	require.ErrorContains(t, err, `dog "okapi" is not known`)
	_, err = plan.ReadClass(nil)
	require.Error(t, err)
	var none *plan.Plan
	require.Empty(t, none.Text()+none.Markdown())
	require.Error(t, none.WriteHTML(nil, engine.ForOwner))
	require.Empty(t, (*plan.Days)(nil).Text()+(*plan.Days)(nil).Markdown()+(*plan.ClassDay)(nil).Text()+(*plan.ClassDay)(nil).Markdown())
}
