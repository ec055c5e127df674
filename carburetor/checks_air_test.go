package carburetor

import "math"

// Standard atmosphere by quantity, altitude and unit.

func temperatureAt(in read) (float64, error) {
	s, err := StandardAtmosphere(Length(in("Z_m")))
	return float64(s.Temperature), err
}

func pressureAt(in read) (float64, error) {
	s, err := StandardAtmosphere(Length(in("Z_m")))
	return float64(s.Pressure), err
}

func densityAt(in read) (float64, error) {
	d, err := StandardDensity(Length(in("Z_m")))
	return float64(d), err
}

func geopotentialPressure(in read) (float64, error) {
	s, err := GeopotentialAtmosphere(Length(in("H_m")))
	return float64(s.Pressure), err
}

func feetPSI(in read) (float64, error) {
	s, err := StandardAtmosphere(Length(in("Z_ft")) * Foot)
	return s.Pressure.In(PSI), err
}

func feetFahrenheit(in read) (float64, error) {
	s, err := StandardAtmosphere(Length(in("Z_ft")) * Foot)
	return s.Temperature.Fahrenheit(), err
}

func feetSlug(in read) (float64, error) {
	s, err := GeopotentialAtmosphere(Length(in("H_ft")) * Foot)
	if err != nil {
		return 0, err
	}
	d, err := standardAir().Density(s)
	return d.In(1e-4 * SlugPerCubicFoot), err
}

func atmosphereChecks() map[string]calculation {
	checks := map[string]calculation{
		"ee-p-1000ft": feetPSI, "ee-p-3000ft": feetPSI, "ee-p-6000ft": feetPSI, "ee-p-10000ft": feetPSI,
		"ee-T-5000ft": feetFahrenheit, "ee-T-10000ft": feetFahrenheit,
		"et-rho-5000ft": feetSlug, "et-rho-10000ft": feetSlug,
		"psl-p--500": geopotentialPressure, "psl-p-500": geopotentialPressure,
		"psl-p-1000": geopotentialPressure, "psl-p-4000": geopotentialPressure,
		"ncl-100m": densityAt,
		"ncl-100m-p": func(in read) (float64, error) {
			p, err := pressureAt(in)
			return p / 100, err
		},
		"isa-sea": func(in read) (float64, error) {
			g := Gas{Constant: SpecificHeat(in("R")), Gamma: 1.4}
			d, err := g.Density(GasState{Pressure(in("p")), Temperature(in("T"))})
			return float64(d), err
		},
		"alt-enrich-1000": func(in read) (float64, error) {
			from, to, err := climb(in)
			if err != nil {
				return 0, err
			}
			return Enrichment(from, to)
		},
		"alt-jetd-1000": func(in read) (float64, error) {
			from, to, err := climb(in)
			if err != nil {
				return 0, err
			}
			return boreFactor(from, to)
		},
		"temp-jetd-10K": func(in read) (float64, error) {
			from := Air{Pressure: StandardPressure, Temperature: Temperature(in("T1"))}
			to := Air{Pressure: StandardPressure, Temperature: Temperature(in("T2"))}
			return boreFactor(from, to)
		},
		// Texts have their own law of pressure over height; the model is asked for the ratio.
		"ms-11.7": func(in read) (float64, error) {
			sea := GasState{Pressure(in("p0_bar")) * Bar, Temperature(in("T0_K"))}
			return textAltitude(in, sea, 0.0065, math.Pow(10, -in("h_m")/19200))
		},
		"rj-11.11": func(in read) (float64, error) {
			sea := GasState{1.013 * Bar, Temperature(in("t0_C")) + 273}
			return textAltitude(in, sea, in("lapse"), math.Pow(10, -in("h_m")/in("H")))
		},
		"gu-9.7": func(in read) (float64, error) {
			sea := GasState{1.013 * Bar, Temperature(in("t0_C")) + 273}
			return textAltitude(in, sea, 0.0065, math.Pow(10, -0.2083))
		},
		"sae-ref": saeCheck, "sae-850": saeCheck, "sae-40C": saeCheck,
		"din-ref": dinCheck, "din-900-30": dinCheck,
		"iso1585-95-35": func(in read) (float64, error) {
			return PowerFactor(ISO1585, Air{Pressure: Pressure(in("ps_kPa")) * Kilopascal, Temperature: Temperature(in("T_K"))})
		},
	}
	for _, z := range []string{"-2000", "0", "2000", "4000", "6000"} {
		checks["atm-T-"+z], checks["atm-rho-"+z] = temperatureAt, densityAt
		if z != "-2000" { // the table has no pressure there
			checks["atm-p-"+z] = pressureAt
		}
	}
	return checks
}

func climb(in read) (from, to Air, err error) {
	if from, err = StandardDay(0); err == nil {
		to, err = StandardDay(Length(in("Z_m")))
	}
	return from, to, err
}

// boreFactor is the factor on a jet numbered by its bore.
func boreFactor(from, to Air) (float64, error) {
	f, err := JetCorrection(from, to)
	if err != nil {
		return 0, err
	}
	n, err := BoreNumber(100).Scale(f)
	return float64(n) / 100, err
}

func textAltitude(in read, sea GasState, lapse, pressureRatio float64) (float64, error) {
	high := GasState{sea.Pressure * Pressure(pressureRatio), sea.Temperature - Temperature(lapse*in("h_m"))}
	a, err := textAir.Density(sea)
	if err != nil {
		return 0, err
	}
	b, err := textAir.Density(high)
	if err != nil {
		return 0, err
	}
	r, err := AltitudeAFR(AFR(in("AFR0")), a, b)
	return float64(r), err
}

func saeCheck(in read) (float64, error) {
	return PowerFactor(SAEJ1349, Air{Pressure: Pressure(in("Pd_mbar")) * Millibar, Temperature: Celsius(in("Tc"))})
}

func dinCheck(in read) (float64, error) {
	return PowerFactor(DIN70020, Air{Pressure: Pressure(in("p_mbar")) * Millibar, Temperature: Celsius(in("t_C"))})
}

func saturationCheck(in read) (float64, error) {
	p, err := SaturationPressure(Celsius(in("t_C")))
	return float64(p), err
}

func preciseCheck(in read) (float64, error) {
	in("xCO2") // the model has 0.0004, as the rows have
	d, err := Air{Pressure(in("p_Pa")), Celsius(in("t_C")), in("RH")}.PreciseDensity()
	return float64(d), err
}

// oldTable is the psychrometer of a text that has 0.622.
var oldTable = Psychrometer{MolarRatio: 0.622}

// nagMoisture is Nag, example 15.1 or 15.2, with the values of its steam table.
func nagMoisture(dry, wet float64, air, saturated Pressure, s Steam) (float64, error) {
	w, err := oldTable.Ratio(saturated, air)
	if err != nil {
		return 0, err
	}
	return oldTable.WetBulb(Celsius(dry), Celsius(wet), w, s)
}

func nagFirst(dry, wet float64, air Pressure) (float64, error) {
	return nagMoisture(dry, wet, air, 0.033363*Bar, Steam{Latent: 2439.9e3, Liquid: 109.1e3, Vapour: 2559.9e3})
}

func humidityChecks() map[string]calculation {
	return map[string]calculation{
		"psat-5": saturationCheck, "psat-25": saturationCheck, "psat-50": saturationCheck, "psat-100": saturationCheck,
		"if97-300": func(in read) (float64, error) {
			p, err := SaturationPressure(Temperature(in("T_K")))
			return float64(p), err
		},
		"water-20": func(in read) (float64, error) {
			d, err := WaterDensity(Celsius(in("t_C")))
			return float64(d), err
		},
		"W-500m": func(in read) (float64, error) {
			return Psychrometer{}.Ratio(Pressure(in("pv")), Pressure(in("p")))
		},
		"v-moist": func(in read) (float64, error) {
			v, err := Psychrometer{}.MoistVolume(GasState{Pressure(in("p")), Celsius(in("t_C"))}, in("W"))
			return float64(v), err
		},
		"rho-moist": func(in read) (float64, error) {
			d, err := Psychrometer{}.MoistDensity(GasState{Pressure(in("p")), Celsius(in("t_C"))}, in("W"))
			return float64(d), err
		},
		"v-dry-25": func(in read) (float64, error) {
			d, err := Air{Pressure: Pressure(in("p")), Temperature: Celsius(in("t_C"))}.DryDensity()
			return 1 / float64(d), err
		},
		"nag-15.1a": func(in read) (float64, error) {
			return nagFirst(in("dbt"), in("wbt"), Pressure(in("p_bar"))*Bar)
		},
		"nag-15.1b": func(in read) (float64, error) {
			w, err := nagFirst(32, 26, 1.0132*Bar)
			if err != nil {
				return 0, err
			}
			p, err := oldTable.Vapour(w, 1.0132*Bar)
			return 100 * p.In(Bar) / in("psat_bar"), err
		},
		"nag-15.2": func(in read) (float64, error) {
			s := Steam{Latent: 2454.1e3, Liquid: 83.96e3, Vapour: 2556.3e3}
			return nagMoisture(in("dbt"), in("wbt"), Pressure(in("p_kPa"))*Kilopascal, 2.339*Kilopascal, s)
		},
		"cipm-20-50": preciseCheck, "cipm-15-0": preciseCheck, "cipm-30-80": preciseCheck,
	}
}

func gaugeChecks() map[string]calculation {
	return map[string]calculation{
		"vac-1000ft": func(in read) (float64, error) {
			p, err := PressureLoss(Length(in("ft")) * Foot)
			return p.In(InchOfMercury), err
		},
		"vac-17-22": func(in read) (float64, error) {
			p, err := ManifoldPressure(StandardPressure, Pressure(in("inHg"))*InchOfMercury)
			return p.In(Kilopascal), err
		},
		"comp-5000": func(in read) (float64, error) {
			s, err := StandardAtmosphere(Length(in("ft")) * Foot)
			if err != nil {
				return 0, err
			}
			p, err := CompressionAt(Pressure(in("gauge1_psi"))*PSI, Pressure(in("p1"))*PSI, s.Pressure)
			return p.In(PSI), err
		},
		"comp-4600": func(in read) (float64, error) {
			s, err := StandardAtmosphere(Length(in("ft")) * Foot)
			if err != nil {
				return 0, err
			}
			p, err := CompressionAt(1*Megapascal, StandardPressure, s.Pressure)
			return 100 * (1 - p.In(Megapascal)), err
		},
		"comp-poly": func(in read) (float64, error) {
			p, err := CrankingPressure(Pressure(in("p_atm"))*PSI, in("CR"), in("n"))
			return p.In(PSI), err
		},
	}
}
