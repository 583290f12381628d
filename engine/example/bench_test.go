package example_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine/example"
	"example.com/rung/engine/internal/large"
)

// What is worked out of the examples of large curricula, ten rows for each behaviour; the yardstick is reading and compiling
// the same text. Running the examples of 200 behaviours is to take seconds. Doubting grows with the curriculum and no
// faster: each change is played by those examples alone that look at what it changes, on the behaviours that they are
// about. Suggesting grows with the rules that nothing fires, and is for a night when there are hundreds of behaviours: it
// is measured on ten.
func BenchmarkExamples(b *testing.B) {
	for _, n := range []int{10, 200} {
		text := large.Curriculum(n) + large.Examples(n)
		p := read(b, text)
		rules := example.Run(p, example.Options{}).Rules
		require.Greater(b, 3*rules.Fired, rules.Total)
		run := func(name string, do func()) {
			b.Run(fmt.Sprintf("%d behaviours/%s", n, name), func(b *testing.B) {
				for b.Loop() {
					do()
				}
			})
		}
		run("reading the same", func() { read(b, text) })
		run("run", func() { example.Run(p, example.Options{}) })
		run("doubt", func() { example.Doubt(p, example.Options{}, nil) })
		if n <= 10 {
			run("suggest", func() { example.Suggest(p, rules.Unfired, false) })
		}
	}
}
