// Package sarif writes findings in SARIF 2.1.0, the Static Analysis Results Interchange Format of OASIS, which code
// hosts read to show findings beside the lines they are about. It knows nothing of dogs: a finding is a rule, a level, a
// sentence and places.
package sarif

import (
	"encoding/json"
	"io"
	"net/url"
	"path"
	"strings"
)

// Version is the version of the format.
const Version = "2.1.0"

// schemaURI is where OASIS publishes the format's JSON schema.
const schemaURI = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

// language is that of all messages.
const language = "en-GB"

// Level is how bad a finding is.
type Level string

const (
	Error   Level = "error"
	Warning Level = "warning"
	Note    Level = "note"
)

// Tool is the program that found it.
type Tool struct{ Name, Version string }

// Rule is a kind of finding.
type Rule struct {
	ID    string
	Title string // one line; may be empty
	Text  string // what it means
	Help  string // more, such as an example; in Markdown; may be empty
	Level Level  // unless a result says otherwise
}

// Place is a piece of a file. Lines and columns count from 1, columns in characters; the end is behind the last
// character. A zero Line means the file as a whole, a zero EndLine that only the beginning is known.
type Place struct {
	File               string // with slashes, relative to where the code host's checkout begins
	Line, Column       int
	EndLine, EndColumn int
	Text               string // what the place has to do with the finding; empty for the finding's own
}

// Result is a finding.
type Result struct {
	Rule       string // the ID of a Rule
	Level      Level
	Text       string
	Place      Place
	Related    []Place
	Properties map[string]any // what else a program may want to know
}

// Failure is a file that the tool could not look at, and why.
type Failure struct{ File, Text string }

// Write writes one run. Rules come in the order given, results and failures too; with a failure the run says of itself
// that it did not succeed.
func Write(w io.Writer, tool Tool, rules []Rule, results []Result, failures ...Failure) error {
	r := run{Language: language, ColumnKind: "unicodeCodePoints", Newlines: []string{"\r\n", "\n"}, Results: []result{}}
	r.Tool.Driver = driver{Name: tool.Name, Version: tool.Version, Language: language, Rules: []descriptor{}}
	index := map[string]int{}
	for i, x := range rules {
		index[x.ID] = i
		r.Tool.Driver.Rules = append(r.Tool.Driver.Rules, x.descriptor())
	}
	for _, x := range results {
		out := result{RuleID: x.Rule, Level: x.Level, Message: message{Text: x.Text}, Properties: x.Properties}
		if i, ok := index[x.Rule]; ok {
			out.RuleIndex = &i
		}
		if x.Place.File != "" {
			out.Locations = []location{x.Place.location(nil)}
		}
		for i, p := range x.Related {
			out.Related = append(out.Related, p.location(&i))
		}
		r.Results = append(r.Results, out)
	}
	if len(failures) > 0 {
		r.Invocations = []invocation{{}}
	}
	for _, f := range failures {
		n := notification{Level: Error, Message: message{Text: f.Text}, Locations: []location{Place{File: f.File}.location(nil)}}
		r.Invocations[0].Notifications = append(r.Invocations[0].Notifications, n)
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(log{Schema: schemaURI, Version: Version, Runs: []run{r}})
}

func (x Rule) descriptor() descriptor {
	d := descriptor{ID: x.ID, Full: &message{Text: x.Text}, Default: &configuration{x.Level}}
	if x.Title != "" {
		d.Short = &message{Text: x.Title}
	}
	if x.Help != "" {
		d.Help = &message{Text: x.Text, Markdown: x.Help}
	}
	return d
}

func (p Place) location(id *int) location {
	var l location
	l.ID = id
	l.Physical.Artifact.URI = uri(p.File)
	if p.Line > 0 {
		l.Physical.Region = &region{StartLine: p.Line, StartColumn: p.Column, EndLine: p.EndLine, EndColumn: p.EndColumn}
	}
	if p.Text != "" {
		l.Message = &message{Text: p.Text}
	}
	return l
}

// uri is a file's name as a URI: relative where the name is.
func uri(file string) string {
	file = strings.ReplaceAll(file, `\`, "/")
	u := url.URL{Path: path.Clean(file)}
	if path.IsAbs(file) {
		u.Scheme = "file"
	}
	return u.String()
}

// The format, as far as it is used. The names are those of the standard.

type log struct {
	Schema  string `json:"$schema"`
	Version string `json:"version"`
	Runs    []run  `json:"runs"`
}

type run struct {
	Tool struct {
		Driver driver `json:"driver"`
	} `json:"tool"`
	Language    string       `json:"language"`
	ColumnKind  string       `json:"columnKind"`
	Newlines    []string     `json:"newlineSequences"`
	Invocations []invocation `json:"invocations,omitempty"`
	Results     []result     `json:"results"`
}

type invocation struct {
	Successful    bool           `json:"executionSuccessful"`
	Notifications []notification `json:"toolExecutionNotifications"`
}

type notification struct {
	Level     Level      `json:"level"`
	Message   message    `json:"message"`
	Locations []location `json:"locations"`
}

type driver struct {
	Name     string       `json:"name"`
	Version  string       `json:"version,omitempty"`
	Language string       `json:"language"`
	Rules    []descriptor `json:"rules"`
}

type descriptor struct {
	ID      string         `json:"id"`
	Short   *message       `json:"shortDescription,omitempty"`
	Full    *message       `json:"fullDescription,omitempty"`
	Help    *message       `json:"help,omitempty"`
	Default *configuration `json:"defaultConfiguration,omitempty"`
}

type configuration struct {
	Level Level `json:"level"`
}

type message struct {
	Text     string `json:"text"`
	Markdown string `json:"markdown,omitempty"`
}

type result struct {
	RuleID     string         `json:"ruleId"`
	RuleIndex  *int           `json:"ruleIndex,omitempty"`
	Level      Level          `json:"level"`
	Message    message        `json:"message"`
	Locations  []location     `json:"locations,omitempty"`
	Related    []location     `json:"relatedLocations,omitempty"`
	Properties map[string]any `json:"properties,omitempty"`
}

type location struct {
	ID       *int `json:"id,omitempty"`
	Physical struct {
		Artifact struct {
			URI string `json:"uri"`
		} `json:"artifactLocation"`
		Region *region `json:"region,omitempty"`
	} `json:"physicalLocation"`
	Message *message `json:"message,omitempty"`
}

type region struct {
	StartLine   int `json:"startLine"`
	StartColumn int `json:"startColumn,omitempty"`
	EndLine     int `json:"endLine,omitempty"`
	EndColumn   int `json:"endColumn,omitempty"`
}
