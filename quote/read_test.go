package quote

import (
	"slices"
	"strings"
	"testing"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

func TestReadPrices(t *testing.T) {
	k := workshop(t)
	p := prices(t, k, `prices: 1
shop:
  name: Workshop
  address: ["Hill 3", "Town"]
  terms: ["Payment on collection."]
  exclusions: ["Fuel."]
currency: EUR
locale: de-DE
labour: {rate: 62.00, step: 6}
diagnosis: 30
minimum: 45.00
consumables: 4.5 %
tax: {name: VAT, percent: 20, included: yes}
valid: 14
access: {bowl-off: 20}
parts_file: parts.csv
parts: {kit: 18.50}
`)
	if p.Shop.Name != "Workshop" || !slices.Equal(p.Shop.Address, []string{"Hill 3", "Town"}) || len(p.Shop.Terms) != 1 || len(p.Shop.Exclusions) != 1 {
		t.Errorf("shop = %+v", p.Shop)
	}
	if !same(p.Rate, eur(t, "62")) || p.StepMinutes != 6 || p.DiagnosisMinutes != 30 || !same(p.Minimum, eur(t, "45")) || p.ConsumablesPercent != "4.5" ||
		p.Tax != (Tax{"VAT", "20", InPrices}) || p.ValidDays != 14 || p.Access["bowl-off"] != 20 || p.PartsFile != "parts.csv" || p.Kind != OfShop {
		t.Errorf("ReadPrices = %+v", p)
	}
	if a, ok := p.Price("kit"); !ok || strings.ReplaceAll(p.Format(a), "\u00a0", " ") != "18,50 €" {
		t.Errorf("Price(kit) = %v, %v; want 18,50 €", a, ok)
	}
	if got, want := p.Rounding(), "Every line is rounded half up to 0,01 €; totals are sums of lines, and tax is reckoned once on each total."; strings.ReplaceAll(got, "\u00a0", " ") != want {
		t.Errorf("Rounding() = %q; want %q", got, want)
	}
}

// badPrices are price files with mistakes, and all that is said of them.
var badPrices = []struct{ name, file, want string }{
	{"empty", "", "p.yaml:1:1: not a price file\n  begin with \"prices: 1\""},
	{"no YAML", "prices: [", "p.yaml:1:1: not YAML: did not find expected node content\n    prices: [\n    ^"},
	{"nothing but the version", "prices: 1", "p.yaml:1:1: currency is missing\n    prices: 1\n    ^\n  add for example currency: EUR\n" +
		"p.yaml:1:1: labour is missing\n    prices: 1\n    ^\n  add for example labour: {rate: 60.00}"},
	{"another version", "prices: 2\ncurrency: EUR\nlabour: {rate: 1}", "p.yaml:1:9: this program reads price files of version 1\n    prices: 2\n            ^\n  write prices: 1"},
	{"unknown currency", "prices: 1\ncurrency: EUX\nlabour: {rate: 1}", "p.yaml:2:11: \"EUX\" is no currency code\n    currency: EUX\n              ^^^\n  did you mean EUR?"},
	{"currency in small letters", "prices: 1\ncurrency: gbp\nlabour: {rate: 1}", "p.yaml:2:11: \"gbp\" is no currency code\n    currency: gbp\n              ^^^\n  write GBP"},
	{"comma", "prices: 1\ncurrency: EUR\nlabour: {rate: \"62,50\"}", "p.yaml:3:16: \"62,50\" is no amount\n    labour: {rate: \"62,50\"}\n                   ^\n  write 62.50"},
	{"negative", "prices: 1\ncurrency: EUR\nlabour: {rate: -5}", "p.yaml:3:16: \"-5\" is no amount\n    labour: {rate: -5}\n                   ^^\n  write for example 12.50"},
	{"too many digits", "prices: 1\ncurrency: JPY\nlabour: {rate: 5.5}", "p.yaml:3:16: 5.5 has more digits behind the point than JPY\n    labour: {rate: 5.5}\n                   ^^^\n  write 0 at most"},
	{"misspelt key", "prices: 1\ncurrency: EUR\nlabor: {rate: 1}\nlabour: {rate: 1}", "p.yaml:3:1: there is no \"labor\" here\n    labor: {rate: 1}\n    ^^^^^\n  did you mean labour?"},
	{"misspelt part", "prices: 1\ncurrency: EUR\nlabour: {rate: 1}\nparts: {bowl-gaskit: 1}", "p.yaml:4:9: there is no \"bowl-gaskit\" here\n    parts: {bowl-gaskit: 1}\n            ^^^^^^^^^^^\n  did you mean bowl-gasket?"},
	{"twice", "prices: 1\ncurrency: EUR\nlabour: {rate: 1}\nvalid: 3\nvalid: 4", "p.yaml:5:1: \"valid\" stands here twice\n    valid: 4\n    ^^^^^\n  leave one of them out"},
	{"more than all", "prices: 1\ncurrency: EUR\nlabour: {rate: 1}\ntax: {percent: 120}", "p.yaml:4:16: 120 is more than everything\n    tax: {percent: 120}\n                   ^^^\n  write 0 to 100"},
	{"maybe", "prices: 1\ncurrency: EUR\nlabour: {rate: 1}\ntax: {percent: 20, included: maybe}", "p.yaml:4:30: \"maybe\" is neither yes nor no\n    tax: {percent: 20, included: maybe}\n                                 ^^^^^\n  write yes or no"},
	{"no rate", "prices: 1\ncurrency: EUR\nlabour: {step: 6}", "p.yaml:3:9: the rate of an hour is missing\n    labour: {step: 6}\n            ^\n  add for example rate: 60.00"},
	{"locale", "prices: 1\ncurrency: EUR\nlocale: german\nlabour: {rate: 1}", "p.yaml:3:9: \"german\" is no locale\n    locale: german\n            ^^^^^^\n  write for example en-GB or de-DE"},
	{"days", "prices: 1\ncurrency: EUR\nvalid: 0\nlabour: {rate: 1}", "p.yaml:3:8: \"0\" is no whole number from 1 to 3650\n    valid: 0\n           ^\n  write 1 to 3650"},
	{"alias", "prices: 1\ncurrency: &c EUR\nlabour: {rate: 1}\nlocale: *c", "p.yaml:4:9: aliases are not allowed\n    locale: *c\n            ^\n  write it out"},
}

func TestReadPricesMistakes(t *testing.T) {
	k := workshop(t)
	for _, tt := range badPrices {
		t.Run(tt.name, func(t *testing.T) {
			p, err := ReadPrices("p.yaml", []byte(tt.file), k)
			if err == nil {
				t.Fatalf("ReadPrices(%q) = %+v; want an error", tt.file, p)
			}
			if got := err.Error(); got != tt.want {
				t.Errorf("ReadPrices(%q):\n%s\nwant:\n%s", tt.file, got, tt.want)
			}
		})
	}
}

// tables are CSV files of prices: what they say, or what is said of them.
var tables = []struct{ name, file, sealant, want string }{
	{"commas", "part,price\nsealant,3.50\n", "3.50", ""},
	{"semicolons, other columns, comment", "# our prices\nprice;supplier;part\n3.50;Ferrum & Co;sealant\n", "3.50", ""},
	{"mark at the beginning, quotes, line ends of another system", "\ufeffpart,price\r\n\"sealant\", 3.50\r\n", "3.50", ""},
	{"no head", "sealant,3.50\n", "", "c.csv:1:1: the columns part and price are needed\n    sealant,3.50\n    ^\n  begin with the line part,price"},
	{"empty", "", "", "c.csv:1:1: no line with the names of the columns\n  begin with the line part,price"},
	{"misspelt", "part,price\nseelant,3.50\n", "", "c.csv:2:1: there is no part \"seelant\"\n    seelant,3.50\n    ^^^^^^^\n  did you mean sealant?"},
	{"no amount", "part,price\nsealant,cheap\n", "", "c.csv:2:9: \"cheap\" is no amount\n    sealant,cheap\n            ^^^^^\n  write for example 12.50"},
	{"a price already", "part,price\nkit,3.50\n", "", "c.csv:2:1: \"kit\" has a price already\n    kit,3.50\n    ^^^\n  leave one of them out"},
	{"too few columns", "part,price\nsealant\n", "", "c.csv:2:1: too few columns\n    sealant\n    ^\n  write part and price, as in the first line"},
	{"no CSV", "part,price\n\"sealant,3.50\n", "", "c.csv:2:15: not CSV: extraneous or missing \" in quoted-field\n    \"sealant,3.50\n                 ^"},
}

func TestAddParts(t *testing.T) {
	k := workshop(t)
	for _, tt := range tables {
		t.Run(tt.name, func(t *testing.T) {
			before := prices(t, k, "prices: 1\ncurrency: EUR\nlabour: {rate: 1}\nparts: {kit: 1.00}\n")
			p, err := before.AddParts("c.csv", []byte(tt.file), k)
			if tt.want != "" {
				if err == nil || strings.TrimSpace(err.Error()) != strings.TrimSpace(tt.want) {
					t.Errorf("AddParts(%q):\n%v\nwant:\n%s", tt.file, err, tt.want)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if got := p.Parts["sealant"]; !same(got, eur(t, tt.sealant)) || len(p.Parts) != 2 || len(before.Parts) != 1 {
				t.Errorf("AddParts(%q) = %v, before %v; want sealant %s, and the old prices as they were", tt.file, p.Parts, before.Parts, tt.sealant)
			}
		})
	}
}

// FuzzReadPrices wants an error or prices that a quote can be made of, never a panic; errors have a position.
func FuzzReadPrices(f *testing.F) {
	for _, tt := range badPrices {
		f.Add(tt.file)
	}
	f.Add(plainPrices)
	f.Add(string(demoFile))
	k := workshop(f)
	f.Fuzz(func(t *testing.T, file string) {
		p, err := ReadPrices("p.yaml", []byte(file), k)
		if err != nil {
			positions(t, err, "p.yaml")
			return
		}
		b := twin(t)
		b.set(0.7, b.fault(t, "seat-worn", "left"))
		b.set(0.3, b.fault(t, "float-heavy", "left"))
		q := b.quote(t, p, 0.9)
		if q.Likely.Gross.IsNegative() || p.Format(q.NotToExceed.Gross) == "" {
			t.Errorf("ReadPrices(%q): likely %v, not to exceed %v", file, q.Likely, q.NotToExceed)
		}
	})
}

// FuzzAddParts wants the same of CSV.
func FuzzAddParts(f *testing.F) {
	for _, tt := range tables {
		f.Add(tt.file)
	}
	k := workshop(f)
	p, err := ReadPrices("shop.yaml", []byte("prices: 1\ncurrency: EUR\nlabour: {rate: 1}\n"), k)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, file string) {
		got, err := p.AddParts("c.csv", []byte(file), k)
		if err != nil {
			positions(t, err, "c.csv")
			return
		}
		for id, a := range got.Parts {
			if _, ok := k.Part(id); !ok || a.IsNegative() {
				t.Errorf("AddParts(%q): %s costs %v", file, id, a)
			}
		}
	})
}

// positions wants every mistake to name its file.
func positions(t *testing.T, err error, file string) {
	t.Helper()
	list, ok := err.(symptoms.ErrorList)
	if !ok || len(list) == 0 {
		t.Fatalf("error %T; want a list of mistakes", err)
	}
	for _, e := range list {
		if e.Pos.File != file || e.Message == "" {
			t.Errorf("mistake %+v; want its file and a message", e)
		}
	}
}

// TestDemoPrices wants an invented price for every part that there is, so that no demonstration is incomplete.
func TestDemoPrices(t *testing.T) {
	k, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	p, err := DemoPrices(k)
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range k.Parts {
		if _, ok := p.Price(part.ID); !ok {
			t.Errorf("demo prices: none for %s", part.ID)
		}
	}
	if p.Kind != Demo {
		t.Errorf("Kind = %d; want Demo", p.Kind)
	}
}

// TestRenewals holds the list of what openings use up to the knowledge: every opening that a repair needs is known and takes less than
// the repair, and what is renewed are parts that there are, after openings that there are.
func TestRenewals(t *testing.T) {
	k, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	opened := 0
	for _, r := range k.Repairs {
		if r.Opens == "" {
			continue
		}
		opened++
		a, ok := k.AccessTo(r.Opens)
		if !ok {
			t.Errorf("%s opens %s, which the knowledge does not have", r.ID, r.Opens)
			continue
		}
		if a.Minutes >= r.Minutes {
			t.Errorf("%s takes %g minutes, of which opening %s would take %g", r.ID, r.Minutes, a.ID, a.Minutes)
		}
	}
	if opened == 0 {
		t.Error("no repair opens anything")
	}
	for _, renewal := range Renewals() {
		if _, ok := k.AccessTo(renewal.Access); !ok {
			t.Errorf("%s is renewed after %s, which the knowledge does not have", renewal.Part, renewal.Access)
		}
		for _, id := range append([]string{renewal.Part}, renewal.Within...) {
			if _, ok := k.Part(id); !ok {
				t.Errorf("%s renews %s, which is no part", renewal.Access, id)
			}
		}
	}
}

// TestStripOfARow wants an opening charged as the planner reckons it, unless the shop has minutes of its own.
func TestStripOfARow(t *testing.T) {
	k, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	a, _ := k.AccessTo("carburetors-off")
	four := &symptoms.Sheet{Machine: symptoms.Machine{Carburetors: []string{"1", "2", "3", "4"}}}
	tests := []struct {
		name string
		own  map[string]float64
		want float64
	}{
		{"as the knowledge has it", nil, a.Minutes + 3*a.Each},
		{"as the shop has it", map[string]float64{"carburetors-off": 33}, 33},
	}
	for _, tt := range tests {
		w := &work{k: k, sheet: four, prices: &Prices{Access: tt.own}}
		if got := w.strip("carburetors-off"); got != tt.want {
			t.Errorf("%s: strip = %g minutes; want %g", tt.name, got, tt.want)
		}
	}
}
