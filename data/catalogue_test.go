package data

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write CATALOGUE.md anew")

// The page that says how much of the catalogue was checked is written from the catalogue, so that it cannot claim more.
func TestPage(t *testing.T) {
	want := page(mustLoad(t))
	if *update {
		if err := os.WriteFile("CATALOGUE.md", []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile("CATALOGUE.md")
	if err != nil || string(got) != want {
		t.Errorf("CATALOGUE.md is out of date (%v): run go generate ./data", err)
	}
}

func page(c *Catalogue) string {
	var b strings.Builder
	b.WriteString(`# What the catalogue holds, and how far it was checked

Written from the CSV files by ` + "`go generate ./data`" + `; do not edit.

`)
	fmt.Fprintf(&b, "%d guilds, %d studies of distance, %d plants, %d crops, %d pests with %d events by degree-days and %d times by the calendar,\n"+
		"%d companions, %d trap crops, %d traps, %d materials, %d sources.\n\n", len(c.Guilds), len(c.Studies), len(c.Plants), len(c.Crops),
		len(c.Pests), len(c.Events), len(c.Times), len(c.Companions), len(c.TrapCrops), len(c.Traps), len(c.Materials), len(c.Sources))
	b.WriteString(`## How far our copy was held against its source

"Read at the source": the passage, often the abstract, was read at the address given with the fact. "Read at second hand": on a page
that reports the source. "From memory" is a usual value that nobody has looked up; the word says how sure the memory is. Such rows
wait for somebody to check them.

`)
	tally(&b, c, func(o Origin) string {
		switch {
		case o.Checked == "":
			return "no value"
		case o.Recall != "":
			return string(o.Checked) + " (" + o.Recall + ")"
		}
		return string(o.Checked)
	}, []string{"read at the source", "read at second hand", "from memory (high)", "from memory (medium)", "from memory (low)", "our judgement", "no value"})
	b.WriteString(`
## How sure the trade is

Ranges of guilds are graded by the studies behind them. A plant's guilds are "good" where counts on its flowers were read,
"medium" where a study or an agency's list names the plant, "low" where only general works do. Such counts show which insects came
to the flowers, not that pests fell. Bloom, height and spacing are "good" where a fact sheet or bloom table was read. Thresholds
and degree-days are "good" where an extension page was read; they hold for commercial fields of one region. An event is at best
"medium" where the day from which to count is our reading; so is a time by the calendar, which is one place's and often one
year's. Companions are "good" where several trials or a review stand behind them, "medium" with one good trial, "contested" where
trials differ; whether a pairing helped is another question, which its verdict answers. "None": nothing was found, or there is
nothing to say.

`)
	tally(&b, c, func(o Origin) string {
		if o.Evidence == "" {
			return "not graded"
		}
		return string(o.Evidence)
	}, append(slices.Clone(grades), "not graded"))
	b.WriteString(`
## Need for pollination by animals

Klein et al. 2007 placed the leading crops of the world in classes by how much of the harvest is lost without animals; the totals were
read at the paper. Ours are vegetables and small fruit, placed from memory.

| class | the paper | ours |
| --- | --- | --- |
`)
	count := c.CropsByClass()
	for _, k := range Klein2007 {
		fmt.Fprintf(&b, "| %s | %d | %d |\n", k.Class, k.Crops, count[k.Class])
	}
	fmt.Fprintf(&b, "| not for harvest | | %d |\n", count["not for harvest"])
	return b.String()
}

var plural = map[string]string{"guild": "guilds", "study": "studies", "plant": "plants", "never": "never offered", "crop": "crops",
	"pest": "pests", "event": "pest events", "time": "pest times", "companion": "companions", "trap-crop": "trap crops", "trap": "traps", "material": "materials"}

// tally counts the statements of origin of each list and kind by a class.
func tally(b *strings.Builder, c *Catalogue, class func(Origin) string, classes []string) {
	var rows []string
	count := map[string]map[string]int{}
	c.Origins(func(list, _, what string, o Origin) {
		r := plural[list] + ": " + what
		if count[r] == nil {
			count[r] = map[string]int{}
			rows = append(rows, r)
		}
		if !slices.Contains(classes, class(o)) {
			panic("no column for " + class(o))
		}
		count[r][class(o)]++
	})
	fmt.Fprintf(b, "| | %s |\n|%s\n", strings.Join(classes, " | "), strings.Repeat(" --- |", len(classes)+1))
	for _, r := range rows {
		fmt.Fprintf(b, "| %s |", r)
		for _, k := range classes {
			if n := count[r][k]; n > 0 {
				fmt.Fprintf(b, " %d |", n)
			} else {
				b.WriteString("  |")
			}
		}
		b.WriteString("\n")
	}
}
