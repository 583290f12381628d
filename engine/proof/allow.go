package proof

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

const (
	codeIdleAllow    = "idle-allow"
	codeUnknownAllow = "unknown-allow"
	codeBareAllow    = "bare-allow"
)

var allowCodes = []codeEntry{
	{
		Code: codeIdleAllow, Severity: Warning, Title: "an allow that silences nothing",
		Means:    "What the allow was written for has gone, or stands in another step, behaviour or file. Left in place it would hide the next one.",
		Faulty:   "rung 1\nbehaviour settle {\n  allow one-way because \"a first step\"\n" + cueTail,
		Repaired: "rung 1\nbehaviour settle {\n" + cueTail,
	},
	{
		Code: codeUnknownAllow, Severity: Error, Title: "an allow of no known finding",
		Means:    "allow names the code of a finding of this check, as it is printed. Faults of spelling cannot be allowed.",
		Faulty:   "rung 1\nbehaviour settle {\n  allow one-wey because \"a first step\"\n" + cueTail,
		Repaired: "rung 1\nbehaviour settle {\n" + cueTail,
	},
	{
		Code: codeBareAllow, Severity: Error, Title: "an allow without a reason",
		Means:    "Whoever reads the curriculum next year must be able to see why the finding may stay. Say it between the quotes.",
		Faulty:   "rung 1\nbehaviour settle {\n  step go \"lies down within 3 s\" {\n    allow one-way because \"\"\n    advance when 4 of last 5\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n  step go \"lies down within 3 s\" {\n    allow one-way because \"a senior is at every session\"\n    advance when 4 of last 5\n  }\n}\n",
	},
}

// silence takes out what the text allows, and reports allows that are of no use.
func (s *subject) silence() {
	fileOf := map[string]string{}
	for _, b := range s.c.Behaviours {
		fileOf[b.Name] = b.Pos.File
	}
	used := map[curriculum.Pos]bool{} // a ladder's allow stands once and is read once for each behaviour
	s.found = slices.DeleteFunc(s.found, func(f Finding) bool {
		silenced := false
		for _, a := range s.c.Allowed {
			if a.Code == f.Code && covers(a, f, fileOf) {
				used[a.Pos] = true
				silenced = true
			}
		}
		return silenced
	})
	reported := map[curriculum.Pos]bool{}
	for _, a := range s.c.Allowed {
		if a.Pos.Line > 0 && reported[a.Pos] {
			continue
		}
		f := Finding{Pos: a.Pos, Behaviour: a.Behaviour, Step: a.Step}
		entry, known := codeIndex()[a.Code]
		switch {
		case !known:
			f.Code = codeUnknownAllow
			f.Text = fmt.Sprintf("there is no finding %q to allow", a.Code)
			f.Help = "rung explain lists the codes of findings"
			if n := curriculum.Nearest(a.Code, Codes()); n != "" {
				f.Help = fmt.Sprintf("did you mean %s?", n)
			}
		case strings.TrimSpace(a.Because) == "":
			f.Code = codeBareAllow
			f.Text = fmt.Sprintf("allow %s gives no reason", a.Code)
			f.Help = fmt.Sprintf("say why: allow %s because \"...\"", a.Code)
		case !used[a.Pos] && s.options.severityOf(entry.Code) != Off:
			f.Code = codeIdleAllow
			f.Text = fmt.Sprintf("allow %s silences nothing here", a.Code)
			f.Help = "delete the line, or move it to where the finding is"
		default:
			continue
		}
		reported[a.Pos] = true
		s.report(f)
	}
}

// covers reports whether an allowance reaches a finding of its code: one in a step its step, one in a behaviour the
// behaviour, one at top level what stands in its file or belongs to a behaviour in it.
func covers(a curriculum.Allowance, f Finding, fileOf map[string]string) bool {
	about := append([]string{f.Behaviour}, f.With...)
	switch {
	case a.Behaviour == "":
		return a.Pos.File == f.Pos.File || slices.ContainsFunc(about, func(b string) bool { return b != "" && fileOf[b] == a.Pos.File })
	case !slices.Contains(about, a.Behaviour):
		return false
	}
	return a.Step == "" || a.Behaviour == f.Behaviour && a.Step == f.Step
}
