package habitat

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"hedgereach/data"
)

// What the code looks for in the catalogue is there: every id by which a row is fetched, and every word that is compared with a
// column or sought in it. So an edit of a CSV file that would silently switch off a rule fails here. It reads the code itself: a
// rule that is added later is held, too.
func TestWhatRulesLookForIsInTheCatalogue(t *testing.T) {
	c := catalogue(t)
	columns := columnsOf(c)
	elsewhere := []string{"Method", "Unit", "Cutoff", "Checked"} // words of the code's own, of which no row need have each
	asked := map[string]bool{}
	for _, dir := range []string{".", "../data"} {
		err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
			switch {
			case err != nil || !d.IsDir():
				return err
			case d.Name() == "plan" || d.Name() == "testdata": // a plan has columns of its own
				return fs.SkipDir
			}
			for _, x := range soughtIn(t, path) {
				if x.word == "" || columns[x.column] == nil || slices.Contains(elsewhere, x.column) {
					continue
				}
				asked[x.column+" "+x.word] = true
				if !slices.ContainsFunc(columns[x.column], func(s string) bool { return x.how(s, x.word) }) {
					t.Errorf("%s: no %s in the catalogue is, or holds, %q", x.at, x.column, x.word)
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	for class := range lost {
		if !slices.Contains(columns["Pollination"], class) {
			t.Errorf("no crop needs pollination as %q", class)
		}
	}
	// So that this test sees what it must: one of each way of asking.
	for _, x := range []string{"TrapCrop trap-defaults", "TrapCrop trap-mobility", "Trap pheromone-defaults", "ID hoverflies", "ID predatory-mites", "Order Acari",
		"Family Aphididae", "LifeCycle perennial", "DaysFrom seed", "DaysFrom transplant", "Cautions dust", "Layout perimeter", "Result no gain", "Pollination little",
		"Kind sticky card", "Name under cover", "NumberWords a complete site", "Form shrub"} {
		if !asked[x] {
			t.Errorf("%s is not seen in the code", x)
		}
	}
}

// columnsOf are the words that the catalogue has, by the name of the field; for the look-ups by id, the ids by the name of the look-up.
func columnsOf(c *data.Catalogue) map[string][]string {
	columns := map[string][]string{}
	lists := reflect.ValueOf(c).Elem()
	for i := range lists.NumField() {
		if !lists.Type().Field(i).IsExported() || lists.Field(i).Kind() != reflect.Slice {
			continue
		}
		for k := range lists.Field(i).Len() {
			row := lists.Field(i).Index(k).Elem()
			for n := range row.NumField() {
				name := row.Type().Field(n).Name
				switch f := row.Field(n); {
				case f.Kind() == reflect.String:
					columns[name] = append(columns[name], f.String())
				case f.Kind() == reflect.Slice && f.Type().Elem().Kind() == reflect.String:
					for m := range f.Len() {
						columns[name] = append(columns[name], f.Index(m).String())
					}
				}
			}
			if id := row.FieldByName("ID"); id.IsValid() {
				name := row.Type().Name()
				columns[name] = append(columns[name], id.String())
			}
		}
	}
	return columns
}

// sought is a word that the code looks for.
type sought struct {
	at           string
	column, word string
	how          func(s, word string) bool
}

// soughtIn finds in a folder's code x.Column == "word", a switch on x.Column, strings.Contains(x.Column, "word") and its like,
// slices.Contains(x.Column, "word") and x.Lookup("id"); in place of the word there may be a constant of the folder's.
func soughtIn(t *testing.T, dir string) (list []sought) {
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	set := token.NewFileSet()
	var parsed []*ast.File
	constants := map[string]string{}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(set, name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		parsed = append(parsed, f)
		for _, d := range f.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.CONST {
				continue
			}
			for _, s := range g.Specs {
				v := s.(*ast.ValueSpec)
				for i, n := range v.Names {
					if i < len(v.Values) {
						if w, ok := literal(v.Values[i], nil); ok {
							constants[n.Name] = w
						}
					}
				}
			}
		}
	}
	is := func(s, word string) bool { return s == word }
	ways := map[string]func(s, word string) bool{"strings.Contains": strings.Contains, "strings.HasPrefix": strings.HasPrefix,
		"strings.HasSuffix": strings.HasSuffix, "slices.Contains": is}
	for _, f := range parsed {
		ast.Inspect(f, func(n ast.Node) bool {
			add := func(column, word ast.Expr, how func(s, word string) bool) {
				c, ok := column.(*ast.SelectorExpr)
				w, known := literal(word, constants)
				if ok && known {
					at := set.Position(word.Pos())
					list = append(list, sought{fmt.Sprintf("%s:%d", at.Filename, at.Line), c.Sel.Name, w, how})
				}
			}
			switch x := n.(type) {
			case *ast.BinaryExpr:
				if x.Op == token.EQL || x.Op == token.NEQ {
					add(x.X, x.Y, is)
				}
			case *ast.SwitchStmt:
				if x.Tag == nil {
					break
				}
				for _, s := range x.Body.List {
					for _, e := range s.(*ast.CaseClause).List {
						add(x.Tag, e, is)
					}
				}
			case *ast.CallExpr:
				fun, ok := x.Fun.(*ast.SelectorExpr)
				if !ok {
					break
				}
				if len(x.Args) == 1 {
					add(fun, x.Args[0], is)
				}
				if from, ok := fun.X.(*ast.Ident); ok && len(x.Args) == 2 && ways[from.Name+"."+fun.Sel.Name] != nil {
					add(x.Args[0], x.Args[1], ways[from.Name+"."+fun.Sel.Name])
				}
			}
			return true
		})
	}
	return list
}

// literal is a text in quotes, or the constant of that name.
func literal(e ast.Expr, constants map[string]string) (string, bool) {
	switch x := e.(type) {
	case *ast.BasicLit:
		if x.Kind == token.STRING {
			s, err := strconv.Unquote(x.Value)
			return s, err == nil
		}
	case *ast.Ident:
		s, ok := constants[x.Name]
		return s, ok
	}
	return "", false
}
