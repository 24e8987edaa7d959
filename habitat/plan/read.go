package plan

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// The two formats that begin with a "format" member.
const (
	planFormat     = "hedgereach plan"
	featuresFormat = "hedgereach features" // for the clipboard
)

// A Format is what a file holds.
type Format string

// The formats that are read.
const (
	PlanFile Format = "plan"
	GeoJSON  Format = "GeoJSON"
	GPX      Format = "GPX"
	CSV      Format = "CSV"
)

// A Reading is a file as read.
type Reading struct {
	Plan   *Plan
	Format Format
	Notes  []string // a line each for what was left out or taken for granted
}

// Open reads a plan file, GeoJSON, or points in GPX or CSV: CSV by its extension, the others by content. Errors are *ReadError.
func Open(path string) (Reading, error) {
	f, err := os.Open(path)
	if err != nil {
		return Reading{}, &ReadError{File: path, What: osReason(err), Mend: "check its name and folder, and that you may read it"}
	}
	defer f.Close()
	if s, err := f.Stat(); err == nil && s.Size() > MaxFileBytes {
		return Reading{}, inFile(path, tooLarge())
	}
	data, err := readAll(f)
	if err != nil {
		return Reading{}, inFile(path, err)
	}
	title := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	var r Reading
	switch ext := strings.ToLower(filepath.Ext(path)); {
	case ext == ".csv":
		r.Format = CSV
		r.Plan, r.Notes, err = readCSV(data, title)
	case ext == ".gpx" || bytes.HasPrefix(bytes.TrimLeft(bytes.TrimPrefix(data, []byte("\ufeff")), " \t\r\n"), []byte("<")):
		r.Format = GPX
		r.Plan, r.Notes, err = readGPX(data, title)
	default:
		r, err = decode(data, title)
	}
	if err != nil {
		return Reading{}, inFile(path, err)
	}
	return r, nil
}

// ReadFile is Open for whoever needs only the plan.
func ReadFile(path string) (*Plan, error) {
	r, err := Open(path)
	return r.Plan, err
}

// osReason says in plain words why the system refused a file.
func osReason(err error) string {
	var pe *os.PathError
	switch {
	case errors.Is(err, os.ErrNotExist):
		return "there is no such file"
	case errors.Is(err, os.ErrPermission):
		return "you may not open it"
	case errors.As(err, &pe):
		return "it cannot be opened: " + pe.Err.Error()
	}
	return "it cannot be opened: " + err.Error()
}

// inFile puts a file's name into an error. Anything but a ReadError becomes one.
func inFile(name string, err error) error {
	var re *ReadError
	if !errors.As(err, &re) {
		return &ReadError{File: name, What: err.Error()}
	}
	c := *re
	c.File = name
	return &c
}

// Read reads a plan file or GeoJSON. The name stands in errors, which are *ReadError.
func Read(r io.Reader, name string) (*Plan, error) {
	data, err := readAll(r)
	if err != nil {
		return nil, inFile(name, err)
	}
	read, err := decode(data, strings.TrimSuffix(filepath.Base(name), filepath.Ext(name)))
	if err != nil {
		return nil, inFile(name, err)
	}
	return read.Plan, nil
}

// decode reads JSON that is a plan or GeoJSON. The title is for a plan without a name.
func decode(data []byte, title string) (r Reading, err error) {
	if data, err = checkJSON(data); err != nil {
		return r, err
	}
	format, kind, newer, err := whatIsIt(data)
	switch {
	case err != nil:
		return r, err
	case format == planFormat:
		r.Format = PlanFile
		r.Plan, r.Notes, err = decodePlan(data, newer)
		return r, err
	case format == "" && kind != "":
		r.Format = GeoJSON
		r.Plan, r.Notes, err = decodeGeoJSON(data, kind, title)
		return r, err
	case format == "":
		return r, &ReadError{What: "it does not say what it is",
			Mend: `a plan begins with "format": "hedgereach plan"; GeoJSON has "type": "FeatureCollection"`}
	}
	return r, &ReadError{Where: "format", What: fmt.Sprintf("%q is not a plan", cut(format, 40)),
		Mend: "open a plan or a GeoJSON file"}
}

// whatIsIt reads the members by which a plan and GeoJSON are told apart, and whether a plan is of a newer version than this.
func whatIsIt(data []byte) (format, kind string, newer bool, err error) {
	d := &decoder{buf: data}
	err = d.object(func(name string) (err error) {
		switch name {
		case "format":
			format, err = d.text()
		case "version":
			v, _ := strconv.ParseFloat(string(d.raw()), 64) // what is no number is found when it is read
			newer = v > version
		case "type":
			if d.space() == '"' {
				kind, err = d.text()
				break
			}
			d.raw()
		default:
			d.raw()
		}
		return err
	})
	return format, kind, newer, asReadError(err)
}

// asReadError makes a fault of the decoder an error for people.
func asReadError(err error) error {
	var f *fault
	if errors.As(err, &f) {
		return &ReadError{Where: f.path, What: f.what, Mend: f.mend}
	}
	return err
}

// ReadFeatures reads the features of a plan file or of what MarshalFeatures wrote, for pasting. Ids stay as they are.
func ReadFeatures(data []byte) ([]*Feature, error) {
	if len(data) > MaxFileBytes {
		return nil, tooLarge()
	}
	data, err := checkJSON(data)
	if err != nil {
		return nil, err
	}
	format, _, _, err := whatIsIt(data)
	if err != nil {
		return nil, err
	}
	if format != planFormat && format != featuresFormat {
		return nil, &ReadError{What: "these are no features of a plan", Mend: "copy features from a plan first"}
	}
	p, _, err := decodePlan(data, false)
	if err != nil {
		return nil, err
	}
	return p.Features, nil
}
