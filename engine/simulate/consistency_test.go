package simulate_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"diagnose.example/engine/simulate"
	"diagnose.example/symptoms"
)

func waysOfTelling() []way {
	return []way{
		{"everything", true, true, longTwin, func(b *simulate.Bike) []simulate.Told { return b.Tell() }},
		{"thirty questions by lot", true, false, never, func(b *simulate.Bike) []simulate.Told { return b.ByLot(30) }},
		{"ten questions by lot", true, false, never, func(b *simulate.Bike) []simulate.Told { return b.ByLot(10) }},
		{"all that the rider knows; bikes that complain", true, true, quiet,
			func(b *simulate.Bike) []simulate.Told { return b.Tell(symptoms.Rider) }},
		{"rider, 3 to 5 answers; bikes that complain", false, false, quiet, (*simulate.Bike).Rider},
		{"rider and look-over; bikes that complain", false, false, quiet, (*simulate.Bike).LookOver},
	}
}

// longTwin leaves out most twins, on which everything answered takes a hundred times as long.
func longTwin(_ *simulate.Bike, i, m int) bool { return m == 1 && i%160 != 9 }

// TestSelfConsistency draws bikes from the network of the knowledge and diagnoses them from the text of their sheets. As long as
// what is told does not depend on what is not, the probabilities must be right: among causes given 30 %, 30 % are
// present. It proves drawing, writing, decoding, hearing and inference against each other, and the shape of the network; it says nothing
// about real bikes.
//
// For each bin, and for the squared error, the difference from what was foretold is a sum over independent bikes with mean
// zero. Divided by the root of the sum of its squares it is nearly normal; five is reached by chance once in two million times.
func TestSelfConsistency(t *testing.T) {
	set := knowledge(t)
	ways := waysOfTelling()
	sum, err := measure(set, models(t, set, simulate.Network{}), bikes(t, 200), 0, ways)
	if err != nil {
		t.Fatal(err)
	}
	const most, fewest = 5, 10 // the latter: variance of a bin, below which the excess is not nearly normal
	table := "\n| told | bikes | Brier | log score | first | first three |\n|---|---|---|---|---|---|\n"
	for k, w := range ways {
		s, prior := sum.told[k], sum.prior[k]
		table += fmt.Sprintf("| %s | %s |\n", w.name, s.row())
		if w.blind && (s.log >= prior.log || s.brier >= prior.brier) {
			t.Errorf("%s: log score %.1f, Brier %.1f; want less than with priors alone, %.1f and %.1f", w.name, s.log, s.brier, prior.log, prior.brier)
		}
		if !w.blind {
			continue
		}
		if z := (s.brier - s.expected) / math.Sqrt(s.spread); math.Abs(z) > most {
			t.Errorf("%s: the squared error is %.1f standard deviations from what was foretold; want %d at most", w.name, z, most)
		}
		for i, b := range s.bins {
			if z := b.deviations(); b.apart >= fewest && math.Abs(z) > most {
				t.Errorf("%s: bin %d: %d present, %.1f foretold: %.1f standard deviations; want %d at most", w.name, i, b.present, b.foretold, z, most)
			}
		}
		if k == 0 && s.bins[numBins-1].foretold < 5 {
			t.Errorf("%s: causes in the last bin = %.1f; want 5 at least, or the test shows little", w.name, s.bins[numBins-1].foretold)
		}
	}
	t.Logf("Self-consistency, not accuracy on real bikes.\n%s\n%s:%s\n%s:%s", table, ways[0].name, sum.told[0].reliability(),
		ways[4].name, sum.told[4].reliability())
}

// TestPerturbedNetworks draws bikes from ten networks in each of which every prior, leak and link is off by a factor of up to 3 in
// odds, and diagnoses them with the knowledge as it is. Nothing here must come out exactly; the numbers are reported. Only where much is
// told, and without regard to the answers, are they bounded, by those of somebody who looks at nothing: from the few complaints
// of a rider, overstated as they are, one may be worse off.
func TestPerturbedNetworks(t *testing.T) {
	set := knowledge(t)
	ways := waysOfTelling()
	const networks, factor = 10, 3
	n := max(1, bikes(t, 200)/4/networks)
	total := &result{}
	var rows strings.Builder
	for i := range networks {
		network := simulate.Network{Factor: factor, Seed: uint64(i + 1)}
		sum, err := measure(set, models(t, set, network), n, 1_000_000+i*n, ways)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&rows, "| %d | %s |\n", i+1, sum.told[5].row())
		for k := range ways {
			if i == 0 {
				total.told, total.prior = append(total.told, &scores{}), append(total.prior, &scores{})
			}
			total.told[k].add(sum.told[k])
			total.prior[k].add(sum.prior[k])
		}
	}
	table := "\n| told | bikes | Brier | log score | first | first three |\n|---|---|---|---|---|---|\n"
	for k, w := range ways {
		s, prior := total.told[k], total.prior[k]
		table += fmt.Sprintf("| %s | %s |\n", w.name, s.row())
		if w.telling && (s.log >= prior.log || s.brier >= prior.brier) {
			t.Errorf("%s: log score %.1f, Brier %.1f; want less than with priors alone, %.1f and %.1f", w.name, s.log, s.brier, prior.log, prior.brier)
		}
	}
	t.Logf("Ten perturbed networks.\n%s\nby network, %s:\n%s\n%s:%s\n%s:%s", table, ways[5].name, rows.String(), ways[0].name,
		total.told[0].reliability(), ways[3].name, total.told[3].reliability())
}
