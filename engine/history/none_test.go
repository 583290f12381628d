package history_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/history"
)

func TestWithoutASourceReadingIsAnError(t *testing.T) {
	const none = "there is no source to read from"
	_, err := history.OpenReader(nil, "log.jsonl", history.Options{}.For(nil))
	require.ErrorContains(t, err, none)
	require.ErrorContains(t, history.NewReader(nil, "log.jsonl", history.Options{}).Next(&curriculum.Entry{}), none)
	_, _, err = history.ReadDogs(nil, "dogs.jsonl")
	require.ErrorContains(t, err, none)
	_, err = history.OpenFS(nil, []string{"log.jsonl"}, history.Options{})
	require.ErrorContains(t, err, "no file system")
	_, err = history.AppendJSON(nil, nil)
	require.ErrorContains(t, err, "no entry")
	require.Equal(t, curriculum.Entry{}, history.Clone(nil))
}
