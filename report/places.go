package report

import (
	"strings"

	"diagnose.example/engine"
)

// placeList says where a cause is likely, in at most room columns: "left 86 %, right 3 %"; for many places the likeliest
// ones and a bound for the others; "" when the machine has one such place only.
func (v *view) placeList(r *engine.Ranked, room int) string {
	if len(r.Places) == 0 || r.Places[0].Place.Name == "" || v.single(r.Places[0].Place.Level) {
		return ""
	}
	if s := sameEverywhere(r.Places); s != "" {
		return s
	}
	for n := alike(r.Places); n > 1; n-- {
		if s := firstPlaces(r.Places, n); width(s) <= room {
			return s
		}
	}
	return firstPlaces(r.Places, 1)
}

// likeliestPlace is the shortest form of a place list.
func (v *view) likeliestPlace(r *engine.Ranked) string {
	if v.placeList(r, 0) == "" {
		return ""
	}
	return firstPlaces(r.Places[:1], 1)
}

// likelyPlaces counts the places at which a cause is likely enough to be looked for there too.
func likelyPlaces(places []*engine.Cause) int {
	const likely = 0.1
	n := 0
	for n < len(places) && places[n].Probability >= likely {
		n++
	}
	return n
}

// sameEverywhere says "carburetors 12 % each" of several places with one figure.
func sameEverywhere(places []*engine.Cause) string {
	if len(places) < 2 {
		return ""
	}
	for _, c := range places[1:] {
		if percent(c.Probability) != percent(places[0].Probability) {
			return ""
		}
	}
	return places[0].Place.Level.String() + "s " + percent(places[0].Probability) + " each"
}

// alike returns how many places to list at most: places of one and the same figure at the end go together.
func alike(places []*engine.Cause) int {
	n := len(places)
	for n > 1 && percent(places[n-2].Probability) == percent(places[len(places)-1].Probability) {
		n--
	}
	if len(places)-n < 1 {
		return len(places)
	}
	return n - 1
}

// firstPlaces lists the first n places. Names that are numbers share one word before them.
func firstPlaces(places []*engine.Cause, n int) string {
	var parts []string
	numbered := ""
	for _, c := range places[:n] {
		name := oneLine(c.Place.Name)
		if where(c.Place) != name {
			numbered = c.Place.Level.String() + nbsp
			name += ":"
		}
		parts = append(parts, strings.ReplaceAll(name, " ", nbsp)+nbsp+percent(c.Probability))
	}
	if n < len(places) {
		parts = append(parts, others(places[n:]))
	}
	return numbered + strings.Join(parts, ", ")
}

// others says the figure of the places that are not listed, or a bound for it; they come likeliest first.
func others(places []*engine.Cause) string {
	p := percent(places[0].Probability)
	switch {
	case len(places) == 1:
		return "the other " + p
	case p == percent(places[len(places)-1].Probability):
		return "others " + p
	}
	return "others " + p + " or less"
}
