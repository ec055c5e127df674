// Command diagnose finds what is wrong with the fuel system of a carbureted motorcycle.
//
// It reads an intake sheet, on which a workshop wrote what the machine does and what was seen and measured on it, and ranks
// what may be wrong: each cause at each carburetor with its exact probability, what speaks for and against it, which check is
// worth doing next and why, and how to put it right. Every claim names its source.
//
// It decides nothing for the workshop: it never takes silence for an answer, it says when the sheet cannot separate two
// causes, and it prints cautions beside the step they belong to. Local codes and licensed practice come first.
//
// # From a sheet to a ranking
//
// A blank sheet has the commonest questions as comments. Fill in what is known and leave the rest alone:
//
//	$ diagnose blank --cylinders 2 --carburetors left,right | head -4
//	# Intake sheet. Leave empty what nobody looked at. Numbers with unit: 22.5 mm, 7/8 in,
//	# 22 ± 1 mm, 20 to 23 mm, "< 30 mm". Local codes and licensed practice come first.
//	sheet: 1
//	job:
//
// Or be asked: interview fills in a sheet question by question, the most useful one first, and goes on where it was cut off.
//
// Triage ranks. The first screen holds any stop notice, the likeliest causes, the next check and what was not asked; all the
// rest stands behind --details:
//
//	$ diagnose triage testdata/sheets/one-side-floods.yaml | head -5
//	STOP: Tap shut, doors open, no flame, no switch: fuel leaks in a closed room
//	  Shut the tap, open doors wide, put out flames, heaters and pilot lights from
//	  outside the room, leave switches alone. Push the machine outdoors; drain it
//	  there into approved cans.
//	  ! Caution: Above a cellar or pit vapour gathers below. Nobody sleeps over it.
//
// Several sheets, folders, and standard input (-) are taken one after the other. One that cannot be read does not hold up
// the others, and the exit status tells. With --format json one sheet gives an object, several or a folder give an array:
//
//	$ diagnose triage testdata/sheets/one-side-floods.yaml --format json | head -5
//	{
//	  "sheet": "testdata/sheets/one-side-floods.yaml",
//	  "job": "1042",
//	  "stop": [
//	    {
//
// A mistake in a sheet is shown where it stands, with what to write instead, and all mistakes are shown at once:
//
//	$ printf 'sheet: 1\nmachine: {strokes: 5}\n' | diagnose triage -
//	diagnose: -:2:20: strokes: "5" is out of the plausible range, from 2 to 4
//	diagnose:     machine: {strokes: 5}
//	diagnose:                        ^
//	diagnose: hint: write 2 or 4
//
// Next weighs what can be done, checks, swaps of parts from side to side and repairs, by the time that the whole job is expected to take
// with it first, and says what each outcome would mean. The outcome goes on the sheet, and next is asked again; --tree 3 tells the steps
// after it:
//
//	$ diagnose next testdata/sheets/one-side-floods.yaml --tree 2 | sed -n '10,14p'
//	           ######## Try the float-valve seat with the fingers (left, 4 minutes)
//	      80 % ######..   If the float-valve seat can be lifted or turned with its
//	                      clip in place: Fit the clip so that it presses the seat
//	                      down (left, 35 minutes)
//	      76 % ######..     If it cures something: done
//
// # Numbers at the bench
//
// reckon works out what a measurement means, with its uncertainty, the formula with the numbers put in, and its source. Where the
// model was not checked it does not answer:
//
//	$ diagnose reckon jet-change --from 110 --to 115 | head -3
//	What another jet does, or which jet is wanted
//	=============================================
//	- Fuel through the jet: 9.3 % more
//	$ diagnose reckon weather --altitude '12 km'
//	diagnose: weather: standard atmosphere: altitude 12000 m is outside -5000 m to 11000 m, where it has been checked
//	diagnose: hint: the model does not answer there; check --altitude and --set-altitude
//
// --format svg draws the result; with float-level and float-valve that is the float bowl cut through, to scale.
//
// # A quote
//
// quote turns a sheet and the shop's prices into an offer, as text, Markdown, JSON or pages to print and sign. How to write prices says
// diagnose help prices; without any they are invented, and every page says so. The fields of the JSON are described with function
// QuoteJSON of package report.
//
//	$ diagnose quote testdata/sheets/leaking-float.yaml | grep '^We propose'
//	We propose this work: renew the float (right).
//
// # The knowledge
//
// Everything the program knows can be asked for. explain takes the id of a cause, effect, rule, observation, check, repair or
// source and shows the record with its sources:
//
//	$ diagnose explain float-leaks | head -5
//	The float has fuel in it
//	========================
//	- Kind: cause
//	- Id: float-leaks
//	- About: carburetor
//
// observations, causes, repairs and sources list the records, as a table or as JSON; filters narrow the list:
//
//	$ diagnose causes --system float | head -5
//	Causes
//	======
//	Id                         Cause                     About       System  Share
//	--------------------------------------------------------------------------------
//	float-valve-dirty          Dirt holds the float      carburetor  float    1 in
//
// A shop's own packs are read with --pack after the built-in ones. lint checks a pack before anyone relies on it:
//
//	$ diagnose lint | head -1
//	sheet        carburetors open width budget table entries
//
// # Configuration
//
// Flags, environment variables beginning with DIAGNOSE_, and a configuration file set the same things, the first one given
// wins:
//
//	$ diagnose help configuration | sed -n 3,6p
//	  1. the flag on the command line                        --width 100
//	  2. the environment variable                            DIAGNOSE_WIDTH=100
//	  3. the configuration file                              width: 100
//	  4. the default
//
// # Exit status
//
//	$ diagnose help exit-status | head -5
//	  0  done
//	  1  an error: a sheet or pack that cannot be read, an impossible combination;
//	     with several sheets the others have been done
//	  2  wrong use of the command line
//	  3  lint has findings; the knowledge can be used
//
// Errors go to standard error, results to standard output, and a run that succeeds writes nothing to standard error.
package main
