package dsl

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"syscall"

	"example.com/rung/curriculum"
)

// ReadFS reads the curriculum in the file called name, and the files it uses, from fsys. Paths in `use` are relative
// to the file they stand in; a file outside fsys cannot be reached. All faults are found in one run; the curriculum is
// nil where one of them is an error.
func ReadFS(fsys fs.FS, name string, opts ...Option) (*curriculum.Curriculum, Diagnostics) {
	return readWith(name, newLimits(opts), opts, func(name string) (io.ReadCloser, error) {
		if !fs.ValidPath(name) {
			return nil, errOutside
		}
		if fsys == nil {
			return nil, fs.ErrNotExist
		}
		return fsys.Open(name)
	})
}

// ReadFile is ReadFS for a file of the operating system; `use` may lead to any file that this process may read, so use
// ReadFS for texts you do not trust. The error is Diagnostics where the text is faulty; warnings alone are no error.
func ReadFile(name string, opts ...Option) (*curriculum.Curriculum, error) {
	c, ds := ReadFileDiagnostics(name, opts...)
	return c, ds.Err()
}

// ReadFileDiagnostics is ReadFile for callers who want the warnings too.
func ReadFileDiagnostics(name string, opts ...Option) (*curriculum.Curriculum, Diagnostics) {
	return readWith(filepath.ToSlash(name), newLimits(opts), opts, func(name string) (io.ReadCloser, error) {
		return os.Open(filepath.FromSlash(name))
	})
}

// ReadString reads a curriculum from a text; name stands in the findings. `use` reports that there is no such file.
func ReadString(name, text string, opts ...Option) (*curriculum.Curriculum, Diagnostics) {
	return readWith(name, newLimits(opts), opts, func(n string) (io.ReadCloser, error) {
		if n == name {
			return io.NopCloser(strings.NewReader(text)), nil
		}
		return nil, fs.ErrNotExist
	})
}

// ParseCriterion reads one criterion by itself, such as "4 of last 5". c gives the measures and the named criteria it may
// use; it may be nil. The criterion is nil where a finding is an error.
func ParseCriterion(text string, c *curriculum.Curriculum, opts ...Option) (curriculum.Criterion, Diagnostics) {
	file, node, ds := parseCriterion(text, opts...)
	if ds.HasErrors() || node == nil {
		return nil, asInAFile(text, ds, opts)
	}
	r := newResolver(newLimits(opts))
	if c != nil {
		r.borrow(c)
	}
	at := &ctx{src: file.Source, stmt: Span{0, len(text)}}
	is, ok := r.criterion(at, node)
	if ok {
		r.fits(at, node, use{})
	}
	ds = append(ds, r.diagnostics()...)
	ds.Sort()
	if !ok || ds.HasErrors() {
		return nil, asInAFile(text, ds, opts)
	}
	return is, ds
}

// asInAFile is the findings on a criterion as a file that declares it would get them: with the right form of what is
// written otherwise. found is what is said where a file would get nothing.
func asInAFile(text string, found Diagnostics, opts []Option) Diagnostics {
	const before = "rung 1\ncriterion this = "
	_, ds := Parse("criterion", []byte(before+text+"\n"), opts...)
	if !ds.HasErrors() {
		return found
	}
	alone := NewSource("criterion", text)
	shift := func(s Span) (Span, bool) {
		s.From, s.To = s.From-len(before), min(s.To-len(before), len(text))
		return s, s.From >= 0 && s.From <= s.To
	}
	for i := range ds {
		d := &ds[i]
		var ok bool
		if d.Span, ok = shift(d.Span); !ok || len(d.Related) > 0 {
			return found
		}
		d.Source, d.Context = alone, Span{0, len(text)}
		for e := range d.Edits {
			if d.Edits[e].Span, ok = shift(d.Edits[e].Span); !ok {
				return found
			}
		}
	}
	return ds
}

// borrow makes the names of a curriculum known.
func (r *resolver) borrow(c *curriculum.Curriculum) {
	r.out.Measures = c.Measures
	for _, m := range c.Measures {
		r.units[m.Name] = m.Unit
	}
	r.env = r.environment()
	add := func(k nameKind, name string) {
		t := r.names[k]
		t.first[name] = spot{src: NewSource("", "")}
		t.order = append(t.order, name)
	}
	for _, p := range c.Places {
		add(aPlace, p)
	}
	for _, h := range c.Handlers {
		add(aHandler, h)
	}
	for _, n := range c.Criteria {
		add(aCriterion, n.Name)
		r.criteria[n.Name] = &namedCriterionWork{state: 2, is: n.Is, ok: true}
	}
}

var (
	errNoFile  = errors.New("there is no such file")
	errOutside = errors.New("it lies outside the folder that is read")
)

// loader opens and parses files, each once.
type loader struct {
	open func(name string) (*File, Diagnostics, error)
}

// readWith opens, parses and resolves.
func readWith(name string, lim limits, opts []Option, open func(string) (io.ReadCloser, error)) (*curriculum.Curriculum, Diagnostics) {
	l := &loader{open: func(name string) (*File, Diagnostics, error) {
		f, err := open(name)
		if err != nil {
			return nil, nil, err
		}
		defer f.Close()
		// one byte more than allowed, so that Parse sees that it is too long
		src, err := io.ReadAll(io.LimitReader(f, int64(lim.fileBytes)+1))
		if err != nil {
			return nil, nil, err
		}
		file, ds := Parse(name, src, opts...)
		return file, ds, nil
	}}
	r := newResolver(lim)
	main, ds, err := l.open(name)
	if err != nil {
		at := spot{src: NewSource(name, "")}
		r.fault(at, "file-unreadable", name, plainError(err))
		return nil, r.diagnostics()
	}
	r.found = ds
	c := r.run(l, main)
	all := append(r.found, r.diagnostics()...)
	all.Sort()
	if all.HasErrors() {
		c = nil
	}
	return c, capped(all, lim)
}

func capped(ds Diagnostics, lim limits) Diagnostics { return ds.limit(lim.diagnostics, 0) }

// plainError is why a file could not be read, in words.
func plainError(err error) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return errNoFile.Error()
	case errors.Is(err, fs.ErrPermission):
		return "it may not be read"
	case errors.Is(err, syscall.EISDIR):
		return "it is a folder"
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return err.Error()
}

// load gathers the top-level statements of main and of what it uses: a used file's stand where its `use` stands, once.
func (r *resolver) load(l *loader, main *File) {
	done := map[string]*Source{main.Source.Name: main.Source}
	r.loadFile(l, main, nil, done)
}

// using is a `use` line on the way to the file being read.
type using struct {
	name string
	at   spot
}

func (r *resolver) loadFile(l *loader, f *File, way []using, done map[string]*Source) {
	r.faulty = r.faulty || f.faulty
	for n := range f.lost {
		r.lost[n] = true
		if n == "step" || n == "climb" || n == "chain" {
			r.lostStep = true
		}
	}
	c := &ctx{src: f.Source}
	here := map[string]spot{}
	for _, stmt := range f.body {
		u, isUse := stmt.(*useStmt)
		if !isUse {
			r.tops = append(r.tops, topStatement{c, stmt})
			continue
		}
		at := c.at(u).spot(u.Path.Span)
		if first, twice := here[u.Path.Text]; twice {
			r.fault(at, "use-doubled", u.Path.Text).relate(first, "first-here")
			continue
		}
		here[u.Path.Text] = at
		r.use(l, f, at, u.Path.Text, way, done)
	}
}

func (r *resolver) use(l *loader, f *File, at spot, to string, way []using, done map[string]*Source) {
	if to == "" || path.IsAbs(to) || strings.Contains(to, `\`) || filepath.IsAbs(to) {
		r.fault(at, "use-path", to)
		r.blind = true
		return
	}
	name := path.Join(path.Dir(f.Source.Name), to)
	way = append(way[:len(way):len(way)], using{f.Source.Name, at})
	for i, u := range way {
		if u.name == name {
			d := r.fault(at, "use-circle", to)
			for _, v := range way[i : len(way)-1] {
				d.relate(v.at, "used-here")
			}
			return
		}
	}
	if _, read := done[name]; read {
		return
	}
	used, ds, err := l.open(name)
	if err != nil {
		r.fault(at, "use-missing", to, plainError(err))
		r.blind = true
		return
	}
	done[name] = used.Source
	r.found = append(r.found, ds...)
	r.loadFile(l, used, way, done)
}
