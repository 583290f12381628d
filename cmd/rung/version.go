package main

import (
	"cmp"
	"runtime"
	"runtime/debug"
)

// versionCall says which build this is.
type versionCall struct {
	formatFlag
}

// languageVersion is the number that a curriculum text begins with.
const languageVersion = 1

// release is the version of a released build, else "".
func release() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return ""
}

func (c *versionCall) Run(w *world) error {
	v := struct {
		Version  string `json:"version"`
		Revision string `json:"revision,omitempty"`
		Changed  bool   `json:"changed,omitempty"` // built from files that differ from the revision
		Language int    `json:"language"`
		Go       string `json:"go"`
	}{Version: cmp.Or(release(), "unreleased"), Language: languageVersion, Go: runtime.Version()}
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			switch s.Key {
			case "vcs.revision":
				v.Revision = s.Value
			case "vcs.modified":
				v.Changed = s.Value == "true"
			}
		}
	}
	if c.json() {
		return w.stdout.json(v)
	}
	w.stdout.printf("rung %s, language %d, %s\n", v.Version, v.Language, v.Go)
	return nil
}
