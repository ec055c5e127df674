// Package simulate draws bikes from the network of the knowledge, faults included, and answers questions about them.
//
// A [Model] is a rule set instantiated for one machine, in a second and independent way: package engine does the same for
// inference, and comparing the two is one use of this package. [Model.Draw] draws the causes by their priors, the effects and
// findings by the noisy-OR of their parents, and keeps every single chance that it threw: one for each prior, leak and link. So
// a repair takes away exactly what its causes alone produced, and all the rest stays as it was ([Bike.Apply]).
//
// A [Bike] answers a question ([Bike.Answer]) as a person would who looks without a mistake: the first word in masking order
// that shows; for a number a reading with its error and, now and then, a blunder. Where a rule's circumstance does not hold there
// is no answer. [Bike.Sheet] writes chosen answers as an intake sheet, and what to tell can be chosen like a rider does, or by
// lot. Everything is a function of the seed.
//
// What is measured with such bikes is the consistency of the program: that decoding, hearing and inference invert the drawing,
// and what the shape of the network allows. It says nothing about whether the knowledge is true of real bikes. For that there
// is the perturbed [Network]: bikes drawn from other numbers than those the diagnosis works with.
//
// It does no inference and does not know what is likely. A simulated person makes none of the mistakes that the knowledge does
// not speak of: nothing is misunderstood, and no wrong word is chosen.
package simulate
