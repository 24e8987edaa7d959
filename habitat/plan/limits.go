package plan

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Limits of what is read and written. They are far above any garden and low enough that a damaged or hostile file is refused
// in a moment instead of filling the memory.
//
//	file size             64 MB
//	JSON depth            64 levels
//	features              50 000
//	points in one ring    100 000
//	points in the plan    2 000 000
//	coordinates           ±1 000 000 m from the plan's origin
//	name                  200 characters
//	note                  10 000 characters
//	crops of a bed        100
//	plants of a habitat   100
//	covers, treatments    100 of each on a bed
//	other years of a bed  50
//	findings accepted     10 000
//	days of weather       15 000
//	members of an object  1 000
//	own entries           2 000, of texts up to 1 000 characters
//	picture to trace      4 MB, 4 096 points wide or high
//	GeoJSON, GPX, CSV     features within 50 km of one another
const (
	MaxFileBytes = 64 << 20
	MaxDepth     = 64
	MaxFeatures  = 50_000
	MaxRing      = 100_000
	MaxPoints    = 2_000_000
	MaxMetres    = 1e6
	MaxName      = 200
	MaxNote      = 10_000
	MaxList      = 100
	MaxYears     = 50
	MaxAccepted  = 10_000
	MaxMembers   = 1_000
	MaxSpreadM   = 50_000
	MaxOwn       = 2000
	MaxOwnText   = 1000

	MaxWeatherDays  = 15_000
	MaxPictureBytes = 4 << 20
	MaxPictureSide  = 4096
)

// A ReadError says why a file or a plan was refused, in one line: which file, where in it, what is wrong, how to mend it.
type ReadError struct {
	File  string // as given; "" where there is none
	Where string // `features[3] "Bed 4"`, "line 12, column 7"; "" for the file as a whole
	What  string
	Mend  string
}

func (e *ReadError) Error() string {
	s := e.What
	if e.Mend != "" {
		s += "; " + e.Mend
	}
	if e.Where != "" {
		s = e.Where + ": " + s
	}
	if e.File != "" {
		s = e.File + ": " + s
	}
	return s
}

// readAll reads a file within the size limit.
func readAll(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxFileBytes+1))
	if err != nil {
		return nil, &ReadError{What: "it cannot be read: " + err.Error(), Mend: "check that it is a file and that you may read it"}
	}
	if len(data) > MaxFileBytes {
		return nil, tooLarge()
	}
	return data, nil
}

func tooLarge() error {
	return &ReadError{What: fmt.Sprintf("it is larger than %d MB", MaxFileBytes>>20),
		Mend: "a plan is far smaller; split the site or thin out its points"}
}

// checkJSON finds whether data is JSON that may be decoded: UTF-8, within the depth limit, whole and well formed. It answers
// the data without a byte order mark. Nothing is decoded before, so a hostile file costs one pass over its bytes.
func checkJSON(data []byte) ([]byte, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, &ReadError{What: "it is empty", Mend: "open another copy"}
	}
	if first := bytes.TrimLeft(data, " \t\r\n")[0]; first != '{' && first != '[' {
		return nil, &ReadError{What: "this is neither a plan nor GeoJSON", Mend: "open a file that Hedgereach or a mapping program saved"}
	}
	if !utf8.Valid(data) {
		i := 0
		for i < len(data) {
			r, n := utf8.DecodeRune(data[i:])
			if r == utf8.RuneError && n == 1 {
				break
			}
			i += n
		}
		return nil, &ReadError{Where: lineColumn(data, i), What: "this is not UTF-8 text", Mend: "save the file as UTF-8"}
	}
	if i := tooDeep(data); i >= 0 {
		return nil, &ReadError{Where: lineColumn(data, i), What: fmt.Sprintf("lists and objects nest deeper than %d", MaxDepth),
			Mend: "this is not a plan; open another copy"}
	}
	var raw json.RawMessage
	var syntax *json.SyntaxError
	err := json.Unmarshal(data, &raw)
	switch {
	case err == nil:
		return data, nil
	case errors.As(err, &syntax) && int(syntax.Offset) >= len(data):
		return nil, &ReadError{Where: lineColumn(data, len(data)), What: "the file breaks off here",
			Mend: "get a whole copy of it"}
	case errors.As(err, &syntax):
		at := max(0, int(syntax.Offset)-1)
		if w := notJSON(data[at:]); w != "" {
			return nil, &ReadError{Where: lineColumn(data, at), What: w + " is not a number that JSON knows",
				Mend: "write a plain number like 12.5"}
		}
		return nil, &ReadError{Where: lineColumn(data, at), What: "this is not JSON (" + cut(err.Error(), 80) + ")",
			Mend: "correct that character or open another copy"}
	}
	return nil, &ReadError{What: err.Error(), Mend: "open another copy"}
}

// notJSON names a word that other programs write for a number that is none. The rest begins where JSON ends: at the word, or
// at its second letter where "null" might have begun.
func notJSON(rest []byte) string {
	rest = bytes.ToLower(rest[:min(len(rest), 3)])
	switch {
	case bytes.HasPrefix(rest, []byte("nan")), bytes.HasPrefix(rest, []byte("an")):
		return "NaN"
	case bytes.HasPrefix(rest, []byte("inf")):
		return "Infinity"
	}
	return ""
}

// tooDeep is where the nesting passes MaxDepth, or -1.
func tooDeep(data []byte) int {
	depth, inString := 0, false
	for i := 0; i < len(data); i++ {
		switch c := data[i]; {
		case inString && c == '\\':
			i++
		case c == '"':
			inString = !inString
		case inString:
		case c == '{' || c == '[':
			if depth++; depth > MaxDepth {
				return i
			}
		case c == '}' || c == ']':
			depth--
		}
	}
	return -1
}

// lineColumn names a place in a text file, counted from 1, columns in characters.
func lineColumn(data []byte, at int) string { return (&cursor{data: data}).name(at) }

// A cursor names places in a text file one after another, so that naming a million of them is one pass over the file.
type cursor struct {
	data             []byte
	at, line, column int // from 0
}

// name names a place that does not lie before the last one.
func (c *cursor) name(at int) string {
	passed := c.data[c.at:max(c.at, min(at, len(c.data)))]
	c.at += len(passed)
	if n := bytes.Count(passed, []byte{'\n'}); n > 0 {
		c.line += n
		c.column, passed = 0, passed[bytes.LastIndexByte(passed, '\n')+1:]
	}
	c.column += utf8.RuneCount(passed)
	return fmt.Sprintf("line %d, column %d", c.line+1, c.column+1)
}

// cut shortens a text to n characters for a message, and keeps that on one line.
func cut(s string, n int) string {
	s = strings.Map(func(r rune) rune {
		if unseen(r) {
			return ' '
		}
		return r
	}, s)
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}
