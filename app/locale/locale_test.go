package locale

import "testing"

func TestNameless(t *testing.T) {
	for _, c := range []struct {
		env  map[string]string
		want bool
	}{
		{nil, false},
		{map[string]string{"LANG": "C"}, false},
		{map[string]string{"LANG": "C.UTF-8"}, true},
		{map[string]string{"LANG": "C.UTF-8", "LC_ALL": "en_GB.UTF-8"}, false},
		{map[string]string{"LANG": "de_DE.UTF-8", "LC_MESSAGES": "POSIX.UTF-8"}, true},
	} {
		if got := nameless(func(k string) string { return c.env[k] }); got != c.want {
			t.Errorf("%v: %v, want %v", c.env, got, c.want)
		}
	}
}
