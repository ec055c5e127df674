package quote

import (
	_ "embed"

	"diagnose.example/rules"
)

//go:embed demo.yaml
var demoFile []byte

// DemoPrices returns invented prices for every part of the embedded knowledge, to show what a quote looks like. Whatever is
// printed from them must say so. Parts that k does not have are left out.
func DemoPrices(k *rules.Set) (*Prices, error) {
	own, err := rules.Default()
	if err != nil {
		return nil, err
	}
	p, err := ReadPrices("demo prices", demoFile, own)
	if err != nil {
		return nil, err
	}
	p.Kind = Demo
	for id := range p.Parts {
		if _, ok := k.Part(id); !ok {
			delete(p.Parts, id)
		}
	}
	return p, nil
}
