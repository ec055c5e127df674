// Package interview leads the talk in which an intake sheet is filled in: it chooses what to ask next, understands the answers,
// and writes them on the sheet.
//
// The idea: a good mechanic asks what the bike does, lets the rider finish, asks the few things that tell most, then goes and
// looks, then starts it, and takes apart only what is left in doubt. So the questions come in groups by where the technician
// stands: the machine, the complaint, what went before, the rider's answers, the look over, the running engine, the bench.
// Within a group the next question is the one with the greatest expected information about the causes for its minutes
// (engine.Ask), a little in favour of what is at hand: the same look at the next cylinder, another look during the same check, the
// same carburetor on the bench. A question is not asked when an answer already implies its own (table senses), when the
// machine is not built so, or when somebody did not know. Questions that decide a stop notice come first where there is reason for them.
//
// Every answer is on the sheet at once, as given, "no" as well as "yes"; "don't know" stands there as unknown, so that
// a talk that was cut off goes on from its sheet and does not ask again. A group ends when none of its questions is worth its
// minutes; the talk ends with the last group, and says why.
//
// The package prints nothing and keeps no file: the caller shows the Question, passes on what was typed, and stores Bytes after
// each step. It holds no knowledge of causes; the one table of its own says which questions are idle after which answers.
package interview
