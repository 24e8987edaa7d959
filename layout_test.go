package main

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var folderName = regexp.MustCompile("`([a-z/]+)/`")

// The table of DEVELOPERS.md has a place for each package, once, and none for what is gone: a folder is named whole in the first
// cell, or short in the row of the folder that holds it.
func TestTheLayoutNamesEveryPackageOnce(t *testing.T) {
	text, err := os.ReadFile("DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, section, _ := strings.Cut(string(text), "\n## Layout\n")
	section, _, _ = strings.Cut(section, "\n## ")
	named := map[string]int{}
	for line := range strings.Lines(section) {
		cells := strings.Split(line, "|")
		if len(cells) != 5 || strings.HasPrefix(cells[1], " ---") || strings.TrimSpace(cells[1]) == "folder" {
			continue
		}
		holder := ""
		for _, m := range folderName.FindAllStringSubmatch(cells[1], -1) {
			holder = m[1]
			named[holder]++
		}
		for _, m := range folderName.FindAllStringSubmatch(cells[2], -1) {
			named[path.Join(holder, m[1])]++
		}
	}
	packages := 0
	err = filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() || name == "." {
			return err
		}
		if strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata" || d.Name() == "dist" {
			return fs.SkipDir
		}
		if files, _ := filepath.Glob(filepath.Join(name, "*.go")); len(files) == 0 {
			return nil
		}
		packages++
		if p := filepath.ToSlash(name); named[p] != 1 {
			t.Errorf("the table Layout of DEVELOPERS.md names %s/ %d times", p, named[p])
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for name := range named {
		if info, err := os.Stat(name); err != nil || !info.IsDir() {
			t.Errorf("the table Layout of DEVELOPERS.md names %s/, which is not there", name)
		}
	}
	if packages < 40 {
		t.Errorf("only %d packages were found", packages)
	}
}
