// Package plan chooses the next step in finding and repairing a fault, by expected cost: a test, a repair, or giving the job away.
package plan
