// Package plan chooses the next step in finding and repairing a fault by expected cost: a test, a repair, a change of parts to see where the
// complaint goes, or giving the job away. It works on a Belief, which answers with probabilities, and a Table of actions with costs.
//
// # The problem
//
// A machine misbehaves. A test costs c, can be done once and comes out in one of several ways; a repair costs c, takes some faults away, each
// with its own chance, and then the machine is tried. The job ends when the machine is good, or when it is handed over at the cost L of the
// last resort. The expected cost of repair (ECR; Heckerman, Breese and Rommelse 1995) of a plan is the mean over everything unknown of what
// is paid until then. The least one satisfies, for every state of belief b with what was done and what stands open,
//
//	V(b) = min of  L,
//	               c(t) + sum over outcomes o of P(o | b) V(b, o)       for each test t
//	               c(r) + P(still bad after r | b) V(b, r failed)       for each repair r
//
// One repair may cure several faults and one fault have several repairs; Good, not a table of causes, says what a repair is worth. That it
// failed is evidence, and exact: the belief is asked for the machine as it is then. An action may have to come after others, whatever they
// showed. Access to several actions, a Cluster, is paid for once while it is open. Where it has to be closed before the machine can be tried,
// several repairs inside can be done at once before trying; these are the only repairs that are combined. To make every trial cost
// something, put the repairs into a cluster that closes.
//
// Without a last resort V is the cost until the machine is good or nothing left to do can cure it; Result.Left says how likely the latter is.
// It is the same for every plan, so plans can be compared.
//
// # What is computed
//
//   - The plain plan (Result.Greedy): no tests but those that repairs come after; the repair with the least c/P(good after it), what has
//     to be done before it and opened for it counted in, also several repairs of one cluster as a block; handed over where that is cheaper.
//   - Looking n steps ahead: V with the plain plan at its end, V_0 = plain plan, V_n(b) = min over steps of cost + sum P V_(n-1).
//   - To the end: V itself, by memory over states. With T tests of two outcomes and R repairs there are 3^T 2^R of them at most, when
//     tests and repairs do not change each other's meaning: six tests and eight repairs are 186 624, some seconds on a table.
//   - Result.Bound, a lower bound on the expected cost with perfect information (the unexported bound says how), which with one
//     fault and one repair for each is the sum of c p. Result.Gap is zero if the plan is exact and Expected - Bound otherwise.
//
// Next goes to the end if an upper bound on the questions put to beliefs fits Options.Budget, else one step ahead, then two and so on while
// the budget lasts. From the second step on only the best few tests and repairs are considered if there are many; Result.LeftOut names
// the others. Every expected cost that is reported is that of a plan one could follow, so it is never too low (but for branches of
// probability below 1e-12, which are not followed).
//
// # What is guaranteed, and what is not
//
//   - One fault, each cured by one repair for certain, fixed costs: the order of c/p is the cheapest (Kadane and Simon 1977, as reported
//     in the abstract of arXiv 1203.3502). Kalagnanam and Henrion (1988, arXiv 1304.2362, abstract) ordered by it and saved 14 % of
//     diagnosis time against mechanics' rules.
//   - Several independent faults, good if and only if none is left: Srinivas (1995, arXiv 1302.4985, abstract) shows the problem to be
//     polynomial. The index c(1-p)/p is our own: of two neighbours in an order, i before j is cheaper if and only if
//     c(i) g(i)/(1-g(i)) < c(j) g(j)/(1-g(j)) with g = 1-p. Tests compare it with all orders. The plain plan follows both indices without
//     knowing which holds, because given that the machine misbehaves, P(good after i) is p(i) for one fault and proportional to
//     p(i)/(1-p(i)) for several.
//   - Anything else makes the index a guess. Evidence couples faults; overlapping repairs, clusters, prerequisites and tests each suffice
//     to make greedy plans lose (Ottosen and Jensen on dependent actions; Lin 2014: with call service alone the problem is O(n log n), the
//     other extensions are NP-hard; both abstracts). In testdata/troubleshooting.json, overlapping repairs cost 1.50 by the index and 1.45
//     at best; with tests 105.75 without any, 71.75 with one, 59.30 at best.
//   - V_n >= V_(n+1) >= V, and planning again after every step costs V_n at most (policy improvement, from memory; tests check all three).
//     How far V_n is from V is not bounded in advance; Gap bounds it afterwards. The logarithmic bounds known for greedy tests
//     (Golovin and Krause 2011) are for other goals, and with noisy tests information gain can do badly (Golovin, Krause and Ray 2010,
//     arXiv 1010.3091, abstract); none is claimed here.
//   - A plan is exact for its belief and table only. Nothing is said about actions that are not in the table.
//
// # Beliefs
//
// Tabular is an explicit table over fault sets. NetworkBelief works on a noisy-OR network of engine/belief, with every link and
// every leak decided once for all (persistence of faults, after Breese and Heckerman 1996, arXiv 1302.3563, abstract). The probability that
// the complaint would be gone had some causes been taken away then concerns two machines at once, before and after; type layered says how
// that is made one noisy-OR network. It is compared with summing over everything that chance can decide.
//
// Inference gets dear when repairs reach far: every effect below a repaired cause and above both the complaint and other evidence needs a
// second bit. So give a NetworkBelief few repairs with a real share in the complaint (P(cause | evidence) well above its prior is a good
// sieve; being likely is not, a fault can be common and have nothing to do with it), and one or two findings as the complaint, the
// ones the job is about: the machine is good only when all of them are gone, and each has a leak that nothing cures. Look one step ahead.
//
// # What it does not do
//
// It knows nothing about motors, learns nothing, and prints nothing. Tests are not repeated, repairs not tried twice: list an action twice,
// with a belief that knows both, if that makes sense. A change is a test; that the parts stay swapped is not followed. There is no scoring
// of tests by entropy or by equivalence classes: a test is worth what it saves. Costs are means; the spread of the cost is not looked at.
package plan
