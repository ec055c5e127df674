package interview

import (
	"slices"

	"diagnose.example/symptoms"
)

// said is an answer, anywhere on the machine. Words empty means any answer at all.
type said struct {
	id    string
	words []string
}

func is(id string, words ...string) said { return said{id, words} }

// sense says when questions are idle: after any of the answers in after, or until one of those in until was given. It is the
// common sense of a talk and no diagnosis: what has been said is not asked in other words.
type sense struct {
	ask          []string
	after, until []said
}

// senses is the whole table; a test holds its names to the vocabulary. What depends on the build, or on an answer that makes a
// finding mean nothing, stands in the packs as exists and given and is not repeated here.
func senses() []sense {
	silent := is("start_attempt", "no-fire", "fires-and-dies")
	onTheRoad := []said{is("stops_while_running", "yes"), is("fades_at_speed", "yes")}
	leak := leakSigns()
	return []sense{
		// It does not start: nobody can say how it idles or starts otherwise.
		{ask: []string{"idle_report", "idle_climbs_hot", "hard_to_start_cold", "hard_to_start_hot", "needs_choke_long", "choke_helps_warm"},
			after: []said{silent}},
		// It runs, somebody said: then it starts.
		{ask: []string{"start_attempt"}, after: []said{is("idle_report"), is("stumbles_off_idle"), is("fades_at_speed"), is("stops_while_running"),
			is("uses_more_fuel"), is("hard_to_start_cold", "no"), is("lacks_power"), is("black_smoke"), is("pops_on_overrun")}},
		{ask: []string{"cranked_long"}, until: []said{silent}},
		{ask: []string{"starts_with_throttle_open"}, after: []said{silent},
			until: []said{is("hard_to_start_cold", "yes"), is("hard_to_start_hot", "yes")}},
		{ask: []string{"started_without_choke", "needs_choke_long"}, after: []said{is("hard_to_start_cold", "no")}},
		{ask: []string{"starter_turns_slowly"}, after: []said{is("hard_to_start_cold", "no")}},
		// These begin "when it has faded or stopped".
		{ask: []string{"cap_open_helps", "runs_again_after_rest", "reserve_helps", "same_distance", "frost_on_body"}, until: onTheRoad},
		{ask: []string{"how_it_stops"}, until: []said{is("stops_while_running", "yes")}},
		{ask: []string{"tap_stood_shut"}, until: append([]said{silent}, onTheRoad...)},
		// One complaint in two wordings.
		{ask: []string{"lacks_power"}, after: []said{is("fades_at_speed", "yes"), is("stops_while_running", "yes"), silent}},
		{ask: []string{"misses"}, after: []said{is("fires_every_other_turn", "yes"), silent}},
		{ask: []string{"runs_badly"}, after: []said{is("idle_report", "dies", "uneven"), is("hard_to_start_cold", "yes"), is("hard_to_start_hot", "yes"),
			silent, is("stops_while_running", "yes"), is("fades_at_speed", "yes"), is("stumbles_off_idle", "yes"), is("misses", "yes"),
			is("lacks_power", "yes"), is("black_smoke", "yes"), is("uses_more_fuel", "yes"), is("parked_leak", "with-tap-shut", "with-tap-open")}},
		{ask: []string{"worst_at"}, after: []said{silent, is("fades_at_speed", "yes"), is("stumbles_off_idle", "yes"), is("idle_report", "dies")}},
		{ask: []string{"fuel_smell"}, after: []said{is("parked_leak", "with-tap-shut", "with-tap-open")}},
		{ask: []string{"spot_under_it"}, after: []said{is("parked_leak", "dry")}},
		{ask: []string{"leak_danger"}, until: leak},
		// It turns over on the starter, or runs.
		{ask: []string{"engine_locked"}, after: []said{is("start_attempt"), is("idle_report", "steady", "uneven", "dies")}},
		// With the last known answer these would only be asked twice.
		{ask: []string{"exhaust_header", "leads_order", "cylinder_cut_out"}, after: []said{is("cylinders", "1")}},
		{ask: []string{"slide_spring"}, after: []said{is("carburetors", "1")}},
		{ask: []string{"vacuum_hose"}, after: []said{is("tap_kind", "gravity")}},
		{ask: []string{"pump_delivers", "inlet_pressure"}, after: []said{is("tank_feed", "gravity")}},
		{ask: []string{"overflow_pipe_drips"}, after: []said{is("bowl_overflow_pipe", "no")}},
		{ask: []string{"points_flash"}, after: []said{is("ignition_kind", "electronic")}},
		{ask: []string{"diaphragm_look", "diaphragm_seat", "slide_falls", "slide_air_hole"}, after: []said{is("carburetor_kind", "slide", "butterfly")}},
		{ask: []string{"slide_cutaway"}, after: []said{is("carburetor_kind", "constant-velocity", "butterfly")}},
		{ask: []string{"pump_shot", "pump_diaphragm", "pump_valves", "pump_nozzle", "pump_stroke"}, after: []said{is("accelerator_pump", "no")}},
		{ask: []string{"air_cut_holds"}, after: []said{is("air_cut_valve", "no")}},
	}
}

// leakSigns are the answers after which somebody has to ask where the fuel goes.
func leakSigns() []said {
	return []said{is("parked_leak", "with-tap-shut", "with-tap-open"), is("fuel_smell", "yes"), is("fuel_overflow", "pours", "drips"),
		is("outside_wet", "bowl-joint", "drain-screw"), is("supply_wet", "yes"), is("spot_under_it", "yes"), is("smells_after_stop", "yes")}
}

// safety are the questions on which stop notices hang, in the order in which they are asked, each where there is reason for it. The
// throttle is tried before any start, whatever was said.
func safety() []struct {
	id    string
	group Group
	when  []said
} {
	return []struct {
		id    string
		group Group
		when  []said
	}{
		{"leak_danger", LookOver, leakSigns()},
		{"fuel_in_oil", LookOver, append(leakSigns(), is("engine_locked", "yes"), is("tap_found_open", "yes"))},
		{"engine_locked", LookOver, []said{is("fuel_in_oil", "yes"), is("fuel_overflow", "pours", "drips"), is("parked_leak", "with-tap-shut", "with-tap-open")}},
		{"throttle_snaps_shut", Running, nil},
	}
}

// sheetSays reports whether an answer was given: at any place, somewhere, or as a fact.
func sheetSays(sheet *symptoms.Sheet, s said) bool {
	fits := func(r symptoms.Reading) bool {
		if r.Observation.ID != s.id {
			return false
		}
		return len(s.words) == 0 || slices.ContainsFunc(s.words, func(w string) bool { return holds(r.Value, r.Observation, w) })
	}
	return slices.ContainsFunc(sheet.Readings, fits) || slices.ContainsFunc(sheet.Machine.Facts, fits)
}

// holds reports whether a value is a word, yes or no, or a number written so.
func holds(v symptoms.Value, o *symptoms.Observation, word string) bool {
	switch o.Kind {
	case symptoms.YesNo:
		return v.Yes == (word == "yes")
	case symptoms.Choice:
		return slices.Contains(v.Words, word)
	}
	return v.Text == word
}

// idle reports whether a question need not be asked after what the sheet says.
func idle(sheet *symptoms.Sheet, id string) bool {
	given := func(s said) bool { return sheetSays(sheet, s) }
	for _, s := range senses() {
		if slices.Contains(s.ask, id) && (slices.ContainsFunc(s.after, given) || len(s.until) > 0 && !slices.ContainsFunc(s.until, given)) {
			return true
		}
	}
	return false
}
