package dsl

import "strings"

// Text is the findings for people.
func (ds Diagnostics) Text() string {
	var b strings.Builder
	for _, d := range ds {
		b.WriteString(d.Code + " " + d.Message.String() + "\n")
	}
	return b.String()
}
