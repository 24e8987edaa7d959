package endtoend

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"image"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"hedgereach/app/style"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

const (
	width, height = 1440, 900

	// The trial ground, in metres.
	east, north = 120, 80
)

// ground is a plan of bare ground, 120 m by 80 m.
const ground = `{"format": "hedgereach plan", "version": 1, "name": "Trial ground", "units": "metric",
 "place": {"latitude": 44.0, "longitude": -72.5, "elevation_m": 200, "last_frost": "05-10", "first_frost": "10-01"},
 "features": [{"id": "6f4c3f4e-8a54-4b43-9d0e-0c5f4f1c2a11", "kind": "boundary", "name": "Ground",
  "geometry": {"type": "Polygon", "coordinates": [[[0,0],[120,0],[120,80],[0,80],[0,0]]]}}]}`

// TestGarden draws three beds and a hedgerow with the mouse, drags the hedgerow and sees the beds' standing change, undoes it,
// saves, opens again and writes the plot map, all in the real window.
func TestGarden(t *testing.T) {
	r, file := start(t)
	defer func() { r.w.Close() }()
	bin, ctx := r.bin, r.ctx
	dir := filepath.Dir(file)
	r.do(r.w.Key("r"))
	r.drag(32, 50, 62, 56)
	r.drag(32, 38, 62, 44)
	r.drag(32, 5, 62, 11)
	r.kind("Hedgerow")
	r.do(r.w.Key("s"))
	r.click(32, 63)
	r.click(62, 63)
	r.do(r.w.Key("Return", "Escape", "v"))
	r.waitTitle("Trial ground", true)
	r.do(r.w.Key("ctrl+s"))
	r.waitTitle("Trial ground", false)

	drawn, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	p := read(t, file)
	count := map[plan.Kind]int{}
	for _, f := range p.Features {
		count[f.Kind]++
	}
	if count[plan.Bed] != 3 || count[plan.Hedgerow] != 1 || len(p.Features) != 5 {
		t.Fatalf("drew %v, want 3 beds, a hedgerow and the boundary", count)
	}
	if got := standing(t, bin, file); got != "WWB" {
		t.Fatalf("standing as drawn is %s, want WWB: two beds near the hedge, the third far", got)
	}
	before := r.look("before.png")
	near, next, far := r.at(35, 54), r.at(35, 42), r.at(35, 9)
	if !alike(before, near, next) || alike(before, near, far) {
		r.keep("before.png")
		t.Errorf("before the drag, the two near beds should look alike and the far one different: %v and %v, %v",
			mean(before, near), mean(before, next), mean(before, far))
	}

	// The drag: the far bed comes into reach and the first one falls out of it, while the button is still down.
	from, to := r.at(41, 63), r.at(41, 2)
	r.do(r.w.DragHold(from.X, from.Y, to.X, to.Y))
	r.w.Wait(400 * time.Millisecond)
	during := r.look("during.png")
	if mean(during, far).dist(mean(before, far)) < 12 || mean(during, near).dist(mean(before, near)) < 12 {
		t.Errorf("during the drag the beds look as before: first %v and %v, far %v and %v",
			mean(before, near), mean(during, near), mean(before, far), mean(during, far))
	}
	r.do(r.w.Release())
	r.waitTitle("Trial ground", true)
	r.do(r.w.Key("ctrl+s"))
	r.waitTitle("Trial ground", false)
	if got := standing(t, bin, file); got != "BBW" && got != "BPW" {
		t.Errorf("standing after the drag is %s, want the last bed within and the first beyond", got)
	}

	r.do(r.w.Key("ctrl+z"))
	r.waitTitle("Trial ground", true)
	r.do(r.w.Key("ctrl+s"))
	r.waitTitle("Trial ground", false)
	undone, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(undone, drawn) {
		t.Errorf("undo did not give the plan back:\n%s\nwant\n%s", undone, drawn)
	}

	r.w.Close()
	if out := r.w.Output(); strings.Contains(out, "panic") || strings.Contains(out, "DATA RACE") || strings.Contains(out, "call thread") {
		t.Errorf("the program printed:\n%s", out)
	}
	r.w = open(ctx, t, bin, file)
	r.waitTitle("Trial ground", false)
	r.shows("ctrl+p")
	r.shows("shift+Tab", "space") // the last button: Choose the file
	r.do(r.w.Key("ctrl+a"))
	pdf := filepath.Join(dir, "map.pdf")
	r.do(r.w.Type("map.pdf"))
	r.do(r.w.Key("Return"))
	r.until("the plot map is written", func() bool {
		b, err := os.ReadFile(pdf)
		return err == nil && bytes.HasPrefix(b, []byte("%PDF")) && bytes.Contains(b[max(0, len(b)-32):], []byte("%%EOF"))
	})
	if _, err := exec.LookPath("pdftotext"); err == nil {
		text, err := exec.Command("pdftotext", pdf, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{"Trial ground", "Bed 1", "Bed 3", "Legend", "Hedgerow"} {
			if !strings.Contains(string(text), want) {
				t.Errorf("the plot map does not say %q", want)
			}
		}
	}
}

// TestSketch lays a small garden out from a dimensioned sketch, by typing its measures: a bed of 10 m by 1.2 m, six of them with
// paths of 0.5 m, a flower strip of 8 m, and four beds of 8 m by 0.75 m that are typed and never drawn. The saved plan agrees
// with the sketch to the millimetre.
func TestSketch(t *testing.T) {
	r, file := start(t)
	defer func() { r.w.Close() }()
	r.do(r.w.Key("r"))
	r.click(32, 11)
	r.point(50, 14)
	r.do(r.w.Type("10 x 1.2"))
	r.do(r.w.Key("Return"))
	r.waitTitle("Trial ground", true)
	r.shows("ctrl+b")
	r.do(r.w.Type("6"))
	r.shows("Return")
	r.do(r.w.Key("Escape", "s"))
	r.click(76, 11)
	r.point(91, 11)
	r.do(r.w.Type("8 m"))
	r.do(r.w.Key("Return", "Return", "Escape"))
	r.shows("ctrl+i")
	for _, answer := range []string{"8 m", "75 cm", "4"} { // the path of 0.5 m is what the form begins with
		r.do(r.w.Key("ctrl+a"))
		r.do(r.w.Type(answer))
		r.do(r.w.Key("Tab"))
	}
	r.shows("Return")
	r.waitTitle("Trial ground", true)
	r.do(r.w.Key("ctrl+s"))
	r.waitTitle("Trial ground", false)

	p := read(t, file)
	if len(p.Features) != 12 {
		r.keep("sketch.png")
		t.Fatalf("%d features, want the boundary, six beds, a strip and four beds", len(p.Features))
	}
	at := p.Features[1].Geometry.Bound().Min
	for i, f := range p.Features[1:7] {
		b := f.Geometry.Bound()
		y := at[1] + 1.7*float64(i)
		for _, d := range []float64{b.Min[0] - at[0], b.Min[1] - y, b.Max[0] - at[0] - 10, b.Max[1] - y - 1.2} {
			if math.Abs(d) > 0.001 {
				t.Errorf("%s lies in %v: %v m off the sketch", f.Name, b, d)
			}
		}
	}
	if l := p.Features[7].Line; len(l) != 2 || math.Abs(l[1][0]-l[0][0]-8) > 0.001 || math.Abs(l[1][1]-l[0][1]) > 0.001 {
		t.Errorf("the strip runs %v, want 8 m to the east", l)
	}
	at = p.Features[8].Geometry.Bound().Min
	for i, f := range p.Features[8:] {
		b := f.Geometry.Bound()
		y := at[1] + 1.25*float64(i)
		for _, d := range []float64{b.Min[0] - at[0], b.Min[1] - y, b.Max[0] - at[0] - 8, b.Max[1] - y - 0.75} {
			if math.Abs(d) > 0.001 {
				t.Errorf("%s lies in %v: %v m off the sketch", f.Name, b, d)
			}
		}
	}
}

// TestKilledAtWork draws a bed, kills the program before anything is saved, and takes the work up again at the next start.
func TestKilledAtWork(t *testing.T) {
	r, file := start(t)
	r.do(r.w.Key("r"))
	r.drag(32, 50, 62, 56)
	r.waitTitle("Trial ground", true)
	r.w.Wait(time.Second) // no more than a second of work may be lost
	r.w.Kill()
	again, err := r.w.Again(r.ctx, width, height, r.bin, file)
	if err != nil {
		t.Fatal(err)
	}
	r.w = again
	defer func() { r.w.Close() }()
	r.waitTitle("Trial ground", false)
	r.do(r.w.Key("space")) // Recover has the focus
	r.waitTitle("Trial ground", true)
	r.do(r.w.Key("ctrl+s"))
	r.waitTitle("Trial ground", false)
	if n := len(read(t, file).Features); n != 2 {
		t.Errorf("%d features are saved, want the boundary and the bed", n)
	}
}

// TestTwoWindowsOnOnePlan opens a plan that another window has: it says that it can only be read, and a save asks for another name.
func TestTwoWindowsOnOnePlan(t *testing.T) {
	r, file := start(t)
	first := r.w
	defer func() { first.Close() }()
	second, err := first.Again(r.ctx, width, height, r.bin, file)
	if err != nil {
		t.Fatal(err)
	}
	defer second.Close()
	r.w = second
	r.waitTitle("Trial ground (read-only)", false)
	r.do(r.w.Key("Escape", "r"))
	r.drag(32, 50, 62, 56)
	r.waitTitle("Trial ground* (read-only)", true)
	r.do(r.w.Key("ctrl+s"))
	r.w.Wait(700 * time.Millisecond)
	r.do(r.w.Key("ctrl+a"))
	r.do(r.w.Type("mine"))
	r.do(r.w.Key("Return"))
	mine := filepath.Join(filepath.Dir(file), "mine.hedgereach")
	r.until("the plan is saved under another name", func() bool {
		title, err := r.w.Title()
		_, missing := os.Stat(mine)
		return err == nil && missing == nil && !strings.Contains(title, "read-only") && !strings.Contains(title, "*")
	})
	if n, m := len(read(t, file).Features), len(read(t, mine).Features); n != 1 || m != 2 {
		t.Errorf("%d features in the first plan and %d in the other, want 1 and 2", n, m)
	}
}

// TestBadFile opens a plan with a fault from the command line: one line, exit 1, no window.
func TestBadFile(t *testing.T) {
	if testing.Short() {
		t.Skip("needs the program built")
	}
	dir := t.TempDir()
	bin := build(t, dir)
	file := filepath.Join(dir, "torn.hedgereach")
	if err := os.WriteFile(file, []byte(ground[:len(ground)/2]), 0o644); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(bin, "check", file)
	var said bytes.Buffer
	cmd.Stderr = &said
	cmd.Env = append(os.Environ(), "LC_ALL=C.UTF-8") // as on servers: the toolkit must not add lines of its own
	err := cmd.Run()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != 1 {
		t.Errorf("exit: %v, want 1", err)
	}
	if s := said.String(); strings.Count(s, "\n") != 1 || !strings.HasPrefix(s, "hedgereach: ") || !strings.Contains(s, "torn.hedgereach") {
		t.Errorf("said %q, want one line that names the file", s)
	}
}

// build compiles the program; where the machine cannot, the test is skipped, but not where the program is at fault.
func build(t *testing.T, dir string, flags ...string) string {
	t.Helper()
	bin, err := Build(dir, flags...)
	if errors.Is(err, ErrNoCompiler) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	return bin
}

// What the go command and gcc print: the first as Go 1.26 does, the others from memory.
func TestOnlyAMachineWithoutCIsSkipped(t *testing.T) {
	for output, want := range map[string]bool{
		"package hedgereach\n\timports github.com/go-gl/gl/v2.1/gl: build constraints exclude all Go files in /gl": true,
		"cgo: C compiler \"gcc\" not found: exec: \"gcc\": executable file not found in $PATH":                     true,
		"x11_platform.h:33:10: fatal error: X11/Xlib.h: No such file or directory\n   33 | #include <X11/Xlib.h>":  true,
		"/usr/bin/ld: cannot find -lGL: No such file or directory":                                                 true,
		"# hedgereach/app/window\napp/window/window.go:9:2: undefined: nonsense":                                   false,
		"app/window/window.go:9:2: no required module provides package x":                                          false,
		"# hedgereach\nfatal error: all goroutines are asleep - deadlock!":                                         false,
	} {
		if got := lacksC(output); got != want {
			t.Errorf("%q: %v", output, got)
		}
	}
}

func open(ctx context.Context, t *testing.T, bin, file string) *Window {
	t.Helper()
	w, err := Start(ctx, width, height, bin, file)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func read(t *testing.T, file string) *plan.Plan {
	t.Helper()
	p, err := plan.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// standing is the letters of the beds, in plan order, for any refuge at the range that the window starts with, as the check
// command measures them.
func standing(t *testing.T, bin, file string) string {
	t.Helper()
	out, err := exec.Command(bin, "check", "--json", file).Output()
	if err != nil {
		t.Fatal(err)
	}
	var report struct {
		Beds []struct {
			Refuge *struct {
				Nearest  float64 `json:"nearest_m"`
				Farthest float64 `json:"farthest_m"`
			} `json:"refuge"`
		} `json:"beds"`
	}
	if err := json.Unmarshal(out, &report); err != nil {
		t.Fatal(err)
	}
	letters := ""
	for _, b := range report.Beds {
		switch {
		case b.Refuge == nil || b.Refuge.Nearest > habitat.UsualRangeM:
			letters += "B"
		case b.Refuge.Farthest <= habitat.UsualRangeM:
			letters += "W"
		default:
			letters += "P"
		}
	}
	return letters
}

// A robot drives a window and fails the test where it cannot.
type robot struct {
	t     *testing.T
	ctx   context.Context // of the whole test
	bin   string
	w     *Window
	board image.Rectangle // where the window shows the ground, all of it; empty until it was looked for
}

// at is the pixel that shows a place of the trial ground, in metres from its south-west corner. It holds for as long as the view
// is the one that the window opens with, which shows the whole ground in the middle of the board.
func (r *robot) at(x, y float64) image.Point {
	r.t.Helper()
	if r.board.Empty() {
		r.do(r.w.Key("Home"))
		r.w.Wait(300 * time.Millisecond)
		r.findBoard()
	}
	const margin = 48 // units about the ground, as the board leaves it
	w, h := float64(r.board.Dx()), float64(r.board.Dy())
	scale := min((w-2*margin)/east, (h-2*margin)/north)
	return image.Pt(int(math.Round(float64(r.board.Min.X)+w/2+(x-east/2)*scale)),
		int(math.Round(float64(r.board.Min.Y)+h/2-(y-north/2)*scale)))
}

// findBoard looks for the frame about the ground, which has the keys.
func (r *robot) findBoard() {
	r.t.Helper()
	accent := style.Light.Accent
	img := r.look("board.png")
	is := func(x, y int) bool {
		c, g, b, _ := img.At(x, y).RGBA()
		return uint8(c>>8) == accent.R && uint8(g>>8) == accent.G && uint8(b>>8) == accent.B
	}
	for y := range height { // the first long run of it is the upper side
		for x := 0; x < width; x++ {
			end := x
			for end < width && is(end, y) {
				end++
			}
			if end-x < width/3 {
				x = max(x, end)
				continue
			}
			bottom := y
			for bottom < height && is(x, bottom) {
				bottom++
			}
			r.board = image.Rect(x, y, end, bottom)
			return
		}
	}
	r.keep("board.png")
	r.t.Fatal("the ground does not have the keys, or is not to be seen")
}

func (r *robot) click(x, y float64) { r.t.Helper(); p := r.at(x, y); r.do(r.w.Click(p.X, p.Y)) }
func (r *robot) point(x, y float64) { r.t.Helper(); p := r.at(x, y); r.do(r.w.Move(p.X, p.Y)) }
func (r *robot) drag(x0, y0, x1, y1 float64) {
	r.t.Helper()
	p, q := r.at(x0, y0), r.at(x1, y1)
	r.do(r.w.Drag(p.X, p.Y, q.X, q.Y))
}

// kind chooses what is drawn, by its name.
func (r *robot) kind(name string) {
	r.t.Helper()
	r.do(r.w.Key("b"))
	r.w.Wait(300 * time.Millisecond)
	r.do(r.w.Type(name))
	r.do(r.w.Key("Return"))
}

// start builds the program and opens it on bare ground, in a file of its own. It skips where there is no screen or compiler.
func start(t *testing.T) (*robot, string) {
	t.Helper()
	if testing.Short() {
		t.Skip("the real window takes half a minute")
	}
	for _, tool := range []string{"Xvfb", "xdotool", "import"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("no %s on this machine: the real window is not driven", tool)
		}
	}
	dir := t.TempDir()
	bin := build(t, dir)
	file := filepath.Join(dir, "trial.hedgereach")
	if err := os.WriteFile(file, []byte(ground), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Minute)
	t.Cleanup(cancel)
	return &robot{t: t, ctx: ctx, bin: bin, w: open(ctx, t, bin, file)}, file
}

func (r *robot) do(err error) {
	r.t.Helper()
	if err != nil {
		r.t.Fatal(err)
	}
}

// until waits for something to become so, up to ten seconds.
func (r *robot) until(what string, so func() bool) {
	r.t.Helper()
	for range 100 {
		if so() {
			return
		}
		if !r.w.Running() {
			break
		}
		r.w.Wait(100 * time.Millisecond)
	}
	r.keep("failed.png")
	r.t.Fatalf("waited in vain until %s; the program runs: %v; it printed:\n%s", what, r.w.Running(), r.w.Output())
}

// waitTitle waits until the title names the plan and marks it unsaved or not.
func (r *robot) waitTitle(name string, unsaved bool) {
	r.t.Helper()
	last := ""
	r.until("the title is right", func() bool {
		last, _ = r.w.Title()
		return strings.Contains(last, name) && strings.Contains(last, "*") == unsaved
	})
}

func (r *robot) look(name string) image.Image {
	r.t.Helper()
	path := filepath.Join(r.t.TempDir(), name)
	r.do(r.w.Picture(path))
	f, err := os.Open(path)
	r.do(err)
	defer f.Close()
	img, err := png.Decode(f)
	r.do(err)
	return img
}

// shows presses keys that open or close a form, and waits until a good part of the window is another and has come to rest: a busy
// machine takes as long over it as it needs.
func (r *robot) shows(chords ...string) {
	r.t.Helper()
	before := r.look("before-" + chords[0] + ".png")
	r.do(r.w.Key(chords...))
	last := before
	r.until("keys "+strings.Join(chords, ", ")+" show something", func() bool {
		now := r.look("after-" + chords[0] + ".png")
		rests := differ(last, now) < 0.0005 // a blinking caret is less
		last = now
		return rests && differ(before, now) > 0.01
	})
}

// differ is the part of the pixels, 0–1, that are another in two pictures of one size.
func differ(a, b image.Image) float64 {
	n, other := 0, 0
	for y := a.Bounds().Min.Y; y < a.Bounds().Max.Y; y++ {
		for x := a.Bounds().Min.X; x < a.Bounds().Max.X; x++ {
			r0, g0, b0, _ := a.At(x, y).RGBA()
			r1, g1, b1, _ := b.At(x, y).RGBA()
			if n++; r0 != r1 || g0 != g1 || b0 != b1 {
				other++
			}
		}
	}
	return float64(other) / float64(n)
}

// keep leaves a picture where a person can look at it after a failure.
func (r *robot) keep(name string) {
	path := filepath.Join(os.TempDir(), "hedgereach-"+name)
	if r.w.Picture(path) == nil {
		r.t.Log("a picture of the window is in", path)
	}
}

// A shade is a colour, 0–255 a channel.
type shade [3]float64

func (a shade) dist(b shade) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

// mean is the mean colour of the 32 × 16 pixels about a point: hatch and tint of a bed's end together.
func mean(img image.Image, at image.Point) (s shade) {
	n := 0.0
	for y := at.Y - 8; y < at.Y+8; y++ {
		for x := at.X - 16; x < at.X+16; x++ {
			r, g, b, _ := img.At(x, y).RGBA()
			s[0], s[1], s[2], n = s[0]+float64(r>>8), s[1]+float64(g>>8), s[2]+float64(b>>8), n+1
		}
	}
	return shade{s[0] / n, s[1] / n, s[2] / n}
}

// alike allows for the reach, which fades with the distance: standings differ by a hundred.
func alike(img image.Image, a, b image.Point) bool { return mean(img, a).dist(mean(img, b)) < 24 }
