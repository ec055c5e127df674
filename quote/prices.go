package quote

import (
	"github.com/bojanz/currency"

	"diagnose.example/symptoms"
)

// Prices are what a shop charges, and what it prints on a quote besides.
type Prices struct {
	Shop Shop
	// Currency is a code of ISO 4217, such as EUR.
	Currency string
	// Locale says how amounts are written, such as en-GB or cs-CZ.
	Locale string
	// Rate is the price of an hour of labour.
	Rate currency.Amount
	// StepMinutes is what begun minutes of a line of labour are rounded up to a multiple of; 0 charges minutes as they are.
	StepMinutes int
	// DiagnosisMinutes is the time charged for finding the fault.
	DiagnosisMinutes float64
	// Minimum is the least that a job costs; zero for none.
	Minimum currency.Amount
	// Consumables is a flat amount for the likely repair; zero for none. ConsumablesPercent, when not empty, takes its place: a
	// percentage of the labour of every step.
	Consumables        currency.Amount
	ConsumablesPercent string
	Tax                Tax
	// ValidDays is how long the quote stands.
	ValidDays int
	// Access holds the minutes of a strip-down where the shop needs others than the knowledge says.
	Access map[string]float64
	// Parts holds the price of each part by its id.
	Parts map[string]currency.Amount
	// PartsFile names a CSV file with more prices of parts, as written; the caller reads it.
	PartsFile string
	// PartsFilePos is where it was written.
	PartsFilePos symptoms.Position
	// Kind tells invented prices from a shop's own.
	Kind PriceKind
}

// PriceKind says where prices come from.
type PriceKind uint8

// The kinds of prices.
const (
	OfShop PriceKind = iota
	Demo             // invented, to show what a quote looks like
)

// Shop is the head of a quote.
type Shop struct {
	Name    string
	Address []string // lines
	// Terms and Exclusions are sentences of the shop, printed as they are.
	Terms, Exclusions []string
}

// Tax is a tax on everything that is charged. The zero value is none.
type Tax struct {
	Name string
	// Percent is a decimal number; empty means no tax.
	Percent  string
	Included TaxMode
}

// TaxMode says whether prices have the tax in them.
type TaxMode uint8

// The tax modes.
const (
	OnTop    TaxMode = iota // prices are without tax
	InPrices                // prices have the tax in them
)

// Price returns the price of a part.
func (p *Prices) Price(part string) (currency.Amount, bool) {
	a, ok := p.Parts[part]
	return a, ok
}

// Format writes an amount as the shop's locale does, with the sign of the currency.
func (p *Prices) Format(a currency.Amount) string {
	return currency.NewFormatter(currency.NewLocale(p.Locale)).Format(a)
}

// Rounding says how amounts are rounded.
func (p *Prices) Rounding() string {
	unit := "smallest unit"
	if digits, ok := currency.GetDigits(p.Currency); ok && digits > 0 {
		if a, err := currency.NewAmountFromInt64(1, p.Currency); err == nil {
			unit = p.Format(a)
		}
	} else if ok {
		if a, err := currency.NewAmount("1", p.Currency); err == nil {
			unit = p.Format(a)
		}
	}
	return "Every line is rounded half up to " + unit + "; totals are sums of lines, and tax is reckoned once on each total."
}
