package engine

import (
	"slices"
	"sync"

	"diagnose.example/symptoms"
)

func is(id string, words ...string) symptoms.Said { return symptoms.Said{ID: id, Words: words} }

// sense says when questions are idle: after any of the answers in after, or until one of those in until was given; running stands for
// anything that was observed on the running engine. It is the common sense of a talk and no diagnosis: what has been said is not asked in
// other words.
type sense struct {
	ask          []string
	after, until []symptoms.Said
	running      bool
}

// senses is the whole table; a test holds its names to the vocabulary. What depends on the build, or on an answer that makes a
// finding mean nothing, stands in the packs as exists and given and is not repeated here.
func senses() []sense {
	silent := is("start_attempt", "no-fire", "fires-and-dies")
	onTheRoad := []symptoms.Said{is("stops_while_running", "yes"), is("fades_at_speed", "yes")}
	leak := LeakSigns()
	return []sense{
		// It does not start: nobody can say how it idles or starts otherwise.
		{ask: []string{"idle_report", "idle_climbs_hot", "hard_to_start_cold", "hard_to_start_hot", "needs_choke_long", "choke_helps_warm"},
			after: []symptoms.Said{silent}},
		// It runs, somebody said: then it starts.
		{ask: []string{"start_attempt"}, after: []symptoms.Said{is("idle_report"), is("stumbles_off_idle"), is("fades_at_speed"), is("stops_while_running"),
			is("uses_more_fuel"), is("hard_to_start_cold", "no"), is("lacks_power"), is("black_smoke"), is("pops_on_overrun")}, running: true},
		{ask: []string{"cranked_long"}, until: []symptoms.Said{silent}},
		{ask: []string{"starts_with_throttle_open"}, after: []symptoms.Said{silent},
			until: []symptoms.Said{is("hard_to_start_cold", "yes"), is("hard_to_start_hot", "yes")}},
		{ask: []string{"started_without_choke", "needs_choke_long"}, after: []symptoms.Said{is("hard_to_start_cold", "no")}},
		{ask: []string{"starter_turns_slowly"}, after: []symptoms.Said{is("hard_to_start_cold", "no")}},
		// These begin "when it has faded or stopped".
		{ask: []string{"cap_open_helps", "runs_again_after_rest", "reserve_helps", "same_distance", "frost_on_body"}, until: onTheRoad},
		{ask: []string{"how_it_stops"}, until: []symptoms.Said{is("stops_while_running", "yes")}},
		{ask: []string{"tap_stood_shut"}, until: append([]symptoms.Said{silent}, onTheRoad...)},
		// One complaint in two wordings.
		{ask: []string{"lacks_power"}, after: []symptoms.Said{is("fades_at_speed", "yes"), is("stops_while_running", "yes"), silent}},
		{ask: []string{"misses"}, after: []symptoms.Said{is("fires_every_other_turn", "yes"), silent}},
		{ask: []string{"runs_badly"}, after: []symptoms.Said{is("idle_report", "dies", "uneven"), is("hard_to_start_cold", "yes"), is("hard_to_start_hot", "yes"),
			silent, is("stops_while_running", "yes"), is("fades_at_speed", "yes"), is("stumbles_off_idle", "yes"), is("misses", "yes"),
			is("lacks_power", "yes"), is("black_smoke", "yes"), is("uses_more_fuel", "yes"), is("parked_leak", "with-tap-shut", "with-tap-open")}},
		{ask: []string{"worst_at"}, after: []symptoms.Said{silent, is("fades_at_speed", "yes"), is("stumbles_off_idle", "yes"), is("idle_report", "dies")}},
		{ask: []string{"fuel_smell"}, after: []symptoms.Said{is("parked_leak", "with-tap-shut", "with-tap-open")}},
		{ask: []string{"spot_under_it"}, after: []symptoms.Said{is("parked_leak", "dry")}},
		{ask: []string{"leak_danger"}, until: leak},
		// It turns over on the starter, or runs.
		{ask: []string{"engine_locked"}, after: []symptoms.Said{is("start_attempt"), is("idle_report", "steady", "uneven", "dies")}},
		// With the last known answer these would only be asked twice.
		{ask: []string{"exhaust_header", "leads_order", "cylinder_cut_out"}, after: []symptoms.Said{is("cylinders", "1")}},
		{ask: []string{"slide_spring"}, after: []symptoms.Said{is("carburetors", "1")}},
		{ask: []string{"vacuum_hose"}, after: []symptoms.Said{is("tap_kind", "gravity")}},
		{ask: []string{"pump_delivers", "inlet_pressure"}, after: []symptoms.Said{is("tank_feed", "gravity")}},
		{ask: []string{"overflow_pipe_drips"}, after: []symptoms.Said{is("bowl_overflow_pipe", "no")}},
		{ask: []string{"points_flash"}, after: []symptoms.Said{is("ignition_kind", "electronic")}},
		{ask: []string{"diaphragm_look", "diaphragm_seat", "slide_falls", "slide_air_hole"}, after: []symptoms.Said{is("carburetor_kind", "slide", "butterfly")}},
		{ask: []string{"slide_cutaway"}, after: []symptoms.Said{is("carburetor_kind", "constant-velocity", "butterfly")}},
		{ask: []string{"pump_shot", "pump_diaphragm", "pump_valves", "pump_nozzle", "pump_stroke"}, after: []symptoms.Said{is("accelerator_pump", "no")}},
		{ask: []string{"air_cut_holds"}, after: []symptoms.Said{is("air_cut_valve", "no")}},
	}
}

// LeakSigns are the answers after which somebody has to ask where the fuel goes.
func LeakSigns() []symptoms.Said {
	return []symptoms.Said{is("parked_leak", "with-tap-shut", "with-tap-open"), is("fuel_smell", "yes"), is("fuel_overflow", "pours", "drips"),
		is("outside_wet", "bowl-joint", "drain-screw"), is("supply_wet", "yes"), is("spot_under_it", "yes"), is("smells_after_stop", "yes")}
}

// sensesOf lists the entries by what they are about.
var sensesOf = sync.OnceValue(func() map[string][]sense {
	out := map[string][]sense{}
	for _, s := range senses() {
		for _, id := range s.ask {
			out[id] = append(out[id], s)
		}
	}
	return out
})

// Idle reports whether an observation need not be asked for after what the sheet says.
func Idle(sheet *symptoms.Sheet, id string) bool {
	for _, s := range sensesOf()[id] {
		if slices.ContainsFunc(s.after, sheet.Says) || s.running && ranSince(sheet) ||
			len(s.until) > 0 && !slices.ContainsFunc(s.until, sheet.Says) {
			return true
		}
	}
	return false
}

// ranSince reports whether something was observed on the running engine.
func ranSince(sheet *symptoms.Sheet) bool {
	return slices.ContainsFunc(sheet.Readings, func(r symptoms.Reading) bool { return r.Observation.Who == symptoms.Running })
}
