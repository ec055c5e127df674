package condition

import (
	"fmt"
	"slices"
	"strings"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/parser"
	"github.com/expr-lang/expr/parser/lexer"
)

// maxTests is the number of tests and groups one condition may have: one bit each.
const maxTests = 64

// A builder turns source into checked nodes.
type builder struct {
	env    *Env
	source string
	tokens []lexer.Token
	tree   *parser.Tree
	order  []int // symbols in the order in which they are first read
}

// Compile parses and checks a condition. An error is of type *Error.
func (e *Env) Compile(src string) (c *Condition, err error) {
	b := &builder{env: e, source: src}
	if len(src) > maxSource {
		b.source = strings.ToValidUTF8(src[:60], "") + " …"
		return nil, b.fail(0, fmt.Sprintf("the condition is %d bytes long, more than %d", len(src), maxSource), "split it into several rules")
	}
	// No input is known to make expr's parser or checker panic within the limit;
	// if one does, the author of the condition gets an error and not a crash.
	defer func() {
		if r := recover(); r != nil {
			c, err = nil, b.fail(0, fmt.Sprintf("the condition cannot be read: %v", r), "")
		}
	}()
	root, fault := b.build()
	if fault != nil {
		return nil, fault
	}
	if err := e.typeCheck(b.tree); err != nil {
		return nil, b.fail(0, "type check: "+err.Error(), "")
	}
	c = &Condition{env: e, root: root, program: assemble(e, root), order: b.order}
	if n := c.program.size(); n > maxTests {
		return nil, b.fail(0, fmt.Sprintf("the condition has %d tests and groups of tests, more than %d", n, maxTests), "split it into several rules")
	}
	return c, nil
}

// build checks by our own rules. expr's type checker runs after it, on a tree that
// is right by then, because it forgets positions and knows nothing of words,
// dimensions and what to write instead.
func (b *builder) build() (*node, *Error) {
	tree, err := b.parse()
	if err != nil {
		return nil, err
	}
	return b.condition(tree)
}

func (b *builder) fail(offset int, message, hint string) *Error {
	return errorAt(b.source, offset, message, hint)
}

func (b *builder) failAt(n ast.Node, message, hint string) *Error {
	return b.fail(start(n), message, hint)
}

// read notes that the symbol is read.
func (b *builder) read(symbol int) {
	if !slices.Contains(b.order, symbol) {
		b.order = append(b.order, symbol)
	}
}

// start is the offset of the first rune of a node that expr places at its
// operator.
func start(n ast.Node) int {
	from := n.Location().From
	switch n := n.(type) {
	case *ast.UnaryNode: // "not" of "x not in" stands after x
		from = min(from, start(n.Node))
	case *ast.BinaryNode:
		from = min(from, start(n.Left))
	case *ast.MemberNode:
		from = min(from, start(n.Node))
	}
	return from
}
