package quote

import (
	"fmt"
	"strconv"

	"github.com/bojanz/currency"
)

// till reckons in one currency. The first thing that goes wrong is kept, and what follows is of no account then: a caller looks
// at err once, at the end.
type till struct {
	code string
	err  error
}

func (t *till) keep(a currency.Amount, err error) currency.Amount {
	if err != nil && t.err == nil {
		t.err = fmt.Errorf("reckoning in %s: %w", t.code, err)
	}
	return a
}

// zero is no money.
func (t *till) zero() currency.Amount { return t.keep(currency.NewAmount("0", t.code)) }

func (t *till) add(a, b currency.Amount) currency.Amount { return t.keep(a.Add(b)) }
func (t *till) sub(a, b currency.Amount) currency.Amount { return t.keep(a.Sub(b)) }

// times multiplies without rounding.
func (t *till) times(a currency.Amount, n float64) currency.Amount {
	return t.keep(a.Mul(strconv.FormatFloat(n, 'f', -1, 64)))
}

// percent takes a percentage, written as a decimal number, without rounding.
func (t *till) percent(a currency.Amount, p string) currency.Amount {
	return t.keep(t.keep(a.Mul(p)).Div("100"))
}

// labour is the price of minutes at a rate for the hour, rounded.
func (t *till) labour(rate currency.Amount, minutes float64) currency.Amount {
	return t.keep(t.times(rate, minutes).Div("60")).Round()
}

// less reports whether a is less than b.
func (t *till) less(a, b currency.Amount) bool {
	n, err := a.Cmp(b)
	t.keep(a, err)
	return n < 0
}

// Total is an amount of money with its tax.
type Total struct {
	Net, Tax, Gross currency.Amount
}

// total adds the tax to a sum of lines, or takes it out when the prices have it in them: gross * p / (100 + p).
func (t *till) total(sum currency.Amount, tax Tax) Total {
	switch {
	case tax.Percent == "":
		return Total{sum, t.zero(), sum}
	case tax.Included == InPrices:
		hundred := t.keep(currency.NewAmount("100", t.code))
		whole := t.keep(hundred.Add(t.keep(currency.NewAmount(tax.Percent, t.code))))
		part := t.keep(t.keep(sum.Mul(tax.Percent)).Div(whole.Number())).Round()
		return Total{t.sub(sum, part), part, sum}
	}
	part := t.percent(sum, tax.Percent).Round()
	return Total{sum, part, t.add(sum, part)}
}
