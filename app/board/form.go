package board

import (
	"fmt"
	"strconv"
	"strings"

	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// A Form is what has to be known before something is done. The window asks for it and shows what would come of it meanwhile.
type Form struct {
	Title  string
	Fields []Field
	// Make is what the answers, in the order of the fields, would make of the plan. The error says which answer to mend.
	Make func(answers []string) (Change, error)
}

// A Field is one thing to be answered.
type Field struct {
	Label   string
	Value   string   // what it begins with
	Hint    string   // shown while it is empty
	Choices []string // where it is one of these
	Lines   int      // of a text of several lines
}

// A Change is a plan to be, with the name of the step for the Edit menu.
type Change struct {
	Step   string
	Plan   *plan.Plan
	Select []string // what is selected afterwards; nil leaves the selection
	Words  string   // what comes of it, for the grower
}

// answers reads a form's answers one after the other and keeps the first error.
type answers struct {
	fields []Field
	given  []string
	sys    length.System
	err    error
	at     int
}

func (a *answers) next() string {
	a.at++
	if a.at > len(a.given) {
		return ""
	}
	return strings.TrimSpace(a.given[a.at-1])
}

func (a *answers) fail(err error) {
	if a.err == nil && err != nil {
		a.err = fmt.Errorf("%s: %w", strings.ToLower(a.fields[a.at-1].Label), err)
	}
}

// metres reads a length, which may have a minus before it.
func (a *answers) metres() float64 {
	m, err := signed(a.next(), a.sys)
	a.fail(err)
	return m
}

// given tells whether the next answer is not empty, without stepping over it.
func (a *answers) empty() bool { return a.at >= len(a.given) || strings.TrimSpace(a.given[a.at]) == "" }

func signed(text string, sys length.System) (float64, error) {
	for _, minus := range []string{"-", "−", "–"} {
		if rest, ok := strings.CutPrefix(strings.TrimSpace(text), minus); ok {
			m, err := length.Parse(rest, sys)
			return -m, err
		}
	}
	return length.Parse(text, sys)
}

func (a *answers) number(least, most float64) float64 {
	t := a.next()
	v, err := strconv.ParseFloat(strings.Replace(strings.TrimSuffix(t, "°"), ",", ".", 1), 64)
	if err != nil || !(v >= least && v <= most) {
		a.fail(fmt.Errorf("%q is no number from %g to %g", t, least, most))
	}
	return v
}

func (a *answers) whole(least, most int) int {
	t := a.next()
	n, err := strconv.Atoi(t)
	if err != nil || n < least || n > most {
		a.fail(fmt.Errorf("%q is no whole number from %d to %d", t, least, most))
	}
	return n
}

// choice is the index of the chosen one.
func (a *answers) choice() int {
	t := a.next()
	for i, c := range a.fields[a.at-1].Choices {
		if c == t {
			return i
		}
	}
	a.fail(fmt.Errorf("choose one"))
	return 0
}

// form is a form whose answers are read by make.
func (b *Board) form(title string, fields []Field, make func(*answers) (Change, error)) *Form {
	return &Form{Title: title, Fields: fields, Make: func(given []string) (Change, error) {
		return make(&answers{fields: fields, given: given, sys: b.system()})
	}}
}
