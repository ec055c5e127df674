// Package belief computes exact posteriors on a layered noisy-OR network: which of many possible causes are present, several at once,
// given what was seen, what was looked for and not seen, and what was reported with doubt.
//
// # Model
//
// Causes are independent. Every effect and every finding is a leaky noisy-OR of causes and effects before it (Pearl 1988; Henrion 1987;
// QMR-DT, Shwe et al. 1991). Evidence multiplies states by non-negative weights. Wanted are P(evidence) and, for every node v that
// matters, P(v present | evidence).
//
// # Method
//
// A node v is present exactly if its leak or one of its present parents produced it, each independently. So one bit, "produced by those
// who acted so far", is enough for v, and after the last parent the bit is its value. A table S holds, for every set s of open nodes, the
// summed probability of everything already dealt with in which exactly s is produced:
//
//	start         S[empty set] = 1
//	open v        S'[s] = (1-leak) S[s],  S'[s+v] = leak S[s]
//	root u acts   S' = off S + on B S, where B does, for each child v by link l: S[s+v] += l S[s], S[s] *= 1-l
//	effect u acts S'[r] = off S[r] + on (B S[.+u])[r]; its bit is summed out
//	close v       S'[r] = w0 S[r] + w1 S[r+v]; likewise a group of findings with a joint weight
//
// At the end P(evidence) is the one entry left. The transposed steps give the backward table R, and inner products of S and R give all
// posteriors in the same pass. P(evidence) comes out of both passes; they must agree (ErrInconsistent).
//
// Every number is a sum of products of non-negative numbers, nothing is ever subtracted, so the relative error is about the number of
// steps times 2^-53. (The textbook sum over subsets of positive findings alternates in sign; in float64 it is wrong in the third digit
// with fifteen positive findings.) A posterior is P1/(P0+P1), never 1-x, so small ones keep their digits. Tables are rescaled by
// powers of two, which is exact.
//
// Four things keep the tables small:
//
//   - Stripping. What hangs on the rest by one arc is summed out in closed form before any table is made: a root with one child, a leaf
//     with one parent, a node known to be absent, a root known to be present. On most sheets little is left.
//   - Blocks. Nodes act block after block. A node that reaches into several blocks is carried: it keeps its own value bit and reaches
//     each child when that child opens, one bit in place of one per child.
//   - Factors. Findings that depend on the same few nodes weigh the values of those nodes directly and take no bits. A measurement in
//     four bands, all of them possible to some degree, costs one waiting bit in place of four.
//   - Search. Width and cost follow from the order alone, so several orders are tried, always the same ones, before a table is made.
//
// An effect needs a bit as soon as anything below it was observed, if only negatively: a denied finding below an effect couples the
// causes of that effect. Only what is denied directly below causes is free.
//
// # Cost
//
// Schedule.Cost counts table entries, each touched once forward and once backward (half a nanosecond together with
// vectors, see lanes.go, one without). Above Options.Limit, Plan sets evidence aside, least weight first, and says so; what is computed is exact for the rest. Tables that are needed again on the
// way back are computed a second time instead of kept when they would take more than about 8 MB (five tables of the largest size if
// that is more).
//
// Options.Like takes the order of another schedule over instead of searching: a diagnosis infers some dozens of times with an item
// more or less, and on small sheets the search takes most of the time.
//
// # What it does not do
//
// It knows nothing about motors or carburetors, learns nothing, samples nothing and never answers approximately. There is no inhibition:
// a present parent makes a child likelier, never less likely. Joint weights express anything else.
//
// # Asking about many findings
//
// Ask gives P(f | evidence) of a finding exactly; for one that hangs on a single kept node it costs nothing, because the finding is
// stripped. What the answers to a question would mean is found by [Schedule.Deny]: all posteriors given that a finding is absent too,
// by the steps that are laid out, with other weights. Those given that it is present are the difference to what was known before; with
// few digits lost unless the finding is all but certain to be absent. A question of several words, each hiding those after it, takes
// one Deny for each word but the last. Its cost is that of the schedule, while the same words as evidence would couple what makes
// them, for up to fourteen times the table entries on the sheets this was measured on.
package belief
