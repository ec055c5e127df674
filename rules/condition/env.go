package condition

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"
	"unicode"

	"github.com/expr-lang/expr/builtin"
	"github.com/expr-lang/expr/checker"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/parser"
	"github.com/expr-lang/expr/types"
)

// A Kind says what values a symbol takes.
type Kind uint8

// The kinds of symbol.
const (
	YesNo  Kind = iota // yes or no
	Word               // exactly one of its words
	Words              // any number of its words at once, also none
	Number             // a number with a dimension
)

// String returns "yes-no", "word", "words" or "number".
func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return fmt.Sprintf("kind %d", uint8(k))
}

var kindNames = [...]string{YesNo: "yes-no", Word: "word", Words: "words", Number: "number"}

// Limits of an environment.
const (
	maxWords = 64 // one bit each
	maxArgs  = 6  // a function at the corners of its arguments is called 1<<maxArgs times
)

// A Symbol is something that a condition can read.
type Symbol struct {
	Name  string   // an identifier, or two with a dot between: spec.float_height
	Kind  Kind     // what values it takes
	Words []string // of Word and Words: 1 to 64 of them, in the order of their numbers
	Dim   Dim      // of Number
	Unit  string   // of Number: the function that error texts suggest, such as mm, or ""
}

// A Function is a typed function that conditions may call, a unit such as mm(3)
// included.
type Function struct {
	Name   string
	Args   []Dim // dimension of each argument, at most 6
	Result Dim
	// Units are the units that error texts suggest for the arguments, each the name of a function such as mm, or "";
	// nil suggests any that fits.
	Units []string
	// Monotone promises that Call rises or falls steadily in each argument
	// while the others stay fixed. Arguments known as a range are then evaluated
	// at the corners, infinities included where a range has no bound; without the
	// promise a range gives unknown.
	Monotone bool
	// Call computes the value from SI base units. It must depend on its arguments
	// alone and may not keep the slice. NaN stands for "cannot be computed" and
	// makes the number unknown.
	Call func([]float64) float64
	Doc  string // one sentence for the list of functions
}

// isUnit reports whether the function turns a plain number into a quantity.
func (f *Function) isUnit() bool { return len(f.Args) == 1 && f.Args[0] == Dim{} && f.Result != Dim{} }

// An Env is what conditions are compiled against: the symbols they may read and
// the functions they may call. It is immutable, and safe for several goroutines.
type Env struct {
	symbols   []Symbol
	functions []Function
	index     map[string]int  // of a symbol
	calls     map[string]int  // of a function
	groups    map[string]bool // the names before a dot

	slots                 []int // where a Case keeps the symbol, in bits or in numbers
	bitSlots, numberSlots int   // how many there are

	mu     sync.Mutex // expr's configuration caches types while it checks
	config *conf.Config
}

// NewEnv returns an environment with the given symbols and functions, which it
// copies. The index of a symbol is its place in the slice. The error joins all
// faults found: a name that is no identifier or is used twice, words on a number,
// a choice without words, a unit that is not among the functions, a function
// without Call or with more than six arguments.
func NewEnv(symbols []Symbol, functions []Function) (*Env, error) {
	e := &Env{
		symbols:   slices.Clone(symbols),
		functions: slices.Clone(functions),
		index:     map[string]int{},
		calls:     map[string]int{},
		groups:    map[string]bool{},
	}
	var faults []error
	for i := range e.functions {
		faults = append(faults, e.addFunction(i))
	}
	for i := range e.symbols {
		e.symbols[i].Words = slices.Clone(e.symbols[i].Words)
		faults = append(faults, e.addSymbol(i))
	}
	for _, s := range e.symbols {
		if e.groups[s.Name] {
			faults = append(faults, fmt.Errorf("symbol %q is also the first part of another name", s.Name))
		}
	}
	for _, f := range e.functions {
		if e.groups[f.Name] {
			faults = append(faults, fmt.Errorf("function %q is also the first part of another name", f.Name))
		}
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	e.configure()
	return e, nil
}

// Index returns the index of the named symbol.
func (e *Env) Index(name string) (int, bool) {
	i, ok := e.index[name]
	return i, ok
}

// Symbols returns the symbols by index, in a slice of the caller's own.
func (e *Env) Symbols() []Symbol { return slices.Clone(e.symbols) }

// Functions returns the functions in the order given to NewEnv, in a slice of the
// caller's own.
func (e *Env) Functions() []Function { return slices.Clone(e.functions) }

func (e *Env) addFunction(i int) error {
	f := &e.functions[i]
	f.Args = slices.Clone(f.Args)
	_, twice := e.calls[f.Name]
	switch {
	case !isName(f.Name):
		return fmt.Errorf("function %q: a name is letters, digits and underscores, and no word of the language", f.Name)
	case twice:
		return fmt.Errorf("function %q is there twice", f.Name)
	case f.Call == nil:
		return fmt.Errorf("function %q has no Call", f.Name)
	case len(f.Args) == 0 || len(f.Args) > maxArgs:
		return fmt.Errorf("function %q has %d arguments, not 1 to %d", f.Name, len(f.Args), maxArgs)
	}
	e.calls[f.Name] = i
	return nil
}

func (e *Env) addSymbol(i int) error {
	s := &e.symbols[i]
	group, field, dotted := strings.Cut(s.Name, ".")
	_, twice := e.index[s.Name]
	_, isCall := e.calls[s.Name]
	switch {
	case !isName(group) || dotted && !isName(field):
		return fmt.Errorf("symbol %q: a name is letters, digits and underscores, with one dot at most, and no word of the language", s.Name)
	case twice:
		return fmt.Errorf("symbol %q is there twice", s.Name)
	case isCall:
		return fmt.Errorf("symbol %q is also a function", s.Name)
	}
	if err := e.checkValues(s); err != nil {
		return err
	}
	if dotted {
		e.groups[group] = true
	}
	e.index[s.Name] = i
	e.addSlot(s)
	return nil
}

// addSlot gives the next symbol its place in a Case.
func (e *Env) addSlot(s *Symbol) {
	switch s.Kind {
	case Number:
		e.slots = append(e.slots, e.numberSlots)
		e.numberSlots += 2
	case Words:
		e.slots = append(e.slots, e.bitSlots)
		e.bitSlots += len(s.Words)
	default:
		e.slots = append(e.slots, e.bitSlots)
		e.bitSlots++
	}
}

func (e *Env) checkValues(s *Symbol) error {
	switch s.Kind {
	case Word, Words:
		return checkWords(s)
	case YesNo, Number:
		if len(s.Words) > 0 {
			return fmt.Errorf("symbol %q of kind %v has words", s.Name, s.Kind)
		}
		if _, ok := e.calls[s.Unit]; !ok && s.Unit != "" {
			return fmt.Errorf("symbol %q: its unit %q is not among the functions", s.Name, s.Unit)
		}
		return nil
	}
	return fmt.Errorf("symbol %q has no known kind", s.Name)
}

func checkWords(s *Symbol) error {
	if len(s.Words) == 0 || len(s.Words) > maxWords {
		return fmt.Errorf("symbol %q has %d words, not 1 to %d", s.Name, len(s.Words), maxWords)
	}
	for i, w := range s.Words {
		if w == "" || strings.ContainsFunc(w, func(r rune) bool { return r == '"' || r == '\\' || !unicode.IsPrint(r) }) {
			return fmt.Errorf("symbol %q: word %q is empty or holds a quote, a backslash or a control character", s.Name, w)
		}
		if slices.Contains(s.Words[:i], w) {
			return fmt.Errorf("symbol %q has the word %q twice", s.Name, w)
		}
	}
	return nil
}

// isName reports whether a name can stand in a condition by itself.
func isName(s string) bool {
	for i, r := range s {
		if r != '_' && !unicode.IsLetter(r) && (i == 0 || !unicode.IsDigit(r)) {
			return false
		}
	}
	return s != "" && !reserved[s]
}

// reserved are the words that expr reads as something other than a name.
var reserved = map[string]bool{
	"and": true, "or": true, "not": true, "in": true, "true": true, "false": true, "nil": true,
	"let": true, "if": true, "else": true,
	"matches": true, "contains": true, "startsWith": true, "endsWith": true,
}

// configure describes the environment to expr's type checker.
func (e *Env) configure() {
	names, fields := types.Map{}, map[string]types.Map{}
	for i := range e.symbols {
		s := &e.symbols[i]
		group, field, dotted := strings.Cut(s.Name, ".")
		if !dotted {
			names[s.Name] = s.exprType()
			continue
		}
		if fields[group] == nil {
			fields[group] = types.Map{}
		}
		fields[group][field] = s.exprType()
	}
	for group, m := range fields {
		names[group] = m
	}
	e.config = conf.New(names)
	for name := range e.config.Builtins {
		e.config.Disabled[name] = true
	}
	clear(e.config.Builtins)
	for i := range e.functions {
		f := &e.functions[i]
		e.config.Functions[f.Name] = &builtin.Function{Name: f.Name, Types: []reflect.Type{f.goType()}}
	}
}

func (s *Symbol) exprType() types.Type {
	switch s.Kind {
	case YesNo:
		return types.Bool
	case Word:
		return types.String
	case Words:
		return types.Array(types.String)
	default:
		return types.Float64
	}
}

func (f *Function) goType() reflect.Type {
	number := reflect.TypeFor[float64]()
	return reflect.FuncOf(slices.Repeat([]reflect.Type{number}, len(f.Args)), []reflect.Type{number}, false)
}

// parse returns expr's syntax tree.
func (e *Env) parse(src string) (*parser.Tree, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	return new(parser.Parser).Parse(src, e.config)
}

// typeCheck has expr check the types of the tree. It changes the tree: whole
// numbers that stand as arguments become floats and lose their position.
func (e *Env) typeCheck(tree *parser.Tree) error {
	e.mu.Lock()
	defer e.mu.Unlock()
	_, err := new(checker.Checker).Check(tree, e.config)
	return err
}
