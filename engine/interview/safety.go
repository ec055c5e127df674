package interview

import (
	"diagnose.example/engine"
	"diagnose.example/symptoms"
)

func is(id string, words ...string) symptoms.Said { return symptoms.Said{ID: id, Words: words} }

// precaution is a question on which a stop notice hangs, asked in a group where there is reason for it: after any of the answers in when, or
// always where there are none.
type precaution struct {
	id    string
	group Group
	when  []symptoms.Said
}

// safety lists them in the order in which they are asked. The throttle is tried before any start, whatever was said.
func safety() []precaution {
	return []precaution{
		{"leak_danger", LookOver, engine.LeakSigns()},
		{"fuel_in_oil", LookOver, append(engine.LeakSigns(), is("engine_locked", "yes"), is("tap_found_open", "yes"))},
		{"engine_locked", LookOver, []symptoms.Said{is("fuel_in_oil", "yes"), is("fuel_overflow", "pours", "drips"), is("parked_leak", "with-tap-shut", "with-tap-open")}},
		{"throttle_snaps_shut", Running, nil},
	}
}
