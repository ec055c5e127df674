package simulate

// Machines returns the machines that the measurements are made on: a single, a parallel twin with a carburetor for each
// cylinder, and a small two-stroke. Their construction and book figures are told, so that every reading has something to be
// compared with; they are invented.
func Machines() []Machine {
	return []Machine{
		{Name: "single", Text: single},
		{Name: "twin", Text: twin},
		{Name: "two-stroke", Text: twoStroke},
	}
}

// plainSlide is one cylinder under one plain slide carburetor, as both singles have it.
const plainSlide = `  cylinders: 1
  carburetors: 1
  carburetor_kind: slide
  tap_kind: gravity
  tank_feed: gravity
  bowl_overflow_pipe: yes
  float_seat: screwed
  emulsion_tube: screwed
  main_tube_tapered: no
  idle_passage_plug: no
  bowls_reached: yes
  mixture_screw_kind: air
  accelerator_pump: no
  air_cut_valve: no
`

const single = `sheet: 1
machine:
  name: "single, 250 cm3"
  strokes: 4
` + plainSlide + `  ignition_kind: points
  spec.float_height: 22 mm
  spec.fuel_level: -3 mm
  spec.idle_jet: 25
  spec.main_jet: 110
  spec.mixture_screw_turns: 1.5 turns
  spec.idle_speed: 1200 rpm
  spec.inlet_clearance: 0.08 mm
  spec.exhaust_clearance: 0.10 mm
`

const twin = `sheet: 1
machine:
  name: "parallel twin, 360 cm3"
  strokes: 4
  cylinders: 2
  carburetors: [left, right]
  carburetor_kind: constant-velocity
  tap_kind: vacuum
  tank_feed: gravity
  bowl_overflow_pipe: yes
  float_seat: pressed-in
  emulsion_tube: screwed
  main_tube_tapered: yes
  idle_passage_plug: yes
  bowls_reached: yes
  carburetors_separate: yes
  mixture_screw_kind: fuel
  accelerator_pump: no
  air_cut_valve: yes
  ignition_kind: electronic
  spec.float_height: 18.5 mm
  spec.fuel_level: -4 mm
  spec.idle_jet: 35
  spec.main_jet: 105
  spec.mixture_screw_turns: 2 turns
  spec.idle_speed: 1200 rpm
  spec.inlet_clearance: 0.05 mm
  spec.exhaust_clearance: 0.08 mm
`

const twoStroke = `sheet: 1
machine:
  name: "two-stroke single, 125 cm3"
  strokes: 2
` + plainSlide + `  ignition_kind: electronic
  spec.float_height: 21 mm
  spec.fuel_level: -3 mm
  spec.idle_jet: 30
  spec.main_jet: 140
  spec.mixture_screw_turns: 1.5 turns
  spec.idle_speed: 1300 rpm
`
