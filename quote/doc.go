// Package quote makes a quotation for a repair out of a diagnosis and a shop's prices.
//
// The work is put into steps. The first is the likely repair: what most likely puts the machine right, with whatever is
// sensibly done in the same go. Each further step is done only if the machine is not right after the ones before it. How far
// the work will have to go is worked out exactly from the joint probability of the faults (engine.Together), so that a quote
// can say what is to be expected and what sum will do with a chosen confidence:
//
//	due(c) = 1 - P(c) / P(c | sheet), the share of its probability that the sheet has put there
//	left(c) = product over the repairs of c done so far of (1 - chance that the repair cures c)
//	none(S) = product over c in S of (1 - due(c))
//	P(right | S) = (product over c in S of (1 - due(c) left(c)) - none(S)) / (1 - none(S))
//	P(right after step j) = sum over fault sets S that are not empty of P(S | sheet) P(right | S)
//	expected = sum over steps j of P(not right after step j-1) (total up to j - total up to j-1)
//	not to exceed(p) = total up to the first step j with P(right after step j) >= p
//
// Put in words: some of the faults that are there are behind the complaint, each with its share and one at least; the machine is right
// when all of these are cured. A fault that is only as likely as on any machine has hardly any share, so a quote does not chase
// it. Repairs succeed independently of each other. A machine with none of the faults that were taken into account is never right in
// these sums, nor one with a fault set that was too improbable to be followed. When no step reaches the confidence, the quote says
// which one is reached.
//
// The next repair is the one that leaves least unrepaired: largest expected share of the faults present that it cures. Another
// one joins it when doing it now takes no more minutes than coming back for it times the chance that it is needed. Prices have
// no say in this, so that dearer prices never make a total smaller. Within a step a strip-down that several repairs need is
// charged once, and so is a part that several of them fit at one place; a gasket that must be renewed once its joint was opened
// is charged for every opening. What an opening lies inside of on this machine is charged too, once for all that is inside.
//
// Money is exact decimal numbers of one currency of ISO 4217. Every line is rounded half up to the currency's smallest unit, totals are
// sums of lines, and tax is reckoned once on a total and rounded in the same way.
//
// The package decides on no words beyond the names of lines, reads no file and no clock, and knows nothing of customers.
package quote
