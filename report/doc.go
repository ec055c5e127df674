// Package report makes texts of what the engine and the knowledge say: a diagnosis, the page that explains one record, and
// the lists of observations, causes, repairs and sources, each as text for a terminal or a pipe, as Markdown for a
// hand-out, and as data for JSON.
//
// A text is written in two steps. First the contents are put together as a page: headings, paragraphs, items, cautions and
// tables made of short spans of text, without a thought for the medium. Then one of two writers lays the page out, in
// columns of a terminal or as GitHub-flavoured Markdown. Only the first screen of [Text] is laid out line by line, since it
// has to fit into 80 columns and 24 lines whatever the diagnosis holds: it starts from a full version and is shortened step
// by step in a fixed order until it fits. Stop notices are never dropped.
//
// A [Chain] shows how something wrong becomes something seen. The same nodes and links are written as a tree by [ChainText] and
// drawn by [ChainSVG]: rows of frames with lines between them, laid out so that nothing lies on anything else.
//
// A [Calculator] is one calculation at the bench on the physical model of package carburetor, as a documented value: its inputs, what is
// taken where nothing is said, its formulas. The [Reckoning] that it makes is written by [ReckonText], [ReckonMarkdown], [ReckonJSON]
// and [ReckonSVG], which draws the float bowl to scale where the calculator is about it. The arithmetic is the model's; where the
// model does not answer, neither does the calculator.
//
// A quote is written by [QuoteText] and [QuoteMarkdown] from one page, as data by [QuoteJSON], and by [QuotePDF] on paper, in one table
// of work and money. Paper is a third writer of pages: it breaks lines and pages by the measures of its embedded letters, repeats the
// head of a table on every page, and draws the drawings of this package; the same contents give the same file.
//
// A [Job] is all that is known of a job, in one report with one list of sources: [JobMarkdown] and [JobPDF].
//
// Whatever comes from a sheet or a pack passes one function that makes control characters visible, so nothing that is
// written into a note can reach a terminal. Meaning never hangs on colour: without it the text is the same, letter by
// letter.
//
// Order, probabilities, reasons and choice of checks are the engine's. One decision is taken here: when the first cause is at
// least 90 % likely, the first screen puts its repair before the next check. The package reads no clock and no file, and knows
// neither the terminal nor the command line; the caller says in a [Style] how wide and how rich the text may be.
package report
