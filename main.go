// Hedgereach lays out gardens and fields so that the natural enemies of pests reach every bed.
package main

import (
	_ "embed"
	"fmt"
	"os"
	"runtime/debug"
	"strconv"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/app"

	"hedgereach/app/command"
	_ "hedgereach/app/locale" // before the toolkit wakes
	"hedgereach/app/recovery"
	"hedgereach/app/window"
)

// version is the program's; FyneApp.toml says the same for packaging tools, and a test holds them together.
const version = "0.1.0"

const id = "org.hedgereach.Hedgereach"

//go:embed Icon.png
var icon []byte

func main() { os.Exit(run(os.Args[1:])) }

// run does a command, or opens the window on a file, on the sample garden (--sample), or on an empty plan.
func run(args []string) int {
	sample := len(args) == 1 && args[0] == "--sample"
	if !sample {
		if exit, handled := command.Run(args, os.Stdout, os.Stderr); handled {
			return exit
		}
	}
	if err := openWindow(args, sample); err != nil {
		fmt.Fprintln(os.Stderr, "hedgereach:", err)
		return command.Fail
	}
	return command.Done
}

func openWindow(args []string, sample bool) error {
	if err := window.Display(); err != nil {
		return err
	}
	end := watch()
	defer func() {
		if fault := recover(); fault != nil {
			rescue(fault, debug.Stack(), end)
		}
	}()
	remark := ""
	if settings, err := recovery.SettingsFile(id); err == nil {
		remark = recovery.SetAside(settings)
	}
	app.SetMetadata(fyne.AppMetadata{ID: id, Name: "Hedgereach", Version: version, Build: 1,
		Icon: fyne.NewStaticResource("Icon.png", icon), Migrations: map[string]bool{"fyneDo": true}})
	a := app.New()
	var err error
	switch {
	case sample:
		err = window.OpenSample(a, remark)
	case len(args) == 1:
		err = window.Open(a, args[0], remark)
	default:
		err = window.Open(a, "", remark)
	}
	if err == nil {
		a.Run()
	}
	end() // not deferred: a fault ends the program, and its file is to stay
	return err
}

// restarted is set, to the second, where the program was started again after a fault.
const restarted = "HEDGEREACH_RESTARTED"

// rescue ends the program after a fault on the window's goroutine, from which it cannot go on: the work is on disk, what is known of
// the fault is left for the next start to tell, and that follows at once, unless the last one was just now.
func rescue(fault any, stack []byte, end func()) {
	recovery.FlushAll(5 * time.Second)
	if folder, err := recovery.Folder(); err == nil {
		_ = recovery.Leave(folder, version, fault, stack)
	}
	end()
	const pause = 60 // seconds
	before, _ := strconv.ParseInt(os.Getenv(restarted), 10, 64)
	if now := time.Now().Unix(); now-before > pause {
		_ = startAgain(append(os.Environ(), fmt.Sprintf("%s=%d", restarted, now)))
	}
	fmt.Fprintln(os.Stderr, "hedgereach: the program ended by a fault of its own: start it again, and it offers what you had not saved")
	os.Exit(command.Fail)
}

// watch keeps a note of a fault that ends the program. Where that cannot be, the program runs without.
func watch() (end func()) {
	if folder, err := recovery.Folder(); err == nil {
		if end, err := recovery.Watch(folder, version); err == nil {
			return end
		}
	}
	return func() {}
}
