package main

import (
	"errors"

	"example.com/rung/engine"
)

// whyCall says why a dog stands where it does in one behaviour, and what would move it.
type whyCall struct {
	File      string `arg:"" help:"the curriculum"`
	Behaviour string `arg:"" help:"the behaviour"`
	Dog       string `required:"" placeholder:"NAME" help:"the dog"`
	voiceFlag
	historyFlags
	formatFlag
}

// voiceFlag chooses whose words an answer is in.
type voiceFlag struct {
	For string `default:"trainer" placeholder:"WHOM" help:"in the words of a trainer (the default) or of an owner"`
}

// Validate is called by kong once the flags are read.
func (f voiceFlag) Validate() error {
	if f.voice() != engine.ForTrainer && f.voice() != engine.ForOwner {
		return usagef("Write --for trainer or --for owner.", "there are no words for %q", f.For)
	}
	return nil
}

func (f voiceFlag) voice() engine.Voice { return engine.Voice(f.For) }

// Validate is called by kong once the flags are read.
func (c *whyCall) Validate() error {
	return errors.Join(c.voiceFlag.Validate(), c.historyFlags.Validate(), c.formatFlag.Validate())
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
		w.stdout.printf("%s", why.Words(c.voice()))
	}
	return t.finish(w)
}
