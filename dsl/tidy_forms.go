package dsl

import (
	"fmt"
	"reflect"
	"strings"
)

// plurals are the words whose form follows the number before them.
var plurals = map[string]string{"trial": "trials", "session": "sessions", "place": "places", "handler": "handlers",
	"behaviour": "behaviours", "level": "levels", "step": "steps", "time": "times", "miss": "misses", "opt-out": "opt-outs",
	"day": "days", "week": "weeks", "month": "months", "success": "successes"}

// singulars are the other way round.
var singulars = func() map[string]string {
	out := map[string]string{}
	for one, many := range plurals {
		out[many] = one
	}
	return out
}()

// textOf is how a token is written; number is the number it belongs to, "" for none.
func textOf(t token, number string) string {
	switch t.Type {
	case tNumber:
		return plainNumber(t.Value)
	case tBraces:
		inner := t.Value[1 : len(t.Value)-1]
		if strings.Contains(inner, "\n") {
			return t.Value
		}
		return "{ " + strings.TrimSpace(inner) + " }"
	}
	if number != "" {
		return numbered(t.Value, plainNumber(number))
	}
	return t.Value
}

// numbered is a word in the form that goes with a number.
func numbered(word, number string) string {
	one, many := word, plurals[word]
	if s := singulars[word]; s != "" {
		one, many = s, word
	}
	switch {
	case many == "":
		return word
	case number == "1":
		return one
	}
	return many
}

// plainNumber is a number without zeros that say nothing.
func plainNumber(n string) string {
	whole, part, point := strings.Cut(n, ".")
	whole = strings.TrimLeft(whole, "0")
	if whole == "" {
		whole = "0"
	}
	part = strings.TrimRight(part, "0")
	if !point || part == "" {
		return whole
	}
	return whole + "." + part
}

// normalForms finds the places where the tree says that another form is the normal one.
func (l *layout) normalForms() {
	for _, s := range l.file.body {
		walk(reflect.ValueOf(s), func(v any) {
			switch n := v.(type) {
			case window:
				l.window(n)
			case primary:
				l.times(n)
			case levels:
				if n.N != nil && plainNumber(n.N.Number) == "1" && n.N.Unit == "" {
					l.edits[n.N.Span.From] = "one"
					l.edits[spanOf(n.Tokens[len(n.Tokens)-1]).From] = "level"
				}
			case capPart:
				if t := n.Tokens[2]; t.Value == "per" {
					l.edits[spanOf(t).From] = "a"
				}
			}
		})
	}
}

// window writes `of 5 successes` as `of last 5`.
func (l *layout) window(w window) {
	if w.N == nil {
		return
	}
	if w.Kind == nil {
		l.inserts[w.N.Span.From] = "last"
	}
	if t := w.Tokens[len(w.Tokens)-1]; singulars[t.Value] == "success" || t.Value == "success" {
		l.edits[spanOf(t).From] = ""
	}
}

// times writes `eased 2 times` as `eased twice`, and `done twice` as `done 2 times`.
func (l *layout) times(p primary) {
	if p.Eased != nil && p.Eased.N != nil && plainNumber(p.Eased.N.Number) == "2" {
		l.edits[p.Eased.N.Span.From] = "twice"
		l.edits[spanOf(p.Eased.Tokens[len(p.Eased.Tokens)-1]).From] = ""
	}
	if p.Done != nil && p.Done.Twice != nil {
		l.edits[spanOf(*p.Done.Twice).From] = "2 times"
	}
}

// walk calls f with every struct in a tree.
func walk(v reflect.Value, f func(any)) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			walk(v.Elem(), f)
		}
	case reflect.Slice:
		if v.Type() == reflect.TypeFor[[]token]() {
			return
		}
		for i := range v.Len() {
			walk(v.Index(i), f)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[token]() {
			return
		}
		if v.CanInterface() { // an embedded part is none by itself
			f(v.Interface())
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() || v.Type().Field(i).Anonymous {
				walk(v.Field(i), f)
			}
		}
	}
}

// outline is what a file says, without places and without what has a normal form: two files that say the same have the
// same outline.
func outline(f *File) string {
	var b strings.Builder
	if f.version != nil {
		outlineOf(&b, reflect.ValueOf(f.version))
	}
	for _, s := range f.body {
		outlineOf(&b, reflect.ValueOf(s))
		b.WriteByte('\n')
	}
	return b.String()
}

func outlineOf(b *strings.Builder, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if v.IsNil() {
			b.WriteByte('_')
			return
		}
		outlineOf(b, v.Elem())
	case reflect.Slice:
		b.WriteByte('[')
		for i := range v.Len() {
			outlineOf(b, v.Index(i))
			b.WriteByte(' ')
		}
		b.WriteByte(']')
	case reflect.String:
		fmt.Fprintf(b, "%q", v.String())
	case reflect.Bool, reflect.Uint8, reflect.Int:
		fmt.Fprint(b, v)
	case reflect.Struct:
		outlineStruct(b, v)
	}
}

func outlineStruct(b *strings.Builder, v reflect.Value) {
	if v.CanInterface() {
		switch n := v.Interface().(type) {
		case node:
			return
		case Span:
			fmt.Fprint(b, n != Span{})
			return
		case token:
			fmt.Fprintf(b, "%q", numbered(n.Value, "1"))
			return
		case value:
			fmt.Fprintf(b, "%q", []string{numberOrNone(n.Number), numbered(n.Unit, "1"), n.Name})
			return
		case amount:
			outlineOf(b, reflect.ValueOf(n.value))
			return
		case prefix:
			fmt.Fprintf(b, "%q", n.Text)
			return
		case braces:
			fmt.Fprintf(b, "%q", strings.TrimSpace(n.Text))
			return
		case condition:
			outlineOf(b, reflect.ValueOf(n.Is))
			return
		case levels:
			if n.N == nil {
				n.N = &value{Number: "1"}
			}
			outlineOf(b, reflect.ValueOf(*n.N))
			return
		}
	}
	fmt.Fprintf(b, "%s{", v.Type().Name())
	for i := range v.NumField() {
		if f := v.Type().Field(i); f.Name == "span" || f.Type == reflect.TypeFor[spanned]() || f.Type == reflect.TypeFor[node]() {
			continue
		}
		outlineOf(b, v.Field(i))
		b.WriteByte(' ')
	}
	b.WriteByte('}')
}

func numberOrNone(n string) string {
	if n == "" {
		return ""
	}
	return plainNumber(n)
}
