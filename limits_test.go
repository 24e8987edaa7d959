package main

import (
	"go/ast"
	"go/constant"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

var limitRow = regexp.MustCompile("(?m)^\\| .* \\| ([0-9][0-9 ]*)( MB)? \\| `([^`]+)\\.([A-Za-z]+)` \\|$")

// The table of limits and the constants agree, and no limit of the plan is left out.
func TestTheTableOfLimitsIsTrue(t *testing.T) {
	text, err := os.ReadFile("DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, section, _ := strings.Cut(string(text), "\n## Limits\n")
	section, _, _ = strings.Cut(section, "\n## ")
	listed := map[string]bool{}
	for _, m := range limitRow.FindAllStringSubmatch(section, -1) {
		want, err := strconv.ParseInt(strings.ReplaceAll(m[1], " ", ""), 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		if m[2] != "" {
			want <<= 20
		}
		values := constants(t, m[3])
		v, there := values[m[4]]
		if !there {
			t.Errorf("there is no %s in %s", m[4], m[3])
			continue
		}
		if got, exact := constant.Int64Val(constant.ToInt(v)); !exact || got != want {
			t.Errorf("%s.%s is %s, listed as %d", m[3], m[4], v, want)
		}
		listed[m[3]+"."+m[4]] = true
	}
	const head = 2 // lines over the rows
	if rows := strings.Count(section, "\n|") - head; rows != len(listed) || rows < 10 {
		t.Errorf("%d rows, of which %d name a constant of their own", rows, len(listed))
	}
	for name := range constants(t, "habitat/plan") {
		if strings.HasPrefix(name, "Max") && !listed["habitat/plan."+name] {
			t.Errorf("habitat/plan.%s is not listed", name)
		}
	}
}

// constants are the constants of a package that can be worked out by themselves.
func constants(t *testing.T, dir string) map[string]constant.Value {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(filepath.FromSlash(dir), "*.go"))
	if err != nil || len(names) == 0 {
		t.Fatalf("no package in %s: %v", dir, err)
	}
	out := map[string]constant.Value{}
	for _, name := range names {
		source, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		files := token.NewFileSet()
		f, err := parser.ParseFile(files, name, source, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range f.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.CONST {
				continue
			}
			for _, s := range g.Specs {
				v := s.(*ast.ValueSpec)
				for i, e := range v.Values {
					words := string(source[files.Position(e.Pos()).Offset:files.Position(e.End()).Offset])
					if tv, err := types.Eval(files, nil, token.NoPos, words); err == nil && tv.Value != nil {
						out[v.Names[i].Name] = tv.Value
					}
				}
			}
		}
	}
	return out
}
