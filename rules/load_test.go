package rules

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestLoadBad compares everything that is said about each bad pack with the text beside it.
func TestLoadBad(t *testing.T) {
	v := small(t)
	paths, err := filepath.Glob("testdata/*.bad.yaml")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no bad packs: %v", err)
	}
	for _, path := range paths {
		name := filepath.Base(path)
		t.Run(name, func(t *testing.T) {
			set, err := Load(v, []File{{Name: name, Data: readFile(t, path)}})
			if set != nil || err == nil {
				t.Fatalf("Load(%s) = %v, %v; want no set and an error", name, set, err)
			}
			golden(t, strings.TrimSuffix(name, ".yaml")+".golden", err.Error()+"\n")
		})
	}
}

// TestLoadSyntax is about files that are no packs at all.
func TestLoadSyntax(t *testing.T) {
	v := small(t)
	tests := []struct{ name, data, want string }{
		{"empty", "", `p:1:1: the pack is empty; begin with: pack: <name>`},
		{"only comments", "# nothing\n", `p:1:1: the pack is empty; begin with: pack: <name>`},
		{"a list", "- pack\n", `p:1:1: the pack is a list, not a mapping; write its fields as pack, text, sources, causes, effects, rules, stops, checks, repairs, parts, access`},
		{"a word", "pack\n", `p:1:1: the pack is the text "pack", not a mapping; write its fields as pack, text, sources, causes, effects, rules, stops, checks, repairs, parts, access`},
		{"a tab", "pack: p\n\ttext: t\n", `p:2:1: not YAML: found a tab character that violates indentation; look for a missing space after a colon, a tab, or an unclosed bracket or quote`},
		{"two documents", "pack: p\ntext: t\n---\npack: q\n", `p:3:1: a second YAML document in one pack; put it into a file of its own`},
		{"broken second document", "pack: p\ntext: t\n---\n]\n", `p:3:1: not YAML: did not find expected node content; look for a missing space after a colon, a tab, or an unclosed bracket or quote`},
		{"an alias", "pack: &a p\ntext: *a\n", `p:2:7: YAML alias *a; write the value out`},
		{"Latin-1", "pack: p\ntext: \xe9\n", `p:2:1: not UTF-8 text; save the file as UTF-8`},
		{"too large", strings.Repeat("#", largestPack+1), `p:1:1: the pack is larger than 1048576 bytes; split it`},
		{"only a name", "pack: p\n", `p:1:1: the pack has no "text"; the fields are pack, text, sources, causes, effects, rules, stops, checks, repairs, parts, access`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Load(v, []File{{Name: "p", Data: []byte(tt.data)}})
			if got := fmt.Sprint(err); got != tt.want {
				t.Errorf("Load(%q) = %s; want %s", clip(tt.data), got, tt.want)
			}
		})
	}
}

func clip(s string) string { return s[:min(len(s), 60)] }

// TestLoadTwoPacks is about mistakes that only two packs together make, and about their order.
func TestLoadTwoPacks(t *testing.T) {
	part := "pack: %s\ntext: t\nparts:\n  - {id: gasket, title: Gasket}\n"
	_, err := Load(small(t), []File{
		{Name: "z", Data: fmt.Appendf(nil, part, "one")}, {Name: "a", Data: fmt.Appendf(nil, part, "one")}, {Name: "z2", Data: []byte("pack: two\n")},
	})
	want := `a:1:7: pack "one" was read before, at z:1:1; give the pack a name of its own
a:4:10: gasket: id "gasket" is taken, at z:4:10; every id is used once, in all packs together
z2:1:1: the pack has no "text"; the fields are pack, text, sources, causes, effects, rules, stops, checks, repairs, parts, access`
	if got := fmt.Sprint(err); got != want {
		t.Errorf("Load(two packs) =\n%s\nwant\n%s", got, want)
	}
}

// TestOverlay adds a shop's pack to the packs of the program.
func TestOverlay(t *testing.T) {
	base, err := Default()
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(base.Rules, func(r *Rule) bool { return r.Simple && r.Given == nil })
	if i < 0 {
		t.Fatal("no rule without circumstance")
	}
	cause, rule := base.Causes[0], base.Rules[i]
	pack := "pack: shop\ntext: t\n"
	repair := "repairs:\n  - {id: %s, title: Mend it, about: machine, cures: {%s: usually}, minutes: 5, how: Mend., cites: [{source: common-practice, for: us}]}\n"
	again := "rules:\n  - id: shop-rule\n    title: Again\n    about: %s\n    when: '%s'\n    seen_with: {%s: often}\n    otherwise: seldom\n    why: w\n" +
		"    cites: [{source: common-practice, for: us}]\n"
	tests := []struct{ name, data, want string }{
		{"adds a repair", pack + fmt.Sprintf(repair, "shop-repair", cause.ID), ""},
		{"takes an id", pack + fmt.Sprintf(repair, cause.ID, cause.ID), fmt.Sprintf("id %q is taken, at %s", cause.ID, cause.Pos)},
		{"counts evidence twice", pack + fmt.Sprintf(again, rule.About, rule.When, cause.ID), fmt.Sprintf("is evidence already in %s, at %s", rule.ID, rule.Pos)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, err := Overlay([]File{{Name: "shop.yaml", Data: []byte(tt.data)}})
			if tt.want != "" {
				if list, ok := err.(ErrorList); !ok || len(list) != 1 || !strings.Contains(list[0].Message, tt.want) {
					t.Errorf("Overlay = %v; want one error: %s", err, tt.want)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if len(s.Repairs) != len(base.Repairs)+1 || !slices.Contains(s.Actions(), "shop-repair") {
				t.Errorf("%d repairs, actions %v; want one more than %d, shop-repair among them", len(s.Repairs), s.Actions(), len(base.Repairs))
			}
		})
	}
}

// TestLookup looks every record up under its own kind, and under another.
func TestLookup(t *testing.T) {
	s := flooding(t)
	for _, tt := range []struct {
		kind, id string
		look     func(id string) bool
	}{
		{"cause", "tap-clogged", func(id string) bool { _, ok := s.Cause(id); return ok }},
		{"effect", "bad-idle", func(id string) bool { _, ok := s.Effect(id); return ok }},
		{"rule", "idle-dies", func(id string) bool { _, ok := s.Rule(id); return ok }},
		{"stop", "fuel-in-the-oil", func(id string) bool { _, ok := s.Stop(id); return ok }},
		{"check", "turn-the-screw", func(id string) bool { _, ok := s.Check(id); return ok }},
		{"repair", "clean-the-tap", func(id string) bool { _, ok := s.Repair(id); return ok }},
		{"part", "bowl-gasket", func(id string) bool { _, ok := s.Part(id); return ok }},
		{"source", "leaflet", func(id string) bool { _, ok := s.Source(id); return ok }},
		{"source", Memory, func(id string) bool { _, ok := s.Source(id); return ok }},
	} {
		if !tt.look(tt.id) {
			t.Errorf("%s %q is not found", tt.kind, tt.id)
		}
		if other := "idle-dies-two-stroke"; tt.look("nothing") || tt.kind != "rule" && tt.look(other) {
			t.Errorf("a %s is found that is none", tt.kind)
		}
	}
}

func TestSystems(t *testing.T) {
	if got := strings.Join(Systems(), " "); got != "fuel-supply float idle main air starting-aid ignition mechanical exhaust operator" {
		t.Errorf("Systems() = %q", got)
	}
}

func TestLoadWithoutVocabulary(t *testing.T) {
	if s, err := Load(nil, nil); s != nil || err == nil {
		t.Errorf("Load(nil, nil) = %v, %v; want an error", s, err)
	}
}

func TestErrorListUnwraps(t *testing.T) {
	_, err := Load(small(t), []File{{Name: "p", Data: []byte("pack: p\ntext: t\ncolour: red\n")}})
	var one *Error
	if !errors.As(err, &one) {
		t.Fatalf("errors.As(%v, *Error) = false", err)
	}
	if one.Pos.Line != 3 || one.Pos.Column != 1 || one.Line != "colour: red" {
		t.Errorf("first error at %v with line %q; want p:3:1 and the line itself", one.Pos, one.Line)
	}
}

// FuzzLoad looks for panics, and for errors that are no list with positions.
func FuzzLoad(f *testing.F) {
	v := small(f)
	paths, err := filepath.Glob("testdata/*.yaml")
	if err != nil {
		f.Fatal(err)
	}
	for _, p := range paths {
		f.Add(readFile(f, p))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Load(v, []File{{Name: "p", Data: data}})
		if err == nil {
			s.Lint()
			if _, err := restore(v, fastForm(s)); err != nil {
				t.Errorf("restore(fastForm) = %v", err)
			}
			return
		}
		var list ErrorList
		if !errors.As(err, &list) || len(list) == 0 {
			t.Fatalf("Load = %v; want an ErrorList", err)
		}
		for _, e := range list {
			if e.Pos.File != "p" || e.Pos.Line < 1 || e.Pos.Column < 1 || e.Message == "" {
				t.Errorf("error without position or message: %+v", e)
			}
		}
	})
}
