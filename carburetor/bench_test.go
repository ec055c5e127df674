package carburetor

import "testing"

// What rules call, one benchmark each: they should cost less than a microsecond and not
// allocate.

func run[T any](b *testing.B, f func() (T, error)) {
	b.Helper()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := f(); err != nil {
			b.Fatal(err)
		}
	}
}

func benchBowl() Bowl {
	bowl := usualLoad()
	bowl.Float = usualSection().Float(9 * Gram)
	return bowl
}

func BenchmarkClosingMargin(b *testing.B) {
	bowl := benchBowl()
	run(b, bowl.ClosingMargin)
}

func BenchmarkUnexplainedLevel(b *testing.B) {
	h := FloatHeight{Datum: FromGasketFace, Error: 2 * Millimetre}
	run(b, func() (Length, error) { return h.UnexplainedLevel(-3 * Millimetre) })
}

func BenchmarkEnrichment(b *testing.B) {
	low, high := Air{StandardPressure, Celsius(20), 0.6}, Air{85 * Kilopascal, Celsius(10), 0.5}
	run(b, func() (float64, error) { return Enrichment(low, high) })
}

func BenchmarkRichness(b *testing.B) {
	low, high := Air{StandardPressure, Celsius(20), 0.6}, Air{85 * Kilopascal, Celsius(10), 0.5}
	run(b, func() (float64, error) { return BoreNumber(105).Richness(110, low, high) })
}

func BenchmarkLeakArea(b *testing.B) {
	s := GasState{StandardPressure, StandardTemperature}
	l := LeakSearch{Before: 0.9, Now: 1.1, CarburetorAir: 1 * GramPerSecond, Outside: s, Manifold: 45 * Kilopascal}
	run(b, l.LeakArea)
}

func BenchmarkCompressionShare(b *testing.B) {
	run(b, func() (float64, error) {
		return CompressionShare(9*Bar, 11*Bar, StandardPressure, 85*Kilopascal)
	})
}

func BenchmarkTimeToStarve(b *testing.B) {
	t := BlockedTank{Gas: 4 * Litre, Head: 0.3, Fuel: 740, Outside: StandardPressure, Vapour: 45 * Kilopascal}
	run(b, func() (Duration, error) { return t.TimeToStarve(30*CubicCentimetre, 1*MillilitrePerSecond) })
}

func BenchmarkFuelLineReserve(b *testing.B) {
	l := FuelLine{[]Orifice{{7 * SquareMillimetre, 0.6}, {3 * SquareMillimetre, 0.7}}, Pipe{6 * Millimetre, 0.3}, coldPetrol}
	run(b, func() (float64, error) { return l.Reserve(0.3, 1*GramPerSecond) })
}

func BenchmarkJetFlow(b *testing.B) {
	j := Jet{Bore: 0.4 * Millimetre}
	run(b, func() (JetFlow, error) { return j.Flow(coldPetrol, 500) })
}

func BenchmarkIdleFlow(b *testing.B) {
	c := usualIdle()
	run(b, func() (IdleFlow, error) { return c.Flow(45 * Kilopascal) })
}

func BenchmarkSectionClose(b *testing.B) {
	s, bowl := usualSection(), usualLoad()
	run(b, func() (Closed, error) { return s.Close(bowl, 22*Millimetre) })
}
