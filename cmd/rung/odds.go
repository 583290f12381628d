package main

import (
	"cmp"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine/odds"
)

// oddsCall says what the rules promise a dog of a given chance of success.
type oddsCall struct {
	File      string   `arg:"" optional:"" help:"the curriculum"`
	Behaviour string   `arg:"" optional:"" help:"the behaviour (default: all)"`
	Step      string   `arg:"" optional:"" help:"its step (default: all)"`
	Criterion string   `placeholder:"TEXT" help:"a criterion instead of a step, such as \"4 of last 5\"; with FILE it may use the names of the curriculum"`
	Chance    []string `placeholder:"SHARE" sep:"," help:"how often the dog is right: 70%, or several with commas (default 60%,70%,80%,90%)"`
	By        int      `default:"20" placeholder:"N" help:"by which trial (default 20)"`
	Helped    string   `placeholder:"SHARE" help:"so many of its misses are helped late (default none)"`
	Silent    string   `placeholder:"SHARE" help:"so many of its misses are silent (default none; the others are wrong)"`
	Early     string   `placeholder:"SHARE" help:"so many of all trials are helped before the dog has its chance (default none)"`
	OptOut    string   `placeholder:"SHARE" help:"so many of all trials it leaves (default none)"`
	Short     string   `placeholder:"SHARE" help:"so many trials fall short in what a rule measures, such as seconds (default none)"`
	Session   int      `placeholder:"N" help:"trials of the behaviour in a session (default: the bound that the curriculum sets, else 10)"`
	Places    []string `placeholder:"A,B" sep:"," help:"places, by turns session by session (default: those the rules ask for)"`
	Handlers  []string `placeholder:"A,B" sep:"," help:"handlers, likewise"`
	Format    string   `default:"text" placeholder:"FORMAT" help:"text for people (the default), svg for a picture, or json for programs"`
}

// Validate is called by kong once the flags are read.
func (c *oddsCall) Validate() error {
	switch {
	case c.File == "" && c.Criterion == "":
		return usagef("Such as: rung odds house.rung, or rung odds --criterion \"4 of last 5\"", "there is neither a curriculum nor a criterion")
	case c.Criterion != "" && c.Behaviour != "":
		return usagef("Leave one of the two away.", "--criterion does not go with a behaviour")
	case c.By < 1 || c.By > odds.MaxBy:
		return usagef("", "--by is a number of trials from 1 to %d", odds.MaxBy)
	case c.Session < 0:
		return usagef("", "--session is a number of trials from 1 on")
	}
	return oneFormat(c.Format, "text", "svg", "json")
}

func (c *oddsCall) Run(w *world) error {
	q, err := c.question()
	if err != nil {
		return err
	}
	house := &curriculum.Curriculum{}
	if c.File != "" {
		if house, _, err = readProgram(w, c.File); err != nil {
			return err
		}
	}
	if c.Criterion != "" {
		is, findings := dsl.ParseCriterion(c.Criterion, house)
		w.stderr.findings(findings)
		if is == nil {
			return usagef("rung explain CODE says more about a code.", "the criterion cannot be read")
		}
		return c.print(w, c.Criterion,
			func() (*odds.Answer, error) { return odds.OfCriterion(is, house, q) },
			func() ([]odds.Curve, error) {
				curve, err := odds.CurveOf(is, house, q)
				return []odds.Curve{curve}, err
			})
	}
	if err := c.known(house); err != nil {
		return err
	}
	title := house.Name
	for _, name := range []string{c.Behaviour, c.Step} {
		if name != "" {
			title = strings.TrimPrefix(title+", "+name, ", ")
		}
	}
	return c.print(w, cmp.Or(title, shownName(c.File)),
		func() (*odds.Answer, error) { return odds.Of(house, c.Behaviour, c.Step, q) },
		func() ([]odds.Curve, error) { return odds.Curves(house, c.Behaviour, c.Step, q) })
}

// print works out what the format asks for.
func (c *oddsCall) print(w *world, title string, answer func() (*odds.Answer, error), curves func() ([]odds.Curve, error)) error {
	if c.Format == "svg" {
		all, err := curves()
		if err != nil {
			return c.oddsError(err)
		}
		w.stdout.printf("%s", odds.Picture(title, all))
		return nil
	}
	a, err := answer()
	if err != nil {
		return c.oddsError(err)
	}
	if c.Format == "json" {
		return w.stdout.json(a)
	}
	w.stdout.printf("%s", a.Text())
	return nil
}

// known refuses a behaviour or step that the curriculum does not have, with the nearest name.
func (c *oddsCall) known(house *curriculum.Curriculum) error {
	if c.Behaviour == "" {
		return nil
	}
	b := house.Behaviour(c.Behaviour)
	var names []string
	if b == nil {
		for _, b := range house.Behaviours {
			names = append(names, b.Name)
		}
		return usagef(perhaps(c.Behaviour, names), "there is no behaviour called %q", c.Behaviour)
	}
	if c.Step != "" && b.Step(c.Step) < 0 {
		for _, s := range b.Steps {
			names = append(names, s.Name)
		}
		return usagef(perhaps(c.Step, names), "%s has no step called %q", b.Name, c.Step)
	}
	return nil
}

// oddsError says what to do about a question that is too large.
func (c *oddsCall) oddsError(err error) error {
	if errors.Is(err, odds.ErrTooMany) || errors.Is(err, odds.ErrNotSettled) {
		ways := []string{"a shorter window", "fewer trials a session", "fewer places"}
		if c.Helped+c.Silent+c.Early+c.OptOut != "" {
			ways = append(ways, "trials that are right or wrong only (each of --helped, --silent, --early and --opt-out is one more kind to tell apart)")
		}
		one := "Ask"
		if c.Criterion == "" && c.Step == "" {
			one = "Ask about one step, or"
		}
		return usagef(one+" with "+strings.Join(ways[:len(ways)-1], ", ")+" or "+ways[len(ways)-1]+".", "%s", strings.TrimPrefix(err.Error(), "odds: "))
	}
	return asked(err)
}

// question is what the flags ask.
func (c *oddsCall) question() (odds.Question, error) {
	q := odds.Question{By: c.By, Sessions: odds.Sessions{Trials: c.Session, Places: c.Places, Handlers: c.Handlers}}
	for _, text := range c.Chance {
		p, err := readShare("chance", text)
		if err != nil {
			return q, err
		}
		q.Chances = append(q.Chances, p)
	}
	for _, s := range []struct {
		flag, text string
		to         *float64
	}{{"helped", c.Helped, &q.Dog.Helped}, {"silent", c.Silent, &q.Dog.Silent}, {"early", c.Early, &q.Dog.Early}, {"opt-out", c.OptOut, &q.Dog.OptOut}, {"short", c.Short, &q.Dog.Short}} {
		if s.text == "" {
			continue
		}
		var err error
		if *s.to, err = readShare(s.flag, s.text); err != nil {
			return q, err
		}
	}
	if q.Dog.Helped+q.Dog.Silent > 1 {
		return q, usagef("Both are shares of the misses.", "--helped and --silent are more than all misses")
	}
	if q.Dog.Early+q.Dog.OptOut > 1 {
		return q, usagef("Both are shares of all trials.", "--early and --opt-out are more than all trials")
	}
	return q, nil
}

// readShare reads 70%, or 0.7.
func readShare(flag, text string) (float64, error) {
	text = strings.TrimSpace(text)
	if s, ok := curriculum.ParseShare(text); ok {
		if v, _ := s.Rat().Float64(); v >= 0 && v <= 1 {
			return v, nil
		}
	} else if v, err := strconv.ParseFloat(text, 64); err == nil && v >= 0 && v <= 1 {
		return v, nil
	}
	return 0, usagef("Such as: --"+flag+" 70%", "--%s is a share between 0%% and 100%%, not %q", flag, fmt.Sprint(text))
}
