package quote

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/bojanz/currency"
	"go.yaml.in/yaml/v3"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// ReadPrices reads a shop's prices from YAML. The file's form:
//
//	prices: 1
//	shop:
//	  name: "..."
//	  address: ["...", "..."]       # lines
//	  terms: ["..."]                # sentences for the foot of the quote
//	  exclusions: ["..."]           # what the quote does not cover, besides what it says itself
//	currency: EUR                   # ISO 4217
//	locale: de-DE                   # how amounts are written; en without it
//	labour: {rate: 62.00, step: 6}  # an hour; begun minutes are charged in steps of so many
//	diagnosis: 30                   # minutes to find the fault
//	minimum: 45.00                  # the least that a job costs
//	consumables: 4 %                # of the labour, or an amount for the job
//	tax: {name: VAT, percent: 20, included: no}
//	valid: 30                       # days
//	access: {bowl-off: 15}          # minutes of a strip-down, where the usual ones do not fit
//	parts_file: parts.csv           # more prices of parts, see Prices.AddParts
//	parts: {bowl-gasket: 4.50}      # by the id of the part
//
// Only prices, currency and labour must be there. Amounts are decimal numbers with a point. The error is a symptoms.ErrorList with every
// mistake; parts and strip-downs are looked up in k.
func ReadPrices(name string, data []byte, k *rules.Set) (*Prices, error) {
	r := &reader{file: name, lines: strings.Split(string(data), "\n"), k: k, prices: &Prices{ValidDays: 30, Locale: "en",
		Parts: map[string]currency.Amount{}, Access: map[string]float64{}}}
	r.read(data)
	if len(r.faults) > 0 {
		slices.SortStableFunc(r.faults, func(a, b *symptoms.Error) int {
			return (a.Pos.Line-b.Pos.Line)*10000 + a.Pos.Column - b.Pos.Column
		})
		return nil, r.faults
	}
	return r.prices, nil
}

// reader reads one price file.
type reader struct {
	file   string
	lines  []string
	k      *rules.Set
	prices *Prices
	faults symptoms.ErrorList
}

func (r *reader) fault(line, column int, offending, message, hint string) {
	e := &symptoms.Error{Pos: symptoms.Position{File: r.file, Line: line, Column: column}, Offending: offending, Message: message, Hint: hint}
	if line >= 1 && line <= len(r.lines) {
		e.Line = strings.TrimSuffix(r.lines[line-1], "\r")
	}
	r.faults = append(r.faults, e)
}

func (r *reader) wrong(n *yaml.Node, hint, format string, args ...any) {
	r.fault(n.Line, n.Column, n.Value, fmt.Sprintf(format, args...), hint)
}

// yamlLine finds the line in an error of the YAML parser, which has no field for it.
var yamlLine = regexp.MustCompile(`^yaml: line (\d+): (.*)`)

func (r *reader) read(data []byte) {
	if len(data) > symptoms.MaxSize {
		r.fault(0, 0, "", fmt.Sprintf("the file has %d bytes; a price file has at most %d", len(data), symptoms.MaxSize), "is this the right file?")
		return
	}
	if !utf8.Valid(data) {
		r.fault(0, 0, "", "not UTF-8 text", "save it as UTF-8")
		return
	}
	var doc yaml.Node
	if err := yaml.Unmarshal(data, &doc); err != nil {
		line, text := 1, strings.TrimPrefix(err.Error(), "yaml: ")
		if m := yamlLine.FindStringSubmatch(err.Error()); m != nil {
			line, _ = strconv.Atoi(m[1])
			text = m[2]
		}
		r.fault(line, 1, "", "not YAML: "+text, "")
		return
	}
	if len(doc.Content) == 0 || doc.Content[0].Kind != yaml.MappingNode {
		r.fault(1, 1, "", "not a price file", `begin with "prices: 1"`)
		return
	}
	root := doc.Content[0]
	// The currency first: every amount needs it.
	for i := 0; i+1 < len(root.Content); i += 2 {
		if root.Content[i].Value == "currency" {
			r.currency(root.Content[i+1])
		}
	}
	seen := r.fields(root, map[string]func(*yaml.Node){
		"prices": r.version, "shop": r.shop, "currency": func(*yaml.Node) {}, "locale": r.locale, "labour": r.labour,
		"diagnosis": func(n *yaml.Node) { r.prices.DiagnosisMinutes = float64(r.whole(n, 0, 1440)) },
		"minimum":   func(n *yaml.Node) { r.prices.Minimum = r.amount(n) },
		"valid":     func(n *yaml.Node) { r.prices.ValidDays = r.whole(n, 1, 3650) }, "consumables": r.consumables, "tax": r.tax,
		"access": r.access, "parts": r.parts, "parts_file": r.partsFile,
	})
	for _, need := range []struct{ key, hint string }{
		{"prices", "begin with prices: 1"}, {"currency", "add for example currency: EUR"}, {"labour", "add for example labour: {rate: 60.00}"}} {
		if !slices.Contains(seen, need.key) {
			r.fault(1, 1, "", need.key+" is missing", need.hint)
		}
	}
	r.defaults()
}

// defaults makes amounts that were not given into nothing of the currency.
func (r *reader) defaults() {
	zero, err := currency.NewAmount("0", r.prices.Currency)
	if err != nil {
		return // reported as a bad currency
	}
	for _, a := range []*currency.Amount{&r.prices.Minimum, &r.prices.Consumables} {
		if a.CurrencyCode() == "" {
			*a = zero
		}
	}
}

// fields hands the value of every key to its function and returns the keys that were there.
func (r *reader) fields(n *yaml.Node, known map[string]func(*yaml.Node)) []string {
	if n.Kind != yaml.MappingNode {
		r.wrong(n, "write keys with values, one in a line", "not a list of keys")
		return nil
	}
	var seen []string
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		set, ok := known[key.Value]
		switch {
		case !ok:
			r.unknown(key, sortedKeys(known), "there is no %q here")
		case slices.Contains(seen, key.Value):
			r.wrong(key, "leave one of them out", "%q stands here twice", key.Value)
		case value.Kind == yaml.AliasNode:
			r.wrong(value, "write it out", "aliases are not allowed")
		default:
			seen = append(seen, key.Value)
			set(value)
		}
	}
	return seen
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// unknown reports a name that is not known and offers the nearest that is.
func (r *reader) unknown(n *yaml.Node, known []string, format string) {
	hint := "known are " + strings.Join(known, ", ")
	if len(known) > 20 {
		hint = ""
	}
	if near := symptoms.Nearest(n.Value, known); near != "" {
		hint = "did you mean " + near + "?"
	}
	r.wrong(n, hint, format, n.Value)
}

func (r *reader) version(n *yaml.Node) {
	if n.Value != "1" {
		r.wrong(n, "write prices: 1", "this program reads price files of version 1")
	}
}

// text returns a line of text.
func (r *reader) text(n *yaml.Node) string {
	if n.Kind != yaml.ScalarNode || n.Tag == "!!null" {
		r.wrong(n, "write a text", "not a text")
		return ""
	}
	return strings.TrimSpace(n.Value)
}

func (r *reader) texts(to *[]string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		if n.Kind != yaml.SequenceNode {
			r.wrong(n, `write ["...", "..."]`, "not a list of texts")
			return
		}
		for _, c := range n.Content {
			*to = append(*to, r.text(c))
		}
	}
}

func (r *reader) shop(n *yaml.Node) {
	s := &r.prices.Shop
	r.fields(n, map[string]func(*yaml.Node){
		"name": func(n *yaml.Node) { s.Name = r.text(n) }, "address": r.texts(&s.Address), "terms": r.texts(&s.Terms), "exclusions": r.texts(&s.Exclusions),
	})
}

func (r *reader) currency(n *yaml.Node) {
	if code := r.text(n); code == "" || !currency.IsValid(code) {
		hint := "write a code of ISO 4217, such as EUR, GBP, USD, JPY"
		if near := strings.ToUpper(code); code != near && currency.IsValid(near) {
			hint = "write " + near
		} else if near := symptoms.Nearest(code, currency.GetCurrencyCodes()); near != "" {
			hint = "did you mean " + near + "?"
		}
		r.wrong(n, hint, "%q is no currency code", code)
		return
	}
	r.prices.Currency = n.Value
}

// localeForm is what a locale looks like: language, script and territory (BCP 47, as far as it is used here).
var localeForm = regexp.MustCompile(`^[a-z]{2,3}([-_][A-Z][a-z]{3})?([-_][A-Z]{2})?$`)

func (r *reader) locale(n *yaml.Node) {
	if r.prices.Locale = r.text(n); !localeForm.MatchString(r.prices.Locale) {
		r.wrong(n, "write for example en-GB or de-DE", "%q is no locale", n.Value)
	}
}

func (r *reader) labour(n *yaml.Node) {
	seen := r.fields(n, map[string]func(*yaml.Node){
		"rate": func(n *yaml.Node) { r.prices.Rate = r.amount(n) },
		"step": func(n *yaml.Node) { r.prices.StepMinutes = r.whole(n, 1, 60) },
	})
	if n.Kind == yaml.MappingNode && !slices.Contains(seen, "rate") {
		r.wrong(n, "add for example rate: 60.00", "the rate of an hour is missing")
	}
}

// decimal is an amount as it may be written: up to nine digits and four behind the point.
var decimal = regexp.MustCompile(`^\d{1,9}(\.\d{1,4})?$`)

// number checks a decimal number that is not negative.
func (r *reader) number(n *yaml.Node, text string) bool {
	if n.Kind == yaml.ScalarNode && decimal.MatchString(text) {
		return true
	}
	hint := "write for example 12.50"
	if swapped := strings.ReplaceAll(text, ",", "."); swapped != text && decimal.MatchString(swapped) {
		hint = "write " + swapped
	}
	r.wrong(n, hint, "%q is no amount", n.Value)
	return false
}

func (r *reader) amount(n *yaml.Node) currency.Amount {
	if !r.number(n, n.Value) || r.prices.Currency == "" {
		return currency.Amount{}
	}
	digits, _ := currency.GetDigits(r.prices.Currency)
	if _, behind, _ := strings.Cut(n.Value, "."); len(behind) > int(digits) {
		r.wrong(n, fmt.Sprintf("write %d at most", digits), "%s has more digits behind the point than %s", n.Value, r.prices.Currency)
		return currency.Amount{}
	}
	a, err := currency.NewAmount(n.Value, r.prices.Currency)
	if err != nil {
		r.wrong(n, "", "%v", err)
	}
	return a
}

// percent reads a percentage from 0 to 100; the sign may be left out.
func (r *reader) percent(n *yaml.Node) string {
	text := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(n.Value), "%"))
	if !r.number(n, text) {
		return ""
	}
	if f, err := strconv.ParseFloat(text, 64); err != nil || f > 100 {
		r.wrong(n, "write 0 to 100", "%s is more than everything", n.Value)
	}
	return text
}

func (r *reader) consumables(n *yaml.Node) {
	if strings.HasSuffix(strings.TrimSpace(n.Value), "%") {
		r.prices.ConsumablesPercent = r.percent(n)
		return
	}
	r.prices.Consumables = r.amount(n)
}

func (r *reader) tax(n *yaml.Node) {
	seen := r.fields(n, map[string]func(*yaml.Node){
		"name":    func(n *yaml.Node) { r.prices.Tax.Name = r.text(n) },
		"percent": func(n *yaml.Node) { r.prices.Tax.Percent = r.percent(n) },
		"included": func(n *yaml.Node) {
			switch n.Value {
			case "yes", "true":
				r.prices.Tax.Included = InPrices
			case "no", "false":
			default:
				r.wrong(n, "write yes or no", "%q is neither yes nor no", n.Value)
			}
		},
	})
	if n.Kind == yaml.MappingNode && !slices.Contains(seen, "percent") {
		r.wrong(n, "add for example percent: 20", "the percentage is missing")
	}
}

// whole reads a whole number.
func (r *reader) whole(n *yaml.Node, from, to int) int {
	i, err := strconv.Atoi(n.Value)
	if n.Kind != yaml.ScalarNode || err != nil || i < from || i > to {
		r.wrong(n, fmt.Sprintf("write %d to %d", from, to), "%q is no whole number from %d to %d", n.Value, from, to)
		return from
	}
	return i
}

func (r *reader) access(n *yaml.Node) {
	known := map[string]func(*yaml.Node){}
	for _, id := range openings(r.k) {
		known[id] = func(n *yaml.Node) { r.prices.Access[id] = float64(r.whole(n, 0, 1440)) }
	}
	r.fields(n, known)
}

// openings lists the strip-downs that there are: those of the knowledge, and those that a repair names.
func openings(k *rules.Set) []string {
	var ids []string
	for _, a := range k.Access {
		ids = append(ids, a.ID)
	}
	for _, r := range k.Repairs {
		if r.Opens != "" && !slices.Contains(ids, r.Opens) {
			ids = append(ids, r.Opens)
		}
	}
	return ids
}

func (r *reader) parts(n *yaml.Node) {
	known := map[string]func(*yaml.Node){}
	for _, part := range r.k.Parts {
		known[part.ID] = func(n *yaml.Node) { r.prices.Parts[part.ID] = r.amount(n) }
	}
	r.fields(n, known)
}

func (r *reader) partsFile(n *yaml.Node) {
	r.prices.PartsFile = r.text(n)
	r.prices.PartsFilePos = symptoms.Position{File: r.file, Line: n.Line, Column: n.Column}
}

// scalar makes a node of a text from another kind of file.
func scalar(text string, line, column int) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: text, Line: line, Column: column}
}
