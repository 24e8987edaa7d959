// Package endtoend drives the real program in a real window, on a screen in memory (Xvfb) with a robot's mouse and keys
// (xdotool). The tests here and the command that takes the README's pictures use it. It knows how to press and look; it
// knows nothing of gardens.
package endtoend

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// ErrNoScreen says that this machine lacks what a real window needs.
var ErrNoScreen = errors.New("no Xvfb or xdotool on this machine")

// ErrNoCompiler says that this machine cannot build the window toolkit.
var ErrNoCompiler = errors.New("no C compiler, headers or libraries for the window toolkit")

// settle is how long the toolkit, which looks for input 60 times a second, gets between two steps of the robot.
const settle = 40 * time.Millisecond

// A Window is the running program and the screen that it is on.
type Window struct {
	id      string
	display string
	screen  *exec.Cmd
	program *exec.Cmd
	output  output
	home    string
	exited  chan struct{}
}

// Build compiles the program at the module's root and answers the path of the binary in dir. It uses the flags that are in
// GOFLAGS, so that the tests' own build cache serves, and those given, such as -tags=….
func Build(dir string, flags ...string) (string, error) {
	gomod, err := exec.Command("go", "env", "GOMOD").Output()
	if err != nil {
		return "", fmt.Errorf("cannot find the module: %w", err)
	}
	bin := filepath.Join(dir, "hedgereach")
	cmd := exec.Command("go", slices.Concat([]string{"build", "-o", bin}, flags, []string{"."})...)
	cmd.Dir = filepath.Dir(strings.TrimSpace(string(gomod)))
	if out, err := cmd.CombinedOutput(); err != nil {
		if lacksC(string(out)) {
			err = ErrNoCompiler
		}
		return "", fmt.Errorf("cannot build the program: %w\n%s", err, out)
	}
	return bin, nil
}

// lacksC tells whether a build failed for want of a C compiler, a header or a C library, and not for a fault of the program.
func lacksC(output string) bool {
	for _, sign := range []string{
		"build constraints exclude all Go files", // what uses C, with CGO_ENABLED=0
		`cgo: C compiler "`,                      // … not found
		"fatal error: ",                          // with a header: No such file or directory
		"Package x11 was not found", "pkg-config: exec: ", "cannot find -l",
	} {
		if _, rest, found := strings.Cut(output, sign); found && (sign != "fatal error: " || strings.Contains(rest, ".h: No such file")) {
			return true
		}
	}
	return false
}

// Start shows a screen of the size, runs the program on it with its own empty home, and waits for its window.
func Start(ctx context.Context, width, height int, bin string, args ...string) (*Window, error) {
	for _, tool := range []string{"Xvfb", "xdotool"} {
		if _, err := exec.LookPath(tool); err != nil {
			return nil, ErrNoScreen
		}
	}
	home, err := os.MkdirTemp("", "hedgereach-home-")
	if err != nil {
		return nil, err
	}
	return startIn(ctx, home, width, height, bin, args...)
}

func startIn(ctx context.Context, home string, width, height int, bin string, args ...string) (*Window, error) {
	w := &Window{home: home, exited: make(chan struct{})}
	if err := w.startScreen(ctx, width, height); err != nil {
		w.Close()
		return nil, err
	}
	w.program = exec.CommandContext(ctx, bin, args...)
	w.program.Env = append(w.environ(), "HOME="+home, "XDG_CONFIG_HOME="+filepath.Join(home, "config"),
		"XDG_CACHE_HOME="+filepath.Join(home, "cache"), "XDG_DATA_HOME="+filepath.Join(home, "data"),
		"LIBGL_ALWAYS_SOFTWARE=1", "LANG=en_GB.UTF-8", "FYNE_SCALE=1", "FYNE_DISABLE_DPI_DETECTION=1")
	w.program.Stdout, w.program.Stderr = &w.output, &w.output
	if err := w.program.Start(); err != nil {
		w.Close()
		return nil, fmt.Errorf("cannot start the program: %w", err)
	}
	go func() { _ = w.program.Wait(); close(w.exited) }()
	if err := w.findWindow(ctx, width, height); err != nil {
		w.Close()
		return nil, fmt.Errorf("%w; the program printed: %s", err, w.output.String())
	}
	return w, nil
}

// startScreen runs Xvfb, which picks a free display number and writes it to the pipe.
func (w *Window) startScreen(ctx context.Context, width, height int) error {
	r, pw, err := os.Pipe()
	if err != nil {
		return err
	}
	defer r.Close()
	w.screen = exec.CommandContext(ctx, "Xvfb", "-displayfd", "3", "-nolisten", "tcp", "-dpi", "96",
		"-screen", "0", fmt.Sprintf("%dx%dx24", width, height))
	w.screen.ExtraFiles = []*os.File{pw}
	err = w.screen.Start()
	pw.Close()
	if err != nil {
		w.screen = nil
		return fmt.Errorf("cannot start Xvfb: %w", err)
	}
	number, err := bufio.NewReader(r).ReadString('\n')
	if err != nil {
		return fmt.Errorf("no display from Xvfb: %w", err)
	}
	w.display = ":" + strings.TrimSpace(number)
	return nil
}

func (w *Window) environ() []string { return append(os.Environ(), "DISPLAY="+w.display) }

// findWindow waits for the program's window, fills the screen with it and focuses it: there is no window manager to do so.
func (w *Window) findWindow(ctx context.Context, width, height int) error {
	for range 600 {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-w.exited:
			return errors.New("the program ended before its window was there")
		case <-time.After(100 * time.Millisecond):
		}
		out, err := w.tool("search", "--onlyvisible", "--name", "Hedgereach")
		if err != nil || out == "" {
			continue
		}
		ids := strings.Fields(out)
		w.id = ids[len(ids)-1]
		if _, err := w.tool("windowmove", w.id, "0", "0", "windowsize", w.id, strconv.Itoa(width), strconv.Itoa(height)); err != nil {
			return err
		}
		if _, err := w.tool("windowfocus", w.id); err != nil {
			return err
		}
		return w.steady(ctx, width, height)
	}
	return errors.New("no window came up within a minute")
}

// steady waits until the window fills its size and shows one picture several times running: on a slow machine the ground comes
// long after the frame about it, and what is pressed meanwhile would go astray.
func (w *Window) steady(ctx context.Context, width, height int) error {
	if _, err := exec.LookPath("import"); err != nil {
		time.Sleep(3 * time.Second)
		return nil
	}
	size := fmt.Sprintf("%d %d", width, height)
	var last []byte
	same := 0
	for range 200 {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		time.Sleep(150 * time.Millisecond)
		cmd := exec.Command("import", "-window", w.id, "ppm:-")
		cmd.Env = w.environ()
		now, err := cmd.Output()
		head, plain := now[:min(len(now), 20)], true // before anything is painted every pixel is the same
		for i := 64; plain && i+3 < len(now); i += 3 * 97 {
			plain = bytes.Equal(now[i:i+3], now[64:67])
		}
		if err != nil || plain || !bytes.Contains(head, []byte(size)) || !bytes.Equal(now, last) {
			last, same = now, 0
			continue
		}
		if same++; same == 3 {
			return nil
		}
	}
	return errors.New("the window never came to rest")
}

func (w *Window) tool(args ...string) (string, error) {
	cmd := exec.Command("xdotool", args...)
	cmd.Env = w.environ()
	out, err := cmd.Output()
	if err != nil {
		return "", fmt.Errorf("xdotool %s: %w", strings.Join(args, " "), err)
	}
	return strings.TrimSpace(string(out)), nil
}

func (w *Window) do(args ...string) error {
	_, err := w.tool(args...)
	time.Sleep(settle)
	return err
}

// Title is the window's title.
func (w *Window) Title() (string, error) { return w.tool("getwindowname", w.id) }

// Move puts the pointer at a pixel of the window.
func (w *Window) Move(x, y int) error {
	return w.do("mousemove", strconv.Itoa(x), strconv.Itoa(y))
}

// Click moves and clicks the left button.
func (w *Window) Click(x, y int) error { return w.Button(x, y, 1) }

// Button moves and clicks a button; 4 and 5 are the wheel.
func (w *Window) Button(x, y, button int) error {
	if err := w.Move(x, y); err != nil {
		return err
	}
	if err := w.do("mousedown", strconv.Itoa(button)); err != nil {
		return err
	}
	return w.do("mouseup", strconv.Itoa(button))
}

// Drag presses the left button at the first point, moves through steps to the last, and lets go.
func (w *Window) Drag(x0, y0, x1, y1 int) error {
	if err := w.DragHold(x0, y0, x1, y1); err != nil {
		return err
	}
	return w.Release()
}

// DragHold drags as Drag does, and keeps the button down.
func (w *Window) DragHold(x0, y0, x1, y1 int) error {
	if err := w.Move(x0, y0); err != nil {
		return err
	}
	if err := w.do("mousedown", "1"); err != nil {
		return err
	}
	const steps = 12
	for i := 1; i <= steps; i++ {
		if err := w.Move(x0+(x1-x0)*i/steps, y0+(y1-y0)*i/steps); err != nil {
			return err
		}
	}
	return nil
}

// Release lets the left button go.
func (w *Window) Release() error { return w.do("mouseup", "1") }

// Key presses a key or chord in xdotool's names: "ctrl+s", "Return", "b".
func (w *Window) Key(chords ...string) error {
	for _, c := range chords {
		if err := w.do("key", c); err != nil {
			return err
		}
	}
	return nil
}

// Type types a text.
func (w *Window) Type(text string) error { return w.do("type", "--delay", "30", text) }

// Wait gives the program time to do what it does in the background.
func (w *Window) Wait(d time.Duration) { time.Sleep(d) }

// Picture writes what the window shows as a PNG. It needs ImageMagick's import.
func (w *Window) Picture(path string) error {
	cmd := exec.Command("import", "-window", w.id, path)
	cmd.Env = w.environ()
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("cannot take a picture: %w: %s", err, out)
	}
	return nil
}

// Running tells whether the program is still there.
func (w *Window) Running() bool {
	select {
	case <-w.exited:
		return false
	default:
		return true
	}
}

// An output collects what the program prints while others may read it.
type output struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (o *output) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.b.Write(p)
}

func (o *output) String() string {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.b.String()
}

// Output is what the program printed so far. Call it after Close for all of it.
func (w *Window) Output() string { return w.output.String() }

// Kill ends the program as a crash or a power cut would, and the screen with it. The program's home stays: hand it to Again.
func (w *Window) Kill() {
	_ = w.program.Process.Kill()
	<-w.exited
	_ = w.screen.Process.Kill()
	_ = w.screen.Wait()
	w.program, w.screen = nil, nil
}

// Again starts the program on a new screen with the home of one that was killed.
func (w *Window) Again(ctx context.Context, width, height int, bin string, args ...string) (*Window, error) {
	return startIn(ctx, w.home, width, height, bin, args...)
}

// Close ends the program and the screen and removes the program's home.
func (w *Window) Close() {
	if w.program != nil && w.program.Process != nil {
		_ = w.program.Process.Signal(os.Interrupt)
		select {
		case <-w.exited:
		case <-time.After(3 * time.Second):
			_ = w.program.Process.Kill()
			<-w.exited
		}
	}
	if w.screen != nil && w.screen.Process != nil {
		_ = w.screen.Process.Kill()
		_ = w.screen.Wait()
	}
	if w.home != "" {
		_ = os.RemoveAll(w.home)
	}
}
