package condition

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser/lexer"
)

// maxSource is the longest condition in bytes. expr's parser recurses on every
// bracket and sign, so that a long enough run of them would end the process; this
// limit has to come before it.
const maxSource = 2000

// parse returns the syntax tree of a condition. What expr knows and this language
// does not is refused token by token first, since there the position is exact and
// expr's own message would be about something else.
func (b *builder) parse() (ast.Node, *Error) {
	if err := b.lex(); err != nil {
		return nil, b.lexicalError(err)
	}
	if len(b.tokens) <= 1 { // the end is a token
		return nil, b.fail(0, "the condition is empty", "write an observation, or leave the field out")
	}
	for i := range b.tokens {
		if err := b.checkToken(i); err != nil {
			return nil, err
		}
	}
	var err error
	if b.tree, err = b.env.parse(b.source); err != nil {
		return nil, b.syntaxError(err)
	}
	return b.tree.Node, nil
}

// lex splits the source into tokens and keeps those before an error too.
func (b *builder) lex() error {
	l := lexer.New()
	l.Reset(file.NewSource(b.source))
	for {
		t, err := l.Next()
		switch {
		case err == io.EOF:
			return nil
		case err != nil:
			return err
		}
		b.tokens = append(b.tokens, t)
	}
}

// refusal says what is wrong with a token and what to write instead.
type refusal struct{ message, hint string }

// refused lists the operators and words of expr, and some of other languages,
// that are not in this one. Names of the environment go before.
var refused = map[string]refusal{
	"?":          {"a condition has no choice between two", "write (a and b) or (not a and c)"},
	":":          {"a condition has no choice between two", "write (a and b) or (not a and c)"},
	"??":         {"a condition has no default for what is unknown", "leave it out: unknown is a value of its own"},
	"?.":         {"a condition has no optional field", "write a dot"},
	"|":          {"a condition has no pipe", "write or"},
	"&":          {"a condition has no bit operator", "write and"},
	"=":          {"one = is not a comparison", "write =="},
	";":          {"a condition is one expression", "join the parts with and"},
	"..":         {"a condition has no range", "write a <= x and x <= b"},
	"**":         {"a condition has no power", "write the product: x * x"},
	"^":          {"a condition has no power", "write the product: x * x"},
	"%":          {"a condition has no remainder", "write a fraction as a number: 0.1 for 10 %"},
	"#":          {"a condition has no element of a list", "name the observation"},
	"##":         {"a condition has no element of a list", "name the observation"},
	"::":         {"a condition has no name spaces", "name the observation"},
	"{":          {"a condition has no block", "group with ( and )"},
	"}":          {"a condition has no block", "group with ( and )"},
	"let":        {"a condition has no variables", "write the expression where it is used"},
	"if":         {"a condition has no choice between two", "write (a and b) or (not a and c)"},
	"else":       {"a condition has no choice between two", "write (a and b) or (not a and c)"},
	"matches":    {"a condition does not look inside words", "compare with == or in"},
	"contains":   {"a condition does not look inside words", "compare with == or in"},
	"startsWith": {"a condition does not look inside words", "compare with == or in"},
	"endsWith":   {"a condition does not look inside words", "compare with == or in"},
	"nil":        {"a condition cannot ask whether something is known", "leave it out: what nobody observed makes the condition unknown"},
	"null":       {"a condition cannot ask whether something is known", "leave it out: what nobody observed makes the condition unknown"},
	"is":         {"is is not an operator", "write =="},
	"AND":        {"operators are in small letters", "write and"},
	"OR":         {"operators are in small letters", "write or"},
	"NOT":        {"operators are in small letters", "write not"},
	"IN":         {"operators are in small letters", "write in"},
}

// checkToken refuses token i if it has no place in a condition, whatever stands
// around it.
func (b *builder) checkToken(i int) *Error {
	t := &b.tokens[i]
	switch t.Kind {
	case lexer.Bytes:
		return b.fail(t.From, "bytes are not words", "write the word without the b")
	case lexer.Number:
		return b.checkNumber(t)
	case lexer.Bracket:
		if t.Value == "[" && i > 0 && endsOperand(&b.tokens[i-1]) {
			return b.fail(t.From, "nothing has numbered parts", "write a dot for a field: spec.x; a word of several: \"a\" in x")
		}
	case lexer.Identifier:
		if b.env.has(t.Value) || i > 0 && b.tokens[i-1].Is(lexer.Operator, ".") {
			return nil
		}
		if b.tokens[i+1].Is(lexer.Bracket, "(") && refused[t.Value] == (refusal{}) {
			return b.unknownFunction(t)
		}
	case lexer.String:
		return nil
	}
	if r, ok := refused[t.Value]; ok {
		if next := &b.tokens[i+1]; t.Value == "=" && next.From == t.To && next.Is(lexer.Operator, "<", ">") {
			r.hint = "write " + next.Value + "="
		}
		return b.fail(t.From, r.message, r.hint)
	}
	return nil
}

// has reports whether a name, without a dot, means something in the environment.
func (e *Env) has(name string) bool {
	_, isSymbol := e.index[name]
	_, isCall := e.calls[name]
	return isSymbol || isCall || e.groups[name]
}

func (b *builder) unknownFunction(t *lexer.Token) *Error {
	var names []string
	for i := range b.env.functions {
		names = append(names, b.env.functions[i].Name)
	}
	hint := ""
	if near := nearest(t.Value, names); near != "" {
		hint = "write " + near + "(…)"
	} else if len(names) > 0 {
		slices.Sort(names)
		hint = "the functions are " + enumerate(names)
	}
	return b.fail(t.From, fmt.Sprintf("unknown function %q", t.Value), hint)
}

// checkNumber refuses what expr's parser would refuse with the position of the
// token after, and notations that nobody in a workshop reads.
func (b *builder) checkNumber(t *lexer.Token) *Error {
	digits := strings.ReplaceAll(t.Value, "_", "")
	if len(digits) > 1 && digits[0] == '0' && strings.ContainsAny(digits[1:2], "xXoObB") {
		return b.fail(t.From, fmt.Sprintf("%s is not a decimal number", t.Value), "write it in decimal digits")
	}
	var err error
	if strings.ContainsAny(digits, ".eE") {
		_, err = strconv.ParseFloat(digits, 64)
	} else {
		_, err = strconv.ParseInt(digits, 10, 64)
	}
	switch {
	case errors.Is(err, strconv.ErrRange):
		return b.fail(t.From, fmt.Sprintf("%s is too large", t.Value), "")
	case err != nil:
		return b.fail(t.From, fmt.Sprintf("%q is not a number", t.Value), "")
	}
	return nil
}

// characters maps what word processors and other alphabets put in the place of a
// character of the language.
var characters = map[rune]string{
	'≥': `>=`, '≤': `<=`, '≠': `!=`, '×': `*`, '·': `*`, '÷': `/`, '−': `-`, '–': `-`,
	'“': `"`, '”': `"`, '„': `"`, '«': `"`, '»': `"`, '‘': `'`, '’': `'`, '°': `degC(20)`,
	'½': `0.5`, '¼': `0.25`, '¾': `0.75`, '~': `not`,
}

func (b *builder) lexicalError(err error) *Error {
	var e *file.Error
	if !errors.As(err, &e) {
		return b.fail(0, err.Error(), "")
	}
	runes := []rune(b.source)
	at := min(max(e.From, 0), len(runes)-1)
	switch {
	case strings.HasPrefix(e.Message, "unrecognized character"):
		hint := ""
		if instead, ok := characters[runes[at]]; ok {
			hint = "write " + instead
		}
		return b.fail(at, fmt.Sprintf("the character %q has no meaning here", runes[at]), hint)
	case strings.HasPrefix(e.Message, "bad number syntax"):
		return b.unitAfterNumber(runes, at)
	case strings.HasPrefix(e.Message, "literal not terminated"):
		return b.fail(b.afterLastToken(runes), "the word in quotes does not end", "close it with the same quote")
	case strings.HasPrefix(e.Message, "unclosed comment"):
		return b.fail(b.afterLastToken(runes), "the comment does not end", "close it with */")
	}
	return b.fail(b.afterLastToken(runes), e.Message, "")
}

// afterLastToken is where the token begins that the lexer could not finish.
func (b *builder) afterLastToken(runes []rune) int {
	at := 0
	if n := len(b.tokens); n > 0 {
		at = b.tokens[n-1].To
	}
	for at < len(runes)-1 && unicode.IsSpace(runes[at]) {
		at++
	}
	return at
}

// unitAfterNumber explains 3mm, in which at is the first letter.
func (b *builder) unitAfterNumber(runes []rune, at int) *Error {
	from, to := at, at
	for from > 0 && (unicode.IsDigit(runes[from-1]) || strings.ContainsRune("._", runes[from-1])) {
		from--
	}
	for to < len(runes) && (unicode.IsLetter(runes[to]) || unicode.IsDigit(runes[to]) || runes[to] == '_') {
		to++
	}
	number, unit, hint := string(runes[from:at]), string(runes[at:to]), "write the unit as a function, such as mm(3)"
	if i, ok := b.env.calls[unit]; ok && b.env.functions[i].isUnit() {
		hint = fmt.Sprintf("write %s(%s)", unit, number)
	}
	return b.fail(from, fmt.Sprintf("%q is not a number", number+unit), hint)
}

// syntaxError puts an error of expr's parser into our words.
func (b *builder) syntaxError(err error) *Error {
	var e *file.Error
	if !errors.As(err, &e) {
		return b.fail(0, err.Error(), "")
	}
	if strings.Contains(e.Message, "token EOF") || strings.Contains(e.Message, "end of expression") {
		last := &b.tokens[len(b.tokens)-2]
		return b.fail(last.To, fmt.Sprintf("the condition ends after %s", b.text(last)), "write what is missing, or close the bracket")
	}
	i := max(0, slices.IndexFunc(b.tokens, func(t lexer.Token) bool { return t.From >= e.From }))
	t := &b.tokens[i]
	if i == 0 || !strings.HasPrefix(e.Message, "unexpected") {
		return b.fail(t.From, fmt.Sprintf("%s does not fit here", b.text(t)), "")
	}
	return b.fail(t.From, fmt.Sprintf("%s does not fit after %s", b.text(t), b.text(&b.tokens[i-1])), b.missingBetween(&b.tokens[i-1], t))
}

// missingBetween guesses what belongs between two tokens, or is "".
func (b *builder) missingBetween(l, r *lexer.Token) string {
	call, isCall := b.env.calls[r.Value]
	switch {
	case l.Is(lexer.Number) && isCall && b.env.functions[call].isUnit():
		return fmt.Sprintf("write %s(%s)", r.Value, l.Value)
	case l.Is(lexer.String) && r.Is(lexer.String):
		return "write a comma between the words"
	case endsOperand(l) && beginsOperand(r):
		return "write and, or, or a comparison between the two"
	}
	return ""
}

func endsOperand(t *lexer.Token) bool {
	return beginsOperand(t) && t.Value != "(" || t.Is(lexer.Bracket, ")", "]")
}

func beginsOperand(t *lexer.Token) bool {
	return t.Is(lexer.Identifier) || t.Is(lexer.Number) || t.Is(lexer.String) || t.Is(lexer.Bracket, "(")
}

// text returns a token as written.
func (b *builder) text(t *lexer.Token) string {
	runes := []rune(b.source)
	return string(runes[min(t.From, len(runes)):min(t.To, len(runes))])
}

// enumerate joins names for a hint and stops after eight.
func enumerate(names []string) string {
	if len(names) > 8 {
		return strings.Join(names[:8], ", ") + fmt.Sprintf(" and %d more", len(names)-8)
	}
	return strings.Join(names, ", ")
}
