// Package belief computes exact posteriors on a layered noisy-OR network.
package belief
