package symptoms

import (
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// afterWords say how the bike was after something was tried.
var afterWords = []string{"no-change", "better", "worse", "cured-for-a-while"}

// tried reads what was done already: a list of maps, or one map.
func (d *decoder) tried(n *yaml.Node) {
	for _, c := range items(n) {
		if c.Kind != yaml.MappingNode {
			d.wrong(c, "write - {did: …, at: left, after: no-change}", "an entry of tried is a map, not %s", form(c))
			continue
		}
		d.oneTried(c)
	}
}

func (d *decoder) oneTried(n *yaml.Node) {
	t := Tried{Pos: d.position(n)}
	before := len(d.faults) + d.more
	for _, p := range pairs(n) {
		switch p.key.Value {
		case "did":
			t.Did = d.action(p.value)
		case "at":
			if !isNull(p.value) {
				t.At, _ = d.anyPlace(p.value)
			}
		case "after":
			t.After = d.after(p.value)
		default:
			hint := d.suggest(p.key.Value, []string{"did", "at", "after"})
			if hint == "" {
				hint = "known are did, at and after; anything else belongs in notes"
			}
			d.wrong(p.key, hint, "unknown field %q", short(p.key.Value))
		}
	}
	if len(d.faults)+d.more > before {
		return
	}
	if t.Did == "" || t.After == "" {
		d.wrong(n, "write {did: …, after: "+listed(afterWords, "or")+"}", "an entry of tried needs did and after")
		return
	}
	d.sheet.Tried = append(d.sheet.Tried, t)
}

func (d *decoder) action(n *yaml.Node) string {
	id := strings.TrimSpace(n.Value)
	switch {
	case n.Kind != yaml.ScalarNode || isNull(n) || id == "":
		d.wrong(n, "write the id of a repair or check", "did is a repair or check, not %s", form(n))
	case d.options.Actions != nil && !slices.Contains(d.options.Actions, id):
		hint := d.suggest(id, d.options.Actions)
		if hint == "" {
			hint = "the command `diagnose repairs` lists all ids; what is not among them belongs in notes"
		}
		d.wrong(n, hint, "unknown repair or check %q", short(id))
	}
	return id
}

func (d *decoder) after(n *yaml.Node) string {
	word := plainSpelling(n.Value)
	for _, w := range afterWords {
		if n.Kind == yaml.ScalarNode && plainSpelling(w) == word {
			return w
		}
	}
	hint := "write " + listed(afterWords, "or")
	if near := d.suggest(n.Value, afterWords); near != "" {
		hint = near + " " + hint
	}
	d.wrong(n, hint, "unknown outcome %s", form(n))
	return ""
}
