package main

import "errors"

// whyCall says why a dog stands where it does in one behaviour, and what would move it.
type whyCall struct {
	File      string `arg:"" help:"the curriculum"`
	Behaviour string `arg:"" help:"the behaviour"`
	Dog       string `required:"" placeholder:"NAME" help:"the dog"`
	historyFlags
	formatFlag
}

// Validate is called by kong once the flags are read.
func (c *whyCall) Validate() error {
	return errors.Join(c.historyFlags.Validate(), c.formatFlag.Validate())
}

func (c *whyCall) Run(w *world) error {
	t, err := c.read(w, c.File, c.Dog, true)
	if err != nil {
		return err
	}
	why, err := t.fold.Why(c.Dog, c.Behaviour, t.now())
	if err != nil {
		return asked(err)
	}
	if c.json() {
		if err := w.stdout.json(why); err != nil {
			return err
		}
	} else {
		w.stdout.printf("%s", why.Text())
	}
	return t.finish(w)
}
