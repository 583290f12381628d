// Package proof reads a whole curriculum and says what does not hang together: rules that can never hold or hold
// together, doors that never open, cues that a dog can mix up, and what experienced trainers advise against.
//
// Check lists the findings. Each has a stable code that reads aloud (`one-way`), a place in the text, the smallest fix
// in words and, where rules are at odds, the shortest history that shows it. An author silences a finding in the text
// with `allow one-way because "..."`, in the step, the behaviour or the file; Options change how severe a code is.
// Explain has a page for each code.
//
// A check is a row in a table beside its code, such as sheetChecks and sheetCodes in sheet.go; check.go and codes.go list
// the tables. Findings about rules are exact where their Answer says so; those about training are advice, and say nothing
// about any one dog.
package proof
