// Package examples holds the demo school, Pindrift Yard, as files in the program: what `rung demo` tours and what tests
// read. School, people and dogs are invented.
package examples

import (
	"embed"
	"io/fs"
)

// Paths in Files.
const (
	House      = "pindrift/house.rung" // sixteen behaviours; it uses the other .rung files beside it
	Dogs       = "pindrift/dogs.json"  // profiles of six dogs
	Logs       = "pindrift/logs"       // their histories, in all three formats
	Draft      = "draft0/draft0.rung"  // reads well and is badly thought out
	FirstSteps = "first-steps.rung"    // the smallest curriculum that is of use
)

// At is the moment the demo asks at, two days after the last trial of any log.
const At = "2026-04-20T09:00:00Z"

//go:embed first-steps.rung draft0/draft0.rung pindrift/*.rung pindrift/dogs.json pindrift/logs
var files embed.FS

// Files is the demo school as a file system.
func Files() fs.FS { return files }
