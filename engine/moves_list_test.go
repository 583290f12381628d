package engine

import (
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The blocks are held to plain lists that are copied whole.
func TestMovesInBlocksAreTheMovesThatWereListed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lists, plain := []moves{{}}, [][]string{nil}
		for i := range rapid.IntRange(1, 400).Draw(t, "steps") {
			at := rapid.IntRange(0, len(lists)-1).Draw(t, "list")
			if rapid.IntRange(0, 20).Draw(t, "copy") == 0 {
				lists, plain = append(lists, lists[at].copy()), append(plain, slices.Clone(plain[at]))
				continue
			}
			id := strconv.Itoa(i)
			lists[at].add(moved{trial: id, written: &Move{Trial: id}})
			plain[at] = append(plain[at], id)
		}
		for i := range lists {
			got := []string{}
			for _, m := range lists[i].out() {
				got = append(got, m.Trial)
			}
			require.Equal(t, append([]string{}, plain[i]...), got)
			require.Equal(t, len(plain[i]), lists[i].n)
		}
	})
}
