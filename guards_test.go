package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// reaching are packages by which a program talks to others, runs or loads them, and who may use each. Nothing may use the network: a
// plan never leaves the grower's computer. What the window toolkit could do of the kind, it does only when it is asked to.
var reaching = []struct {
	imported string
	may      []string
}{
	{"net/url", []string{"app/window"}}, // the address of a file that was just written
	{"net", nil},                        // and all else within it
	{"plugin", nil},
	{"os/exec", []string{"app/printer", "app/endtoend", "screenshots", "habitat/suggest/setcover/othersolver"}}, // but for the first, for tests
	{"fyne.io/fyne/v2/storage", nil}, // fetches what an address names, also over the network
	{"fyne.io/fyne/v2/data/binding", nil},
}

// calls are the toolkit's functions that fetch or start something, and who may call them.
var calls = map[string][]string{
	"LoadResourceFromURLString": nil, "NewImageFromURI": nil, "NewURI": nil, "ParseURI": nil, "NewHyperlink": nil,
	"OpenURL": {"app/window"}, // shows a file that was just written, if the grower says so
}

// guarded are the goroutines that are started, by the file that starts them: a panic in any other could not be caught.
var guarded = map[string]string{
	"app/board/worker.go":           "safely catches what a job does",
	"app/board/edit.go":             windows,
	"app/board/input.go":            windows,
	"app/panes/panes.go":            windows,
	"app/session/season.go":         "seasonOf and prepareSeason catch",
	"app/strip/play.go":             windows,
	"app/preview/preview.go":        "guards what it lays out",
	"app/preview/page.go":           "guards what it paints",
	"app/recovery/fault.go":         "Go guards",
	"app/recovery/recovery.go":      "do catches what writing does; to flush is to wait",
	"geometry/parallel/parallel.go": "Each brings the panic to its caller",
	"app/endtoend/driver.go":        "of tests",
}

// windows is a goroutine that only waits and then hands over to the window's, where main catches.
const windows = "hands over to the window's goroutine"

// program calls f on each file of the program's own, but for tests.
func program(t *testing.T, f func(name string, file *ast.File, at func(ast.Node) string)) {
	t.Helper()
	files := 0
	err := filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && name != "." && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata") {
			return fs.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		set := token.NewFileSet()
		parsed, err := parser.ParseFile(set, name, nil, 0)
		if err != nil {
			return err
		}
		files++
		f(filepath.ToSlash(name), parsed, func(n ast.Node) string { return set.Position(n.Pos()).String() })
		return nil
	})
	if err != nil || files < 100 {
		t.Errorf("%d files, %v", files, err)
	}
}

func TestNothingReachesOutside(t *testing.T) {
	program(t, func(name string, file *ast.File, at func(ast.Node) string) {
		pkg := path.Dir(name)
		for _, i := range file.Imports {
			imported := strings.Trim(i.Path.Value, `"`)
			for _, r := range reaching {
				if within(imported, r.imported) {
					if !within(pkg, r.may...) {
						t.Errorf("%s: imports %s", at(i), imported)
					}
					break
				}
			}
		}
		ast.Inspect(file, func(n ast.Node) bool {
			s, ok := n.(*ast.SelectorExpr)
			if ok {
				if may, named := calls[s.Sel.Name]; named && !within(pkg, may...) {
					t.Errorf("%s: uses %s", at(n), s.Sel.Name)
				}
			}
			return true
		})
	})
}

// A panic in a goroutine that catches nothing ends the program with the grower's last second of work.
func TestEveryGoroutineIsGuarded(t *testing.T) {
	started := map[string]bool{}
	program(t, func(name string, file *ast.File, at func(ast.Node) string) {
		ast.Inspect(file, func(n ast.Node) bool {
			starts := false
			switch n := n.(type) {
			case *ast.GoStmt:
				starts = true
			case *ast.CallExpr:
				if s, ok := n.Fun.(*ast.SelectorExpr); ok {
					from, _ := s.X.(*ast.Ident)
					starts = slices.Contains([]string{"Go", "AfterFunc"}, s.Sel.Name) && (from == nil || from.Name != "recovery") // its Go guards
				}
			}
			if starts {
				started[name] = true
				if guarded[name] == "" {
					t.Errorf("%s: starts a goroutine: catch its panics, and name the file here", at(n))
				}
			}
			return true
		})
	})
	for name := range guarded {
		if !started[name] {
			t.Errorf("%s starts no goroutine any more", name)
		}
	}
}
