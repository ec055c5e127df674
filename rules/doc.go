// Package rules holds the knowledge of a diagnosis: causes, the effects they have inside the machine, the rules by which
// effects are seen, and the stop notices, checks, repairs, parts and sources that go with them.
//
// A cause makes effects happen, effects make further effects happen, and effects are seen as findings. All links are
// written in the causal direction, each with a likelihood word, and together they form a layered noisy-OR network
// (Pearl, Probabilistic Reasoning in Intelligent Systems, 1988). A record is written once, about the machine, a
// carburetor or a cylinder; the engine makes the copies. What a link says is printed as one sentence ([Set.Sentence]), and
// that sentence is what a reviewer checks.
//
// Records stand in packs: YAML files of a strict format, below. An unknown or misplaced field is an error, conditions are
// typed when they are loaded, every claim cites its source, no observation is evidence twice, and every mistake in all
// packs is reported at once with file, line and column. Being well formed is one thing, being good knowledge another: the
// second is judged by [Set.Lint], which never stops anything.
//
// [Default] returns the packs that come with the program. They are embedded in a generated form that loads many times
// faster than YAML and is proved fresh by a test; go test ./rules -update rewrites it. [Overlay] adds a shop's own packs.
//
// The package does no inference, knows no machine but the one of an example case, and makes no texts for a screen: the
// sentences here are the smallest units that a report puts together.
//
// # Packs
//
// A pack is a mapping with these fields, all fields here and below in this order; a question mark marks what may be left
// out:
//
//	pack text sources? causes? effects? rules? stops? checks? repairs? parts? access?
//
// The lists hold records:
//
//	source   id title by year? kind seen? section?          kind: published (then seen is needed) or memory
//	cause    id title text about system exists? prior makes? tell? cites
//	effect   id title text? about makes? otherwise cites
//	rule     id title about given? when seen_with otherwise why cites fires? silent?
//	stop     id title about when do caution? cites
//	check    id title about observes how minutes tools? opens? swaps? caution? after? cites
//	repair   id title about cures? parts? minutes opens? how caution? after? cites
//	part     id title text?
//	access   id title about minutes each? inside? when? cites
//
// An id is made of lower-case words with hyphens, without digits but in sources, and differs from all others of any
// kind. A title of a cause or effect is a clause ("The float is heavy"), since it stands in sentences. About is machine,
// carburetor or cylinder. System is one of [Systems].
//
// makes, seen_with and cures are {id: likelihood}, where the likelihood is a word of [Likelihoods] or "1 in N";
// otherwise is a likelihood alone: how often it is there with nothing wrong. The words certain and never need a cite
// whose for begins with "physical necessity:", since no evidence can overrule them; a rule's otherwise is never never.
//
// prior is {base: 1 in N, history-word: x6, another: x1/4}; the factors multiply the odds, see [Prior.With].
//
// exists, given and when are conditions in the language of package condition over the symbols of [BuildEnv]. exists reads
// facts about the machine only. given is the circumstance under which a finding means anything; it may read what is about the
// rule's own place and about the places above it (a cylinder's carburetor, the machine). when is the finding; it reads observations
// about the rule's own level only, else one observation would count once for every place, and a number with bands only as
// band.<id>. A finding names abnormal words, side by side in the order of the vocabulary. Two rules may have the same
// observation, or the same word of a choice, as evidence only when their givens exclude each other.
//
// fires and silent are cases, {id: value, ...} in the notation of the intake sheet; see [Set.RunExamples].
//
// access is work that lays something open for several checks and repairs, which name it in opens; its minutes are part of theirs, and
// are paid for once when several are done together. each is added for every carburetor after the first. It is inside another on
// machines on which when, a condition on facts, holds. swaps says what a check changes over to see whether the trouble goes along.
//
// cites is a list of {source, at, for}. Two sources are always there and take no at: common-practice, what the trade does without
// anybody having to publish it, and memory, which is never shown as a source.
package rules
