// Package tool holds the drawing board's tools as state machines: press, move, drag, let go, type. They work in metres
// against a small Editor and know no window, no pixels and no toolkit. A tool shows the plan that a gesture would make with
// Editor.Preview, and hands it in with Editor.Commit; a gesture that is given up leaves nothing behind.
package tool

import (
	"math"

	"github.com/paulmach/orb"

	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// An Editor is what tools work on.
type Editor interface {
	Plan() *plan.Plan // the committed plan, without the gesture under way
	Selection() []string
	Select(ids ...string)
	Preview(p *plan.Plan)
	CancelPreview()
	Commit(name string, p *plan.Plan) error
	Settings() Settings
	Say(text string) // a line for the grower about what just happened
}

// Settings are what the grower has chosen for the board, and what the zoom makes of it.
type Settings struct {
	Kind   plan.Kind     // what the drawing tools draw
	WidthM float64       // of strips, metres
	Units  length.System // how lengths are typed and shown
	StepM  float64       // the grid's step, metres; 0 = no snapping to it
	ReachM float64       // how far off the pointer may be and still mean a thing, metres
	Turn   float64       // how far the plan is turned on the screen, radians anticlockwise

	GridOnly bool // points are drawn to the grid and to nothing else
}

// Mods are the keys held down with another one or with the mouse.
type Mods uint8

// The keys that can be held. Shift adds to a selection and keeps to straight directions; Ctrl holds off snapping; Alt makes a
// nudge fine. (Alt with the mouse belongs to the window manager on many desktops.)
const (
	Shift Mods = 1 << iota
	Ctrl
	Alt
)

// An Event is the pointer at a place on the ground.
type Event struct {
	At   orb.Point // metres
	Mods Mods
}

// A Key is one that means something to a tool.
type Key int

// The keys.
const (
	Enter Key = iota + 1
	Escape
	Backspace
	Delete
	Left
	Right
	Up
	Down
)

// A Tool is one way to work on the plan. Press and Release belong to the main mouse button; Move comes with no button down,
// Drag with it down. A Release can be missed by the toolkit: a Move after a Press means that the button was let go.
type Tool interface {
	Press(Event)
	Move(Event)
	Drag(Event)
	Release(Event)
	Key(Key, Mods) bool // whether the key meant something
	Rune(rune) bool     // a letter or digit typed; whether it meant something
	Busy() bool         // a gesture or a half-drawn shape is under way
	Cancel()            // give it up; the plan is as before
	Sketch() Sketch     // what to show over the ground now
	Hint() string       // what the grower can do next
}

// A Sketch is what a tool wants seen over the ground. Everything is in metres.
type Sketch struct {
	Shape   orb.Geometry     // the shape being drawn or changed; nil where there is none
	Bad     string           // why Shape is not a proper one; "" where it is
	Lines   []orb.LineString // centre lines and edges not closed yet
	Box     orb.Ring         // a box drawn to select
	Handles []Handle
	Guides  []orb.LineString // what the pointer was drawn to
	Notes   []Note           // figures on the ground
	Words   string           // figures to show beside the pointer
	At      orb.Point        // where the pointer counts as being
	Snap    string           // what At was drawn to: "corner", "grid" …
}

// A Note is a figure at a place.
type Note struct {
	At    orb.Point
	Words string
}

// A Handle is a spot that can be taken hold of.
type Handle struct {
	At     orb.Point
	Sort   Sort
	Chosen bool
}

// A Sort says what a handle does.
type Sort int

// The sorts of handle.
const (
	Corner Sort = iota // moves a corner
	Middle             // makes a new corner in an edge
	Width              // changes a strip's width
	Radius             // changes a circle's radius
	Turner             // turns the selection
)

// Info describes a tool for menus and key lists.
type Info struct {
	Name string // in tool lists: "Outline"
	Key  rune   // the key that chooses it
	Hint string // one line: what it is for
	Row  bool   // shown in the row of tools over the ground; the others are in the menu and have their keys
}

// Infos lists the tools in the order in which they are shown.
var Infos = []Info{
	{"Pick", 'v', "Choose, move and reshape what is drawn", true},
	{"Outline", 'o', "Draw any shape, corner by corner", true},
	{"Rectangle", 'r', "Draw a rectangle by two corners", true},
	{"Strip", 's', "Draw a strip along its centre line, such as a hedge along a fence", true},
	{"Round", 'c', "Draw a round thing by its centre and edge, such as a tree or a pond", true},
	{"Aslant", 'a', "Draw a rectangle at any angle: the two ends of one side, then its depth", false},
	{"Freehand", 'f', "Draw round some ground by one drag; the outline is tidied", false},
	{"Mark", 'm', "Set stakes and traps, each with one click", false},
	{"Split", 'k', "Cut features in two by a straight line", false},
	{"Measure", 'd', "Read distances, angles and areas", false},
	{"Picture", 'p', "Move, scale and turn the picture that is traced", false},
}

// New makes the tool of the name; nil for a name that is not in Infos.
func New(name string, ed Editor) Tool {
	switch name {
	case "Pick":
		return &Pick{ed: ed}
	case "Outline":
		return &Outline{drawer: drawer{ed: ed}}
	case "Rectangle":
		return &Rectangle{drawer: drawer{ed: ed}}
	case "Strip":
		return &Strip{drawer: drawer{ed: ed}}
	case "Round":
		return &Round{drawer: drawer{ed: ed}}
	case "Aslant":
		return &Aslant{drawer: drawer{ed: ed}}
	case "Freehand":
		return &Freehand{drawer: drawer{ed: ed}}
	case "Split":
		return &Split{drawer: drawer{ed: ed}}
	case "Picture":
		return &Picture{drawer: drawer{ed: ed}}
	case "Measure":
		return &Measure{drawer: drawer{ed: ed}}
	case "Mark":
		return &Mark{drawer: drawer{ed: ed}}
	}
	return nil
}

// System is the system of lengths of a plan's units.
func System(u plan.Units) length.System {
	if u == plan.US {
		return length.US
	}
	return length.Metric
}

// mm rounds to the millimetre, which is finer than anyone stakes out and keeps files readable.
func mm(x float64) float64 { return math.Round(x*1000) / 1000 }

func roundPoint(p orb.Point) orb.Point { return orb.Point{mm(p[0]), mm(p[1])} }

func roundPolygon(p orb.Polygon) orb.Polygon {
	for _, r := range p {
		for i := range r {
			r[i] = roundPoint(r[i])
		}
	}
	return p
}

func dist(a, b orb.Point) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }

func between(a, b orb.Point) orb.Point { return orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2} }

func closed(pts []orb.Point) orb.Ring {
	r := make(orb.Ring, 0, len(pts)+1)
	r = append(r, pts...)
	return append(r, pts[0])
}
