// Package printer hands files to the system's print command, where there is one. It knows no sheets and no window.
package printer

import (
	"context"
	"errors"
	"fmt"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"
)

// A Command is a print command of the system.
type Command struct {
	path string
	lpr  bool // the older of the two
}

// Find looks for a print command: lp, else lpr, which CUPS brings to Linux and macOS. It answers nil where there is none.
func Find() *Command {
	if runtime.GOOS == "windows" {
		return nil // its programs of these names print plain text only
	}
	for _, name := range []string{"lp", "lpr"} {
		if path, err := exec.LookPath(name); err == nil {
			return &Command{path, name == "lpr"}
		}
	}
	return nil
}

// waits are how long the commands may take before they are given up.
const (
	listWait  = 3 * time.Second
	printWait = 60 * time.Second
)

// Printers lists the printers that the system knows by name; none where it does not say.
func (c *Command) Printers() []string {
	list, err := exec.LookPath("lpstat")
	if err != nil {
		return nil
	}
	ctx, cancel := context.WithTimeout(context.Background(), listWait)
	defer cancel()
	out, err := exec.CommandContext(ctx, list, "-e").Output()
	if err != nil {
		return nil
	}
	return strings.Fields(string(out))
}

// A Job is what to print and how.
type Job struct {
	Printer  string // "": the usual one
	Title    string
	Copies   int     // at least 1
	WidthMM  float64 // of the paper as it goes into the printer, the shorter side
	HeightMM float64
}

// media names the paper for the printer: by its usual name where it has one, else by its size.
func (j Job) media() string {
	for _, m := range []struct {
		name string
		w, h float64
	}{{"A4", 210, 297}, {"A3", 297, 420}, {"A2", 420, 594}, {"A1", 594, 841}, {"A0", 841, 1189}, {"Letter", 215.9, 279.4},
		{"Legal", 215.9, 355.6}, {"Tabloid", 279.4, 431.8}} {
		if abs(j.WidthMM-m.w) < 0.6 && abs(j.HeightMM-m.h) < 0.6 {
			return m.name
		}
	}
	return fmt.Sprintf("Custom.%.1fx%.1fmm", j.WidthMM, j.HeightMM)
}

func abs(v float64) float64 { return max(v, -v) }

// args are the command's arguments. Nothing is scaled: a map that is shrunk to the printer's margins is no map to scale.
func (c *Command) args(file string, j Job) []string {
	var args []string
	add := func(flag, value string) { args = append(args, flag, value) }
	to, copies, title := "-d", "-n", "-t"
	if c.lpr {
		to, copies, title = "-P", "-#", "-T"
	}
	if j.Printer != "" {
		add(to, j.Printer)
	}
	add(copies, fmt.Sprint(max(1, j.Copies)))
	if j.Title != "" {
		add(title, j.Title)
	}
	add("-o", "print-scaling=none")
	add("-o", "media="+j.media())
	return append(args, file)
}

// Print hands a file over and waits until the system has taken it, not until it is on paper. The answer is what the system says.
func (c *Command) Print(file string, j Job) (string, error) {
	file, err := filepath.Abs(file) // which begins with no dash, and so is no option
	if err != nil {
		return "", err
	}
	ctx, cancel := context.WithTimeout(context.Background(), printWait)
	defer cancel()
	out, err := exec.CommandContext(ctx, c.path, c.args(file, j)...).CombinedOutput()
	said := strings.Join(strings.Fields(string(out)), " ")
	switch {
	case errors.Is(ctx.Err(), context.DeadlineExceeded):
		return "", fmt.Errorf("the print command %s did not answer within a minute: look whether the printer is on, or write a PDF and print that", c.path)
	case err != nil && said != "":
		return "", fmt.Errorf("the print command says: %s. Choose another printer, or write a PDF and print that", strings.TrimSuffix(said, "."))
	case err != nil:
		return "", fmt.Errorf("the print command %s failed (%w): write a PDF and print that", c.path, err)
	}
	return said, nil
}
