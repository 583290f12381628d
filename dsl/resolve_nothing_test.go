package dsl_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/dsl"
)

func TestFilesThatAreNotThereAreLeftOutOfAReading(t *testing.T) {
	f, found := dsl.Parse("house.rung", []byte("rung 1\nbehaviour spin {\n  step one {\n    prompt word\n  }\n}\n"))
	require.Empty(t, found)
	c, found := dsl.Resolve([]*dsl.File{nil, f, nil})
	require.Empty(t, found)
	require.Equal(t, "spin", c.Behaviours[0].Name)
	c, found = dsl.Resolve([]*dsl.File{nil})
	require.Nil(t, c)
	require.Empty(t, found)
}
