package proof

import (
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
)

func exactFindings(t *testing.T, c *curriculum.Curriculum, o Options) []Finding {
	p, err := engine.Compile(c)
	require.NoError(t, err)
	s := &subject{program: p, c: c, options: o}
	for _, k := range exactChecks {
		k.run(s)
	}
	var out []Finding
	for _, f := range s.found {
		if f.Severity != Off {
			out = append(out, f)
		}
	}
	Sort(out)
	return out
}

func TestTryOut(t *testing.T) {
	for _, f := range []string{"pindrift/attention", "pindrift/body", "pindrift/care", "pindrift/house", "pindrift/retrieve", "pindrift/assistance", "draft0/draft0", "first-steps"} {
		c, err := dsl.ReadFile("../../examples/" + f + ".rung")
		require.NoError(t, err)
		o := Options{}
		if os.Getenv("HOLD") != "" {
			o.Severity = map[string]Severity{codeHolding: Note}
		}
		for _, x := range exactFindings(t, c, o) {
			fmt.Println(f, x.Pos.File, x.Pos.Line, x.Severity, x.Code, x.Behaviour, x.Step, "|", x.Text, "|", x.History, x.Answer, x.Because)
		}
	}
}

func TestPages(t *testing.T) {
	for _, e := range exactCodes {
		for i, text := range []string{e.Faulty, e.Repaired} {
			c, ds := dsl.ReadString("page.rung", text)
			require.NotNil(t, c, "%s: %v", e.Code, ds)
			o := Options{}
			if e.Severity == Off {
				o.Severity = map[string]Severity{e.Code: Note}
			}
			for _, x := range exactFindings(t, c, o) {
				fmt.Println(e.Code, i, x.Pos.Line, x.Severity, x.Code, "|", x.Text, "|", x.History, x.Answer, x.Because)
			}
		}
	}
}
