// Package locale keeps the window toolkit from complaining on standard error about the locale "C.UTF-8" that servers and
// containers have: the toolkit reads "C" as a language that it does not know. Import it for its effect.
//
// It has to act before the toolkit's own initialisation. The Go specification initialises packages in the order of their
// import paths as soon as what they import is ready; this one imports nothing but os, so it is ready long before the
// toolkit, which waits for text/template. A test in package endtoend watches over that.
package locale

import (
	"os"
	"strings"
)

func init() {
	if os.Getenv("LANGUAGE") == "" && nameless(os.Getenv) {
		os.Setenv("LANGUAGE", "en")
	}
}

// nameless tells whether the locale is the C library's own with a character set, which names no language. The plain "C" and
// "POSIX" are known to the toolkit.
func nameless(env func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		if l := env(name); l != "" {
			return strings.HasPrefix(l, "C.") || strings.HasPrefix(l, "POSIX.")
		}
	}
	return false
}
