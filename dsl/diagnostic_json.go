package dsl

import "encoding/json"

// jsonFinding is the machine-readable form of a finding. Lines and columns count from 1, columns in characters; the end
// is behind the last character.
type jsonFinding struct {
	Code      string        `json:"code"`
	Severity  string        `json:"severity"`
	File      string        `json:"file"`
	Line      int           `json:"line"`
	Column    int           `json:"column"`
	EndLine   int           `json:"endLine"`
	EndColumn int           `json:"endColumn"`
	Text      string        `json:"text"`
	Help      string        `json:"help,omitempty"`
	Key       string        `json:"key"`
	Args      []string      `json:"args,omitempty"`
	Related   []jsonRelated `json:"related,omitempty"`
	Edits     []jsonEdit    `json:"edits,omitempty"`
}

type jsonRelated struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Text   string `json:"text"`
}

type jsonEdit struct {
	Line      int    `json:"line"`
	Column    int    `json:"column"`
	EndLine   int    `json:"endLine"`
	EndColumn int    `json:"endColumn"`
	Text      string `json:"text"`
}

// MarshalJSON is the finding as an object with code, severity, file, line, column, endLine, endColumn (from 1, in
// characters), text, help, key and args of the message, related places and edits.
func (d Diagnostic) MarshalJSON() ([]byte, error) {
	j := jsonFinding{Code: d.Code, Severity: d.Severity.String(), File: d.Source.name(), Text: d.Message.String(),
		Help: d.Help.String(), Key: d.Message.Key, Args: d.Message.Args}
	if d.Source != nil {
		j.Line, j.Column = d.Source.Position(d.Span.From)
		j.EndLine, j.EndColumn = d.Source.Position(max(d.Span.From, d.Span.To))
		for _, e := range d.Edits {
			var x jsonEdit
			x.Line, x.Column = d.Source.Position(e.Span.From)
			x.EndLine, x.EndColumn = d.Source.Position(e.Span.To)
			x.Text = e.Text
			j.Edits = append(j.Edits, x)
		}
	}
	for _, r := range d.Related {
		x := jsonRelated{File: r.Source.name(), Text: r.Message.String()}
		if r.Source != nil {
			x.Line, x.Column = r.Source.Position(r.Span.From)
		}
		j.Related = append(j.Related, x)
	}
	return json.Marshal(j)
}

// EditorDiagnostic is a finding as editors take it that speak the Language Server Protocol: lines and characters count
// from 0, characters in UTF-16 units.
type EditorDiagnostic struct {
	Range              EditorRange     `json:"range"`
	Severity           int             `json:"severity"` // 1 error, 2 warning, 3 note
	Code               string          `json:"code"`
	Source             string          `json:"source"` // always "rung"
	Message            string          `json:"message"`
	RelatedInformation []EditorRelated `json:"relatedInformation,omitempty"`
	Edits              []EditorEdit    `json:"-"` // a quick fix, for a code action
}

// EditorPosition is a place in a text.
type EditorPosition struct {
	Line      int `json:"line"`
	Character int `json:"character"`
}

// EditorRange is a piece of a text; End is behind its last character.
type EditorRange struct {
	Start EditorPosition `json:"start"`
	End   EditorPosition `json:"end"`
}

// EditorRelated is another place; URI is the source's name as it was given.
type EditorRelated struct {
	Location struct {
		URI   string      `json:"uri"`
		Range EditorRange `json:"range"`
	} `json:"location"`
	Message string `json:"message"`
}

// EditorEdit replaces a piece of the text.
type EditorEdit struct {
	Range   EditorRange `json:"range"`
	NewText string      `json:"newText"`
}

// Editor is the finding for an editor; help stands behind the message on a line of its own.
func (d Diagnostic) Editor() EditorDiagnostic {
	e := EditorDiagnostic{Range: d.Source.editorRange(d.Span), Severity: 1 + int(d.Severity), Code: d.Code, Source: "rung", Message: d.Message.String()}
	if help := d.Help.String(); help != "" {
		e.Message += "\n" + help
	}
	for _, r := range d.Related {
		x := EditorRelated{Message: r.Message.String()}
		x.Location.URI, x.Location.Range = r.Source.name(), r.Source.editorRange(r.Span)
		e.RelatedInformation = append(e.RelatedInformation, x)
	}
	for _, edit := range d.Edits {
		e.Edits = append(e.Edits, EditorEdit{d.Source.editorRange(edit.Span), edit.Text})
	}
	return e
}

func (s *Source) editorRange(at Span) (r EditorRange) {
	if s == nil {
		return r
	}
	r.Start.Line, r.Start.Character = s.utf16Position(at.From)
	r.End.Line, r.End.Character = s.utf16Position(max(at.From, at.To))
	return r
}
