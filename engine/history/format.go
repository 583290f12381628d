package history

// FormatOf is the format that the source of that name was read as, or Auto where there is no such source.
func (h *History) FormatOf(source string) Format {
	for _, s := range h.sources {
		if s.rd.sink.source == source {
			return s.rd.format
		}
	}
	return Auto
}
