package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"example.com/rung/dsl"
)

// tidyCall puts texts into the one layout.
type tidyCall struct {
	Files []string `arg:"" name:"file" help:"the texts"`
	Write bool     `help:"put the tidied text in place of the file"`
	Check bool     `help:"only say which files are not tidy; exit code 1 if there is one"`
	formatFlag
}

// Validate is called by kong once the flags are read.
func (c *tidyCall) Validate() error {
	if c.Write && c.Check {
		return usagef("", "--write and --check do not go together")
	}
	return c.formatFlag.Validate()
}

// tidied is what became of one file.
type tidied struct {
	File    string `json:"file"`
	Changed bool   `json:"changed"`
	Text    string `json:"text"`
	path    string
}

func (c *tidyCall) Run(w *world) error {
	if err := onceOnly(c.Files...); err != nil {
		return err
	}
	var all []tidied
	var left leftOut
	for _, file := range c.Files {
		if file == "-" && c.Write {
			return usagef("Without --write the tidied text is printed.", "standard input has no place to write to")
		}
		src, err := c.source(w, file)
		if err != nil {
			left.add(file, err)
			continue
		}
		out, err := dsl.Tidy(shownName(file), src)
		findings, faults := err.(dsl.Diagnostics) // not one wrapped: that would be of the tidied text
		switch {
		case faults:
			w.stderr.findings(findings)
			left.add(file, usagef("rung check lists all that is wrong with it.", "%s in %s, so it was not tidied", count(errorsIn(findings), "fault"), shownName(file)))
		case err != nil:
			left.add(file, err)
		default:
			all = append(all, tidied{File: shownName(file), Changed: !bytes.Equal(src, out), Text: string(out), path: file})
		}
	}
	if c.Write {
		for _, t := range all {
			if t.Changed {
				if err := replaceFile(t.path, []byte(t.Text)); err != nil {
					return err
				}
			}
		}
	}
	if err := c.print(w, all, left); err != nil {
		return err
	}
	if len(left) > 0 {
		return left.end(w)
	}
	for _, t := range all {
		if c.Check && t.Changed {
			return errFaults
		}
	}
	return nil
}

func (c *tidyCall) source(w *world, file string) ([]byte, error) {
	if file == "-" {
		text, err := w.readStdin()
		return []byte(text), err
	}
	if err := readable(file); err != nil {
		return nil, err
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, dsl.DefaultMaxFileBytes+1)) // one byte more shows that it is too long
}

// print says which files changed, or prints the texts where nothing else was asked for.
func (c *tidyCall) print(w *world, all []tidied, left leftOut) error {
	if c.json() {
		if all == nil {
			all = []tidied{}
		}
		return w.stdout.json(struct {
			Files   []tidied `json:"files"`
			LeftOut leftOut  `json:"left_out,omitempty"`
		}{all, left})
	}
	for _, t := range all {
		switch {
		case c.Check && t.Changed:
			w.stdout.line(t.File + " is not tidy")
		case c.Write && t.Changed:
			w.stdout.line(t.File + " tidied")
		case !c.Check && !c.Write:
			if len(c.Files) > 1 {
				w.stdout.line("# ---- " + t.File)
			}
			w.stdout.printf("%s", t.Text)
		}
	}
	return nil
}

// replaceFile puts text in place of a file in one go, so that no moment sees half of it. Its permissions stay; a link
// stays a link.
func replaceFile(path string, text []byte) (err error) {
	path, err = filepath.EvalSymlinks(path)
	if err != nil {
		return err
	}
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return fmt.Errorf("%s is no file that can be replaced", path)
	}
	temp, err := os.CreateTemp(filepath.Dir(path), ".rung-tidy-")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			_ = temp.Close()
			_ = os.Remove(temp.Name())
			err = fmt.Errorf("%s was left as it was: %w", path, err)
		}
	}()
	if _, err = temp.Write(text); err != nil {
		return err
	}
	if err = temp.Chmod(info.Mode().Perm()); err != nil {
		return err
	}
	if err = temp.Close(); err != nil {
		return err
	}
	return os.Rename(temp.Name(), path)
}
