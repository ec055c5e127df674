// Package engine turns an intake sheet and the knowledge into a diagnosis.
//
// The knowledge (package rules) is written once for a machine, a carburetor or a cylinder. The engine instantiates it for
// the places of the machine on the sheet, evaluates each rule's conditions there (package condition), hands the network of
// causes, effects and findings with the evidence to the exact inference (package belief), and returns the posterior of
// every cause at every place, the reasons, the chain from cause to finding, stop notices, what was not asked, checks
// and repairs: all as data.
//
// It has no domain knowledge of its own: no name of a cause, no threshold, no likelihood stands in this package. It makes no
// texts for people beyond the short reasons in [Warning] and [Heard].
package engine
