package plan

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// The two formats that begin with a "format" member.
const (
	planFormat     = "hedgereach plan"
	featuresFormat = "hedgereach features" // for the clipboard
)

// ReadFile reads a plan file, GeoJSON, or points in GPX or CSV: CSV by its extension, the others by content. What it left out
// or took for granted is not said; ReadFileNotes says it. Errors are *ReadError.
func ReadFile(path string) (*Plan, error) {
	p, _, err := ReadFileNotes(path)
	return p, err
}

// ReadFileNotes is ReadFile, and says in a line each what was left out or taken for granted.
func ReadFileNotes(path string) (*Plan, []string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, nil, &ReadError{File: path, What: osReason(err), Mend: "check its name and folder, and that you may read it"}
	}
	defer f.Close()
	if s, err := f.Stat(); err == nil && s.Size() > MaxFileBytes {
		return nil, nil, inFile(path, tooLarge())
	}
	data, err := readAll(f)
	if err != nil {
		return nil, nil, inFile(path, err)
	}
	title := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	var p *Plan
	var notes []string
	switch ext := strings.ToLower(filepath.Ext(path)); {
	case ext == ".csv":
		p, notes, err = readCSV(data, title)
	case ext == ".gpx" || bytes.HasPrefix(bytes.TrimLeft(bytes.TrimPrefix(data, []byte("\ufeff")), " \t\r\n"), []byte("<")):
		p, notes, err = readGPX(data, title)
	default:
		p, notes, err = decode(data, title)
	}
	if err != nil {
		return nil, nil, inFile(path, err)
	}
	return p, notes, nil
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
	p, _, err := decode(data, strings.TrimSuffix(filepath.Base(name), filepath.Ext(name)))
	if err != nil {
		return nil, inFile(name, err)
	}
	return p, nil
}

// decode reads JSON that is a plan or GeoJSON. The title is for a plan without a name.
func decode(data []byte, title string) (*Plan, []string, error) {
	data, err := checkJSON(data)
	if err != nil {
		return nil, nil, err
	}
	format, kind, err := whatIsIt(data)
	switch {
	case err != nil:
		return nil, nil, err
	case format == planFormat:
		p, err := decodePlan(data)
		return p, nil, err
	case format == "" && kind != "":
		return decodeGeoJSON(data, kind, title)
	case format == "":
		return nil, nil, &ReadError{What: "it does not say what it is",
			Mend: `a plan begins with "format": "hedgereach plan"; GeoJSON has "type": "FeatureCollection"`}
	}
	return nil, nil, &ReadError{Where: "format", What: fmt.Sprintf("%q is not a plan", cut(format, 40)),
		Mend: "open a plan or a GeoJSON file"}
}

// whatIsIt reads the members by which a plan and GeoJSON are told apart.
func whatIsIt(data []byte) (format, kind string, err error) {
	d := &decoder{buf: data}
	err = d.object(func(name string) (err error) {
		switch name {
		case "format":
			format, err = d.text()
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
	return format, kind, asReadError(err)
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
	data, err := checkJSON(data)
	if err != nil {
		return nil, err
	}
	format, _, err := whatIsIt(data)
	if err != nil {
		return nil, err
	}
	if format != planFormat && format != featuresFormat {
		return nil, &ReadError{What: "these are no features of a plan", Mend: "copy features from a plan first"}
	}
	p, err := decodePlan(data)
	if err != nil {
		return nil, err
	}
	return p.Features, nil
}
