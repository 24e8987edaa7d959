package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"strings"
	"testing"
)

const module = "hedgereach/"

// inner says which of the program's own packages a part may import besides those within it: imports run one way, from the
// window to the geometry. The first entry that holds a package counts. Tests are held to it, too.
var inner = []struct {
	part string
	may  []string
}{
	{"geometry", nil},
	{"data", []string{"geometry/repeatable"}}, // its tests'
	{"habitat/plan", []string{"data/season", "geometry"}},
	{"habitat", []string{"data", "geometry"}},
	{"app/drawing", []string{"geometry/parallel"}},
	{"app/style", []string{"app/drawing", "habitat"}},
	{"app/ground", []string{"app/drawing", "app/style", "data", "geometry", "habitat"}},
	{"app/calendar", []string{"app/drawing", "app/style", "data", "habitat"}},
	{"app/sheet", []string{"app/drawing", "app/style", "app/ground", "app/calendar", "data", "geometry", "habitat"}},
	{"app/document", []string{"habitat"}},
	{"app/session", []string{"app/document", "app/recovery", "data", "geometry", "habitat"}},
	{"app/arrange", []string{"app/document", "data", "geometry", "habitat"}}, // the history: its tests'
	{"app/survey", []string{"app/arrange", "geometry", "habitat"}},
	{"app/board/tool", []string{"app/arrange", "app/survey", "data", "geometry", "habitat"}},
	{"app/command", []string{"app/own", "app/sheet", "data", "geometry", "habitat"}},
	{"app/endtoend", []string{"app/style", "habitat"}},
	{"app", []string{"data", "geometry", "habitat"}}, // the parts of the window may use one another
	{"screenshots", []string{"app/endtoend"}},
	{".", []string{"app"}},
}

// outer says which parts may import what others wrote; what is not named here all may.
var outer = []struct {
	imported string
	may      []string
}{
	{"fyne.io/fyne/v2/app", []string{"."}}, // needs a screen, OpenGL and a C compiler to build
	{"fyne.io/", []string{".", "app"}},
	{"github.com/peterstace/simplefeatures", []string{"geometry"}},
	{"codeberg.org/go-pdf/fpdf", []string{"app/drawing/pdf", "app/sheet", "app/drawing"}},
}

func within(pkg string, parts ...string) bool {
	for _, p := range parts {
		if pkg == p || strings.HasPrefix(pkg, p+"/") {
			return true
		}
	}
	return false
}

func TestImportsRunOneWay(t *testing.T) {
	files := 0
	err := filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && name != "." && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata") {
			return fs.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(name, ".go") {
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			t.Error(err)
			return nil
		}
		files++
		pkg := path.Dir(filepath.ToSlash(name))
		for _, i := range f.Imports {
			imported := strings.Trim(i.Path.Value, `"`)
			for _, o := range outer {
				if imported == o.imported || strings.HasPrefix(imported, strings.TrimSuffix(o.imported, "/")+"/") {
					if !within(pkg, o.may...) {
						t.Errorf("%s imports %s", name, imported)
					}
					break
				}
			}
			own, ours := strings.CutPrefix(imported, module)
			if !ours {
				continue
			}
			for _, in := range inner {
				if !within(pkg, in.part) {
					continue
				}
				if !within(own, append(in.may, in.part)...) {
					t.Errorf("%s imports %s, which lies above it", name, imported)
				}
				break
			}
		}
		return nil
	})
	if err != nil || files < 100 {
		t.Errorf("%d files, %v", files, err)
	}
}
