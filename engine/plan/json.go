package plan

import (
	"encoding/json"
	"io"
)

// WriteJSON writes the plan as indented JSON.
func (p *Plan) WriteJSON(w io.Writer) error { return writeJSON(w, p) }

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}
