package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
)

// topics are the pages of help that belong to no single command.
func topics() []*cobra.Command {
	return []*cobra.Command{
		{Use: "sheet", Short: "how to write an intake sheet", Long: sheetTopic},
		{Use: "prices", Short: "how to write a shop's prices", Long: pricesTopic},
		{Use: "configuration", Short: "what can be configured, and where", Long: configurationTopic()},
		{Use: "exit-status", Short: "what the exit status says", Long: exitTopic},
	}
}

const sheetTopic = `An intake sheet is a YAML file (or the same as JSON). Only the first line must
be there; leave out whatever nobody looked at, silence is never taken for "no".

  sheet: 1
  job: "1042"
  machine:
    name: parallel twin, 360 cm3
    strokes: 4
    cylinders: 2
    carburetors: [left, right]
  history: [after-storage]
  observed:                  # about the whole machine
    <observation>: yes
  every:                     # looked at every carburetor, the same at each
    <observation>: no
  somewhere:                 # at one of them at least, not known which
    <observation>: yes
  at:
    left:                    # at this carburetor, or at this cylinder
      <observation>: 22.5 mm
  tried:                     # done already, and how the bike was after it
    - {did: <repair or check>, at: left, after: no-change}
  notes: |
    Kept and printed, never evaluated.

An answer is yes or no, one of the observation's words, a list of words where
several hold at once, or a number with its unit: 22.5 mm, 22,5 mm, 7/8 in,
1 1/2 turns, 22 ± 1 mm, 20 to 23 mm, < 200 ml/min. A number without a unit has
the observation's own. Words that are right although YAML has other ideas are
best put in quotes, as is a job number.

  diagnose blank --cylinders 2 --carburetors left,right     a sheet to fill in
  diagnose observations                                     all questions
  diagnose repairs                                          what can be tried`

const pricesTopic = `A price file is YAML. Only the first line, currency and labour must be there.

  prices: 1
  shop:
    name: Workshop on the hill
    address: ["Hill Street 3", "Springfield"]
    terms: ["Payment on collection."]
    exclusions: ["Fuel."]          # not offered, besides what the quote says
  currency: EUR                    # a code of ISO 4217
  locale: de-DE                    # how amounts are written; en without it
  labour: {rate: 62.00, step: 6}   # an hour; charged by each 6 minutes begun
  diagnosis: 30                    # minutes to find the fault
  minimum: 45.00                   # the least that a job costs
  consumables: 4 %                 # of the labour, or an amount for the job
  tax: {name: VAT, percent: 20, included: no}
  valid: 30                        # days for which the quote stands
  access: {bowl-off: 15}           # minutes of a strip-down, where yours differ
  parts_file: parts.csv            # looked for beside this file
  parts:
    bowl-gasket: 4.50

Parts are named by their id; the repairs that need them list them:

  diagnose explain renew-float-valve

A CSV file has the columns part and price, and a first line that says so:

  part,price
  float-valve-kit,18.50

Amounts are decimal numbers with a point. A part without a price is no mistake:
the quote says which price is missing and that its totals are incomplete.
Without any price file invented prices are used, and every page says so.`

const exitTopic = `  0  done
  1  an error: a sheet or pack that cannot be read, an impossible combination;
     with several sheets the others have been done
  2  wrong use of the command line
  3  lint has findings; the knowledge can be used

Errors go to standard error, results to standard output. A run that succeeds
writes nothing to standard error.`

func configurationTopic() string {
	var b strings.Builder
	b.WriteString(`A setting comes from the first of these that gives it:

  1. the flag on the command line                        --width 100
  2. the environment variable                            DIAGNOSE_WIDTH=100
  3. the configuration file                              width: 100
  4. the default

The configuration file is diagnose/config.yaml in the user's configuration
folder ($XDG_CONFIG_HOME, or else ~/.config, on Linux). It need not be there.
--config FILE or DIAGNOSE_CONFIG names another one, which must be there. A key
that is no setting is an error.

`)
	for _, s := range settingTable() {
		fmt.Fprintf(&b, "  %-8s  %s\n            %s; default %s\n", s.key, s.about, s.values, shown(s.fallback))
	}
	b.WriteString(`
format, top and details are for triage; the other commands have flags of their
own. Packs and prices named in the file are looked for beside it; DIAGNOSE_PACK
is a list as in PATH. NO_COLOR, set to anything, is honoured where colour is
auto.
COLUMNS and LINES stand in where the terminal does not tell its size.

An example, with every setting:

  pack: [our-shop.yaml]
  colour: never
  width: 100
  format: markdown
  top: 8
  details: true
  units: [in, psi]
  prices: our-prices.yaml
  paper: letter`)
	return b.String()
}

func shown(value any) string {
	if v, ok := value.([]string); ok && len(v) == 0 {
		return "none"
	}
	return fmt.Sprint(value)
}
