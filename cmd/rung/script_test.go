package main

import (
	"flag"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write the expected output in testdata/calls anew")

// TestMain lets scripts and the README's lines call rung by name: the test binary stands in for it.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"rung": func() { os.Exit(run(os.Args[1:], machine())) },
	})
}

// TestScripts runs testdata/calls at the top of the tree, one archive for each call: its input, how it is called, and all
// that is to come out.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "../../testdata/calls",
		UpdateScripts: *update,
		Setup: func(e *testscript.Env) error {
			e.Setenv("ROOT", repoRoot(t))
			return nil
		},
	})
}
