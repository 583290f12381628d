package proof_test

import (
	"io/fs"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/proof"
	"example.com/rung/examples"
)

// FuzzCheck looks at every text that can be read: no panic, the same findings twice, each with a page and a sentence.
func FuzzCheck(f *testing.F) {
	for _, code := range proof.Codes() {
		e, _ := proof.Explain(code)
		f.Add(e.Faulty)
	}
	for _, name := range []string{examples.Draft, examples.FirstSteps} {
		text, err := fs.ReadFile(examples.Files(), name)
		require.NoError(f, err)
		f.Add(string(text))
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, _ := dsl.ReadString("a.rung", text)
		if c == nil {
			return
		}
		p, err := engine.Compile(c)
		if err != nil {
			return
		}
		o := proof.Options{States: 200}
		found := proof.Check(p, o)
		for _, x := range found {
			if _, ok := proof.Explain(x.Code); !ok || x.Text == "" {
				t.Fatalf("a finding without a page or a sentence: %+v", x)
			}
		}
		if d := cmp.Diff(found, proof.Check(p, o)); d != "" {
			t.Fatal(d)
		}
	})
}
