package plan

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// WriteFile writes a plan to a file: GeoJSON for the extension .geojson, and for .json unless a plan file of that name is there
// already; else a plan file. GPX and CSV are only read. See Replace for what happens on failure.
func WriteFile(path string, p *Plan) error {
	marshal := Marshal
	switch ext := strings.ToLower(filepath.Ext(path)); {
	case ext == ".gpx" || ext == ".csv":
		return &ReadError{File: path, What: "a plan cannot be kept in this kind of file",
			Mend: "save it as .hedgereach or .geojson"}
	case ext == ".geojson" || ext == ".json" && !holdsPlan(path):
		marshal = MarshalGeoJSON
	}
	data, err := marshal(p)
	if err == nil {
		err = readsAgain(data)
	}
	if err != nil {
		return inFile(path, err)
	}
	return Replace(path, data)
}

// readsAgain tells whether what was written can be read. Marshal sees to that; but a file that was good is only replaced by one
// that is known to be.
func readsAgain(data []byte) error {
	if len(data) > MaxFileBytes {
		return tooLarge()
	}
	_, err := decode(data, "")
	var re *ReadError
	if errors.As(err, &re) {
		return &ReadError{Where: re.Where, What: "what would be written could not be read again: " + re.What, Mend: re.Mend}
	}
	return err
}

func holdsPlan(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	data, err := readAll(f)
	if err != nil {
		return false
	}
	if data, err = checkJSON(data); err != nil {
		return false
	}
	format, _, _, err := whatIsIt(data)
	return err == nil && format == planFormat
}

// Replace puts data into a file so that the file is at any moment whole, the old or the new: written beside, flushed, renamed.
// A failure leaves the old file as it was and nothing beside it. The file's mode is kept, and a link stays a link to the file
// that it names, also where that is not there yet. A file that may not be written is refused: that its folder would let it be
// renamed away is no leave to do so. The error is one line, a *ReadError with the file's name.
func Replace(path string, data []byte) error {
	target, err := followLinks(path)
	if err != nil {
		return &ReadError{File: path, What: "it cannot be written: " + plainReason(err), Mend: "choose another name"}
	}
	mode := os.FileMode(0o644)
	if s, err := os.Stat(target); err == nil {
		if !s.Mode().IsRegular() {
			return &ReadError{File: path, What: "this is not a file that can be written", Mend: "choose another name"}
		}
		mode = s.Mode().Perm()
		if err := mayWrite(target, mode); err != nil {
			return &ReadError{File: path, What: "this file is protected against writing: " + plainReason(err),
				Mend: "save under another name, or take the protection off"}
		}
	}
	if err := replace(target, data, mode); err != nil {
		return &ReadError{File: path, What: "it cannot be written: " + plainReason(err),
			Mend: "check that its folder exists, that you may write there and that the disk has room"}
	}
	return nil
}

// followLinks is the file that a path means: what its links lead to, whether it is there or not.
func followLinks(path string) (string, error) {
	const most = 40 // as the kernel
	for range most {
		to, err := os.Readlink(path)
		if err != nil {
			return path, nil // no link
		}
		if !filepath.IsAbs(to) {
			dir, err := filepath.EvalSymlinks(filepath.Dir(path)) // ".." in a link is meant from where its folder really is
			if err != nil {
				return "", err
			}
			to = filepath.Join(dir, to)
		}
		path = to
	}
	return "", errors.New("its links lead round in a circle")
}

// mayWrite asks the system and the file's mode, which the system does not hold against an administrator.
func mayWrite(target string, mode os.FileMode) error {
	if mode&0o222 == 0 {
		return &os.PathError{Op: "open", Path: target, Err: os.ErrPermission}
	}
	f, err := os.OpenFile(target, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	return f.Close()
}

// The disk as replace writes to it. Tests put failing ones in its place.
var (
	create = func(name string, mode os.FileMode) (file, error) {
		return os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	}
	rename = os.Rename
)

type file interface {
	io.WriteCloser
	Chmod(os.FileMode) error
	Sync() error
}

// besideFormat is the name of what is written beside a file until it is whole: of the file, the process, and a number.
const besideFormat = ".%s.%d-%d.part"

var besideName = regexp.MustCompile(`\.(\d+)-\d+\.part$`)

// Ages from which what was left beside a file is taken away. A process of another machine may be writing it on a shared disk: the
// numbers of its processes say nothing here, but no save pauses that long.
const (
	deadAfter = time.Minute    // its process does not run
	oldAfter  = 24 * time.Hour // another process has that number by now
)

// TidyBeside removes what saves of a file that were cut off left beside it: its own name, a dead process, and no longer touched.
// What cannot be removed stays; it harms nobody.
func TidyBeside(path string) {
	if target, err := followLinks(path); err == nil {
		tidyBeside(target)
	}
}

func tidyBeside(target string) {
	dir, prefix := filepath.Dir(target), "."+filepath.Base(target)+"."
	found, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, e := range found {
		rest, ours := strings.CutPrefix(e.Name(), prefix)
		m := besideName.FindStringSubmatch("." + rest)
		if !ours || m == nil || len(m[0]) != len(rest)+1 || !e.Type().IsRegular() {
			continue
		}
		pid, err := strconv.Atoi(m[1])
		if err != nil {
			continue
		}
		s, err := e.Info()
		if err != nil {
			continue
		}
		if age := time.Since(s.ModTime()); age > oldAfter || age > deadAfter && pid != os.Getpid() && !Running(pid) {
			_ = os.Remove(filepath.Join(dir, e.Name()))
		}
	}
}

// Running tells whether a process of that number is there.
func Running(pid int) bool {
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	defer func() { _ = p.Release() }()
	if runtime.GOOS == "windows" {
		return true // there, finding is proof
	}
	err = p.Signal(syscall.Signal(0))
	return err == nil || errors.Is(err, os.ErrPermission)
}

func replace(target string, data []byte, mode os.FileMode) (err error) {
	dir := filepath.Dir(target)
	tidyBeside(target) // also makes room on a full disk
	var f file
	var beside string
	for i := 0; ; i++ { // not os.CreateTemp, whose files are for their owner alone
		beside = filepath.Join(dir, fmt.Sprintf(besideFormat, filepath.Base(target), os.Getpid(), i))
		if f, err = create(beside, mode); err == nil {
			break
		}
		if !os.IsExist(err) || i > 100 {
			return err
		}
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(beside)
		}
	}()
	if _, err = f.Write(data); err != nil {
		return err
	}
	if s, e := os.Stat(target); e == nil && s.Mode().Perm() == mode {
		if err = f.Chmod(mode); err != nil { // what the umask took away from a mode that is to be kept
			return err
		}
	}
	if err = f.Sync(); err != nil {
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	if err = rename(beside, target); err != nil {
		return err
	}
	if d, e := os.Open(dir); e == nil { // not every system can flush a folder; the file itself is safe
		_ = d.Sync()
		d.Close()
	}
	return nil
}

// plainReason is an error of the system without the name of the file beside, which means nothing to the grower.
func plainReason(err error) string {
	if pe, ok := err.(*os.PathError); ok {
		return pe.Err.Error()
	}
	if le, ok := err.(*os.LinkError); ok {
		return le.Err.Error()
	}
	return err.Error()
}
