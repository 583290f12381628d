//go:build !race

package engine_test

// underRace says that the race detector is on, which takes some ten times as long.
const underRace = false
