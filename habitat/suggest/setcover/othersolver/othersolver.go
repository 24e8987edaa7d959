// Package othersolver asks other programs for the least cost of a covering problem, where they are installed: COIN-OR's branch
// and cut (cbc) and the GNU Linear Programming Kit (glpsol). Only tests use it.
package othersolver

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"hedgereach/habitat/suggest/setcover"
)

// Installed lists the programs that are there.
func Installed() (programs []string) {
	for _, name := range []string{"cbc", "glpsol"} {
		if _, err := exec.LookPath(name); err == nil {
			programs = append(programs, name)
		}
	}
	return programs
}

// Least is the least cost as a program finds it within ten seconds; an error is also that it took longer. It works in a folder of the caller's.
func Least(program, dir string, p *setcover.Problem) (int64, error) {
	file, out := filepath.Join(dir, "p.lp"), filepath.Join(dir, "out")
	if err := os.WriteFile(file, []byte(write(p)), 0o600); err != nil {
		return 0, err
	}
	var said []byte
	var err error
	var want *regexp.Regexp
	if program == "glpsol" {
		said, err = exec.Command("glpsol", "--lp", file, "--cuts", "--tmlim", "10", "-o", out).CombinedOutput()
		want = regexp.MustCompile(`Status:\s+INTEGER OPTIMAL\s+Objective:\s+cost = ([0-9.e+]+)`)
		if err == nil {
			said, err = os.ReadFile(out)
		}
	} else {
		said, err = exec.Command("cbc", file, "sec", "10", "ratio", "0", "allow", "0", "solve", "quit").CombinedOutput()
		want = regexp.MustCompile(`(?s)Result - Optimal solution found.*?Objective value:\s+([0-9.e+]+)`)
	}
	m := want.FindSubmatch(said)
	if err != nil || m == nil {
		return 0, fmt.Errorf("%s: no optimum in time, or %v: %.200s", program, err, said)
	}
	v, err := strconv.ParseFloat(string(m[1]), 64)
	return int64(math.Round(v)), err
}

// write states a problem in the format that both read.
func write(p *setcover.Problem) string {
	var b strings.Builder
	sum := func(list []int, weight func(k int) int64) {
		for k, j := range list {
			if w := weight(k); w != 0 {
				fmt.Fprintf(&b, " + %d x%d", w, j)
			}
			if k%10 == 9 {
				b.WriteString("\n")
			}
		}
	}
	b.WriteString("Minimize\n cost:")
	for j, c := range p.Costs {
		fmt.Fprintf(&b, " + %d x%d", c, j)
		if j%10 == 9 {
			b.WriteString("\n")
		}
	}
	b.WriteString("\nSubject To\n")
	for i, r := range p.Rows {
		fmt.Fprintf(&b, " r%d:", i)
		sum(r.Columns, func(int) int64 { return 1 })
		fmt.Fprintf(&b, " >= %d\n", r.Need)
	}
	for i, l := range p.Limits {
		fmt.Fprintf(&b, " l%d:", i)
		sum(l.Columns, func(k int) int64 {
			if l.Weights == nil {
				return 1
			}
			return l.Weights[k]
		})
		fmt.Fprintf(&b, " <= %d\n", l.Most)
	}
	b.WriteString("Binary\n")
	for j := range p.Costs {
		fmt.Fprintf(&b, " x%d\n", j)
	}
	b.WriteString("End\n")
	return b.String()
}
