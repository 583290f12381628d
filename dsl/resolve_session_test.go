package dsl_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
)

func TestTheSuccessThatASessionKeeps(t *testing.T) {
	read := func(lines string) (*curriculum.Curriculum, dsl.Diagnostics) {
		return dsl.ReadString("keep.rung", "rung 1\nsession {\n"+lines+"\n}\n")
	}
	c, ds := read("  lasts 5 min\n  keep success at 72.5% or better")
	require.Empty(t, ds.Text())
	require.Equal(t, curriculum.Share{Num: 29, Den: 40}, c.Sessions[0].Success)
	require.Equal(t, 4, c.Sessions[0].SuccessPos.Line)

	c, ds = read("  lasts 5 min")
	require.Empty(t, ds.Text())
	require.True(t, c.Sessions[0].Success.IsZero())

	for _, k := range []struct{ name, line, text, help string }{
		{"a number is no share", "keep success at 70 or better", "70", "%"},
		{"more than all", "keep success at 120% or better", "120%", ""},
		{"nothing", "keep success at 0% or better", "0%", ""},
		{"no share at all", "keep success at or better", "such as 75%", ""},
		{"twice", "keep success at 70% or better\n  keep success at 80% or better", "keep success", ""},
	} {
		t.Run(k.name, func(t *testing.T) {
			_, ds := read("  " + k.line)
			require.Len(t, ds, 1, ds.Text())
			require.Contains(t, ds.Text(), k.text)
			require.Contains(t, ds.Text(), k.help)
		})
	}
	tidied, err := dsl.Tidy("keep.rung", []byte("rung 1\nsession {\nkeep   success  at 70 %  or better\n}\n"))
	require.NoError(t, err)
	require.Equal(t, "rung 1\nsession {\n  keep success at 70% or better\n}\n", string(tidied))
}

func TestTheRestsOfASession(t *testing.T) {
	read := func(line string) (*curriculum.Curriculum, dsl.Diagnostics) {
		return dsl.ReadString("rest.rung", "rung 1\nsession {\n  "+line+"\n}\n")
	}
	c, ds := read("rest 1 min every 150 s")
	require.Empty(t, ds.Text())
	require.True(t, c.Sessions[0].Rest.For.Equal(curriculum.Q(60, curriculum.Second)))
	require.True(t, c.Sessions[0].Rest.Every.Equal(curriculum.Q(150, curriculum.Second)))
	require.Equal(t, 3, c.Sessions[0].Rest.Pos.Line)
	for _, k := range []struct{ name, line, text string }{
		{"a length is no time", "rest 1 m every 3 min", "1 m"},
		{"no rest at all", "rest 0 s every 3 min", "0 s"},
		{"a rest of what?", "rest every 3 min", "every"},
		{"only half of it", "rest 1 min", "every"},
		{"a break", "break 1 min every 3 min", "write rest for break"},
		{"twice", "rest 1 min every 3 min\n  rest 2 min every 3 min", "rest"},
	} {
		t.Run(k.name, func(t *testing.T) {
			_, ds := read(k.line)
			require.Len(t, ds, 1, ds.Text())
			require.Contains(t, ds.Text(), k.text)
		})
	}
	tidied, err := dsl.Tidy("rest.rung", []byte("rung 1\nsession {\nrest 1min   every 3 min\n}\n"))
	require.NoError(t, err)
	require.Equal(t, "rung 1\nsession {\n  rest 1 min every 3 min\n}\n", string(tidied))
}

func TestTheImpactTrialsOfASession(t *testing.T) {
	read := func(line string) (*curriculum.Curriculum, dsl.Diagnostics) {
		return dsl.ReadString("impact.rung", "rung 1\nsession {\n  "+line+"\n}\n")
	}
	c, ds := read("at most 30 trials, 12 impact trials a session, 20 impact trials per day\n  at most 60 impact trials a week")
	require.Empty(t, ds.Text())
	s := c.Sessions[0]
	require.Equal(t, 30, s.MaxTrials)
	require.Len(t, s.Impact, 3)
	for i, want := range []curriculum.Cap{{N: 12, Per: curriculum.PerSession}, {N: 20, Per: curriculum.PerDay}, {N: 60, Per: curriculum.PerWeek}} {
		require.NotZero(t, s.Impact[i].Pos.Line)
		want.Pos = s.Impact[i].Pos
		require.Equal(t, want, s.Impact[i])
	}
	for _, k := range []struct{ name, line, text string }{
		{"over what span?", "at most 12 impact trials", `expected "a" or "per"`},
		{"over a span that is none", "at most 12 impact trials a month", `expected "session", "day" or "week"`},
		{"none at all", "at most 0 impact trials a day", "0"},
		{"twice", "at most 12 impact trials a day, 14 impact trials a day", "impact trials a day stands here"},
		{"another kind", "at most 12 care trials a day", `"impact"`},
	} {
		t.Run(k.name, func(t *testing.T) {
			_, ds := read(k.line)
			require.Len(t, ds, 1, ds.Text())
			require.Contains(t, ds.Text(), k.text)
		})
	}
	tidied, err := dsl.Tidy("impact.rung", []byte("rung 1\nsession {\nat most 12   impact trials a session,20 impact trials a day\n}\n"))
	require.NoError(t, err)
	require.Equal(t, "rung 1\nsession {\n  at most 12 impact trials a session, 20 impact trials a day\n}\n", string(tidied))
}

func TestTheWarmthOfASession(t *testing.T) {
	read := func(line string) (*curriculum.Curriculum, dsl.Diagnostics) {
		return dsl.ReadString("warm.rung", "rung 1\nsession {\n  "+line+"\n}\n")
	}
	c, ds := read("nothing lively above 22 celsius")
	require.Empty(t, ds.Text())
	require.Equal(t, 22, c.Sessions[0].LivelyUpTo)
	for _, k := range []struct{ name, line, text string }{
		{"of what?", "nothing lively above 22", `"celsius"`},
		{"an angle", "nothing lively above 22 deg", `"celsius"`},
		{"half a degree", "nothing lively above 22.5 celsius", "22.5"},
		{"no limit at all", "nothing above 22 celsius", `"lively"`},
		{"twice", "nothing lively above 22 celsius\n  nothing lively above 24 celsius", "nothing lively stands here"},
	} {
		t.Run(k.name, func(t *testing.T) {
			_, ds := read(k.line)
			require.Len(t, ds, 1, ds.Text())
			require.Contains(t, ds.Text(), k.text)
		})
	}
	tidied, err := dsl.Tidy("warm.rung", []byte("rung 1\nsession {\nnothing  lively above 22   celsius\n}\n"))
	require.NoError(t, err)
	require.Equal(t, "rung 1\nsession {\n  nothing lively above 22 celsius\n}\n", string(tidied))
}
