package main

import (
	"flag"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite the expected output in testdata/script and in README.md")

// TestMain lets scripts and the README's lines call rung by name: the test binary stands in for it.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"rung": func() { os.Exit(run(os.Args[1:], machine())) },
	})
}

// TestScripts runs testdata/script, one archive for each call: input, calls and every expected output.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: *update,
		Setup: func(e *testscript.Env) error {
			e.Setenv("ROOT", repoRoot(t))
			return nil
		},
	})
}
