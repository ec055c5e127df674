package symptoms

// In returns the observation as it is shown to people who measure in other units: Unit, Range and Uncertainty in
// the first of the units that has the same dimension, the rest as it is. It is for showing only: a bare number on
// a sheet is in the unit of the vocabulary, so reading goes on with the original. Without such a unit, or for what is no
// number with a unit, it returns the observation itself.
func (o *Observation) In(units []Unit) *Observation {
	own, ok := LookupUnit(o.Unit)
	if !ok || o.Kind != Number || o.Unit == "" {
		return o
	}
	for _, u := range units {
		if u.Dim != own.Dim || u.Name == own.Name {
			continue
		}
		shown := *o
		shown.Unit = u.Name
		for i, limit := range o.Range {
			shown.Range[i] = u.FromSI(own.SI(limit))
		}
		shown.Uncertainty = own.SIDifference(o.Uncertainty) / u.Factor
		return &shown
	}
	return o
}
