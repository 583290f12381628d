package proof_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/internal/large"
	"example.com/rung/engine/proof"
)

func read(t testing.TB, text string) *engine.Program {
	c, ds := dsl.ReadString("large.rung", text)
	require.Empty(t, ds.Text())
	return compiled(t, c)
}

// BenchmarkCheck is the analysis of a curriculum of 200 behaviours (1,200 steps), which is to take seconds.
func BenchmarkCheck(b *testing.B) {
	p := read(b, large.Curriculum(200))
	b.ReportAllocs()
	for b.Loop() {
		proof.Check(p, proof.Options{})
	}
}

// BenchmarkYardstickReadingTheSame reads and compiles the same text.
func BenchmarkYardstickReadingTheSame(b *testing.B) {
	text := large.Curriculum(200)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		read(b, text)
	}
}
