package rules_test

import (
	"fmt"
	"log"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

const vocabulary = `
vocabulary: 1
observations:
  - id: after-rebuild
    question: "Did the trouble begin after work on the carburetors?"
    where: history
  - id: fuel_overflow
    question: "Does fuel run out of the overflow pipe?"
    where: observed
    about: carburetor
    kind: yes-no
    normal: "no"
    who: look-over
`

const pack = `
pack: example
text: One cause, one effect, one rule.
causes:
  - id: float-valve-dirty
    title: Dirt holds the float valve open
    text: A grain of dirt lies between needle and seat.
    about: carburetor
    system: float
    prior: {base: 1 in 50, after-rebuild: x6}
    makes: {fuel-runs-over: usually}
    cites: [{source: common-practice, for: dirt comes first}]
effects:
  - id: fuel-runs-over
    title: Fuel runs over
    about: carburetor
    otherwise: 1 in 500
    cites: [{source: common-practice, for: it goes where it can}]
rules:
  - id: fuel-at-the-overflow
    title: Fuel runs from the overflow pipe
    about: carburetor
    when: fuel_overflow
    seen_with: {fuel-runs-over: almost always}
    otherwise: seldom
    why: The pipe ends at the rim.
    cites: [{source: common-practice, for: what the pipe is for}]
    fires: [{fuel_overflow: yes}]
    silent: [{fuel_overflow: no}]
`

// A pack is loaded over a vocabulary, and says what it holds in sentences.
func ExampleLoad() {
	v, err := symptoms.ParseVocabulary("vocabulary.yaml", []byte(vocabulary))
	if err != nil {
		log.Fatal(err)
	}
	set, err := rules.Load(v, []rules.File{{Name: "example.yaml", Data: []byte(pack)}})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(set.PriorSentence(set.Causes[0]))
	fmt.Println(set.Sentence("float-valve-dirty", set.Causes[0].Makes[0]))
	fmt.Println(set.RuleSentence(set.Rules[0]))
	// Output:
	// present in about 1 in 50 carburetors of bikes that come in; 6 times likelier after rebuild
	// when dirt holds the float valve open, usually fuel runs over (0.85)
	// when fuel runs over, this is seen almost always (0.95); with nothing wrong, seldom (0.15)
}

// Every mistake is reported at once, where it stands.
func ExampleLoad_mistakes() {
	v, err := symptoms.ParseVocabulary("vocabulary.yaml", []byte(vocabulary))
	if err != nil {
		log.Fatal(err)
	}
	_, err = rules.Load(v, []rules.File{{Name: "shop.yaml", Data: []byte(`
pack: shop
text: Two slips.
rules:
  - id: overflow-wet
    title: The overflow is wet
    about: carburetor
    when: fuel_overfow
    seen_with: {fuel-runs-over: ofen}
    otherwise: seldom
    why: Our own experience.
    cites: [{source: common-practice, for: experience}]
`)}})
	fmt.Println(err)
	// Output:
	// shop.yaml:8:11: overflow-wet: unknown name "fuel_overfow"; write fuel_overflow
	// shop.yaml:9:17: overflow-wet: unknown effect or cause "fuel-runs-over"; write the id of an effect or cause that is there, or add one
	// shop.yaml:9:33: overflow-wet: unknown likelihood "ofen"; write "often" or 1 in N
}

// History multiplies the odds of a cause, and never takes it past one half.
func ExamplePrior_With() {
	p := rules.Prior{Base: 0.02, Odds: []rules.HistoryFactor{{History: "after-rebuild", Factor: 6}}}
	fmt.Printf("%.3f %.3f\n", p.With(nil), p.With([]string{"after-rebuild"}))
	// Output: 0.020 0.109
}

func ExampleParseLikelihood() {
	for _, word := range []string{"almost always", "seldom", "1 in 500"} {
		p, err := rules.ParseLikelihood(word)
		fmt.Println(word, p, err)
	}
	// Output:
	// almost always 0.95 <nil>
	// seldom 0.15 <nil>
	// 1 in 500 0.002 <nil>
}
