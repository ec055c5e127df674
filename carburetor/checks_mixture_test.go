package carburetor

import "math"

// Air of the texts: R 287, gamma 1.4, with a rounded cp or with the one that follows.
var (
	textAir    = Gas{Constant: 287, Gamma: 1.4, Heat: 1005}
	perfectAir = Gas{Constant: 287, Gamma: 1.4}
)

// textMotor is the motor of a row with bore and stroke in metres under the given names.
func textMotor(in read, bore, stroke, cylinders, speed string) Motor {
	return Motor{
		Displacement:         Volume(in(cylinders) * math.Pi / 4 * in(bore) * in(bore) * in(stroke)),
		Speed:                RotationSpeed(in(speed)) * RPM,
		VolumetricEfficiency: in("eta_v"),
	}
}

// A chokeExample sizes a choke from the ideal speed in it, and a jet from its depression.
type chokeExample struct {
	motor     Motor
	gas       Gas
	state     GasState
	speed     Speed
	discharge float64
	core      float64
}

func (e chokeExample) air() (MassFlow, error) {
	rho, err := e.gas.Density(e.state)
	if err != nil {
		return 0, err
	}
	return e.motor.AirFlow(rho)
}

func (e chokeExample) bore() (Length, error) {
	air, err := e.air()
	if err != nil {
		return 0, err
	}
	throat, err := e.gas.ThroatAt(e.state, e.speed, 1)
	if err != nil {
		return 0, err
	}
	a, err := throat.Area(air, e.speed, e.discharge)
	if err != nil {
		return 0, err
	}
	return RingBore(a, e.core)
}

func (e chokeExample) jet(ratio, discharge float64, fuel Density, lip Length) (float64, error) {
	air, err := e.air()
	if err != nil {
		return 0, err
	}
	throat, err := e.gas.ThroatAt(e.state, e.speed, 1)
	if err != nil {
		return 0, err
	}
	return lipJet(air/MassFlow(ratio), discharge, fuel, throat.Depression, lip)
}

// lipJet is the bore in millimetres of a jet that passes a flow over a lip.
func lipJet(flow MassFlow, discharge float64, fuel Density, depression Pressure, lip Length) (float64, error) {
	a, err := OrificeArea(discharge, fuel, depression-HeadPressure(fuel, lip), flow)
	return a.Diameter().In(Millimetre), err
}

func twinChoke() chokeExample { // Mathur and Sharma, example 11.6
	return chokeExample{
		motor: Motor{Displacement: 1710 * CubicCentimetre, Speed: 5400 * RPM, VolumetricEfficiency: 0.7, Carburetors: 2},
		gas:   textAir, state: GasState{1.013 * Bar, 300}, speed: 107, discharge: 0.85, core: 0.4,
	}
}

func rajputChoke() chokeExample { // Rajput, example 11.8
	return chokeExample{
		motor: Motor{Displacement: 1489 * CubicCentimetre, Speed: 4200 * RPM, VolumetricEfficiency: 0.75},
		gas:   perfectAir, state: GasState{1.013 * Bar, 293}, speed: 85, discharge: 0.82, core: 0.4,
	}
}

// rowChoke replaces the choke's data by those of the row.
func rowChoke(e chokeExample, in read) chokeExample {
	e.motor.Displacement = Volume(in("Vs_cc")) * CubicCentimetre
	e.motor.Speed = RotationSpeed(in("N_rpm")) * RPM
	e.motor.VolumetricEfficiency = in("eta_v")
	e.speed, e.discharge = Speed(in("v")), in("Cda")
	return e
}

func venturiChecks() map[string]calculation {
	throat := func(in read, g Gas, s GasState, speed string) (float64, error) {
		th, err := g.ThroatAt(s, Speed(in(speed)), in("Cv"))
		if err != nil {
			return 0, err
		}
		a, err := th.Area(MassFlow(in("m_kg_min"))*KilogramPerMinute, Speed(in(speed)), 1)
		return a.Diameter().In(Centimetre), err
	}
	return map[string]calculation{
		"ms-11.1": func(in read) (float64, error) {
			g := Gas{SpecificHeat(in("R")), in("gamma"), SpecificHeat(in("cp"))}
			return throat(in, g, GasState{Pressure(in("p1_bar")) * Bar, Temperature(in("T1_K"))}, "v_m_s")
		},
		"rj-11.7a": func(in read) (float64, error) {
			in("cp") // "R*g/(g-1)", which is what a gas without its own cp has
			return throat(in, perfectAir, GasState{Pressure(in("p1_bar")) * Bar, Temperature(in("T1_K"))}, "v")
		},
		"ke-9.15a": func(in read) (float64, error) {
			g := Gas{Constant: 29.27 * textGravity, Gamma: 1.4}
			kgf := Pressure(textGravity * 1e4) // kgf/cm2
			return throat(in, g, GasState{Pressure(in("p1")) * kgf, Temperature(in("T_K"))}, "v")
		},
		"ra-7.a": func(in read) (float64, error) {
			g := Gas{Constant: 281, Gamma: 1.35, Heat: 1005}
			return throat(in, g, GasState{Pressure(in("p1_bar")) * Bar, Temperature(in("T_K"))}, "v")
		},
		"ms-11.6a": func(in read) (float64, error) {
			e := rowChoke(twinChoke(), in)
			e.motor.Carburetors = int(in("n_carb"))
			d, err := e.bore()
			return d.In(Centimetre), err
		},
		"rj-11.8a": func(in read) (float64, error) {
			e := rowChoke(rajputChoke(), in)
			e.state.Temperature, e.core = Temperature(in("T1_K")), in("ratio")
			d, err := e.bore()
			return d.In(Millimetre), err
		},
		"rj-11.10b": func(in read) (float64, error) {
			fuel, ratio, err := eightCylinder().fuel()
			if err != nil {
				return 0, err
			}
			p := 1.013*Bar - Pressure(in("dp_bar"))*Bar
			rho, err := perfectAir.Density(GasState{p, Temperature(in("T_throat_K"))})
			if err != nil {
				return 0, err
			}
			bore := Length(in("d_mm")) * Millimetre
			v, err := Throat{Density: rho}.Speed(fuel*MassFlow(ratio), CircleArea(bore))
			return float64(v), err
		},
		"gu-9.3b": func(in read) (float64, error) {
			s := GasState{Pressure(in("p1_bar")) * Bar, Temperature(in("T1_K"))}
			v, _, err := Gas{287, 1.4, SpecificHeat(in("cp"))}.Expand(s, s.Pressure-Pressure(in("dp_bar"))*Bar)
			return float64(v), err
		},
		"gu-9.3c": func(in read) (float64, error) {
			s := GasState{1 * Bar, 298}
			fuel, ratio, err := fourCylinder().fuel()
			if err != nil {
				return 0, err
			}
			v, t, err := textAir.Expand(s, 0.94*Bar)
			if err != nil {
				return 0, err
			}
			rho, err := textAir.Density(GasState{0.94 * Bar, t})
			if err != nil {
				return 0, err
			}
			a, err := Throat{Density: rho}.Area(fuel*MassFlow(ratio), v, in("Cd"))
			return a.Diameter().In(Millimetre), err
		},
		"ms-11.3": func(in read) (float64, error) {
			air, err := textMotor(in, "bore_m", "stroke_m", "n", "N_rpm").AirFlow(Density(in("rho_a")))
			if err != nil {
				return 0, err
			}
			p, err := Orifice{CircleArea(Length(in("d_throat_m"))), in("Cda")}.Drop(Density(in("rho_a")), air)
			return p.In(Bar), err
		},
		"ke-9.4": func(in read) (float64, error) {
			air, err := textMotor(in, "bore", "stroke", "n", "N").AirFlow(Density(in("gamma_a")))
			if err != nil {
				return 0, err
			}
			p, err := Orifice{CircleArea(Length(in("d_throat"))), in("Ca")}.Drop(Density(in("gamma_a")), air)
			return float64(p) / textGravity, err
		},
		"gu-9.4a": func(in read) (float64, error) {
			rho, err := textAir.Density(GasState{Pressure(in("p_bar")) * Bar, Temperature(in("T_K"))})
			if err != nil {
				return 0, err
			}
			air, err := textMotor(in, "bore", "stroke", "n", "N").AirFlow(rho)
			if err != nil {
				return 0, err
			}
			p, err := Orifice{CircleArea(Length(in("d_throat"))), in("Cda")}.Drop(rho, air)
			return p.In(Bar), err
		},
		"rj-11.2b": func(in read) (float64, error) {
			jet := Orifice{2 * SquareMillimetre, 0.8}
			a, err := throatForFuel(in, jet, 750, 5*Millimetre, 5*KilogramPerHour, Density(in("rho_a")))
			return a.In(SquareCentimetre), err
		},
		"rj-11.4b": func(in read) (float64, error) {
			jet := Orifice{2 * SquareMillimetre, 0.75}
			a, err := throatForFuel(in, jet, 720, 6.35*Millimetre, 5.45*KilogramPerHour, Density(in("rho_a")))
			return a.Diameter().In(Centimetre), err
		},
		"gu-9.5c": func(in read) (float64, error) {
			rho, err := textAir.Density(GasState{1.013 * Bar, 294})
			if err != nil {
				return 0, err
			}
			jet := Orifice{CircleArea(1.2 * Millimetre), 0.65}
			a, err := throatForFuel(in, jet, 750, 3*Millimetre, 6*KilogramPerHour, rho)
			return a.Diameter().In(Millimetre), err
		},
		"gu-9.9": func(in read) (float64, error) {
			fuel, err := FuelDemand(Power(in("bp_kW"))*Kilowatt, in("eta_b"), SpecificEnergy(in("CV"))*KilojoulePerKilogram)
			if err != nil {
				return 0, err
			}
			jet := Orifice{Area(in("Af_mm2")) * SquareMillimetre, in("Cdf")}
			a, err := throatForFuel(in, jet, Density(in("rho_f")), Length(in("z_mm"))*Millimetre, fuel, Density(in("rho_a")))
			return a.Diameter().In(Centimetre), err
		},
	}
}

// throatForFuel is the venturi that passes the row's air-fuel ratio when its depression draws
// the fuel.
func throatForFuel(in read, jet Orifice, fuel Density, lip Length, flow MassFlow, air Density) (Area, error) {
	p, err := DepressionForFuel(jet, fuel, lip, flow)
	if err != nil {
		return 0, err
	}
	return OrificeArea(in("Cda"), air, p, flow*MassFlow(in("AFR")))
}

// A chargeExample is a motor that fills itself with air and fuel vapour.
type chargeExample struct {
	motor       Motor
	state       GasState
	air, vapour SpecificHeat
	lambda      float64
}

func eightCylinder() chargeExample { // Rajput, example 11.10
	return chargeExample{
		motor: Motor{Displacement: Volume(8 * math.Pi / 4 * 0.11 * 0.11 * 0.11), Speed: 3000 * RPM, VolumetricEfficiency: 0.75},
		state: GasState{1.013 * Bar, 273}, air: 287, vapour: 97, lambda: 1,
	}
}

func fourCylinder() chargeExample { // Gupta, example 9.3
	return chargeExample{
		motor: Motor{Displacement: Volume(4 * math.Pi / 4 * 0.08 * 0.08 * 0.09), Speed: 4000 * RPM, VolumetricEfficiency: 0.8},
		state: GasState{1 * Bar, 298}, air: 287, vapour: 98, lambda: 0.95,
	}
}

// fuel returns the fuel flow and the air-fuel ratio of a fuel of 84 % carbon and 16 % hydrogen.
func (e chargeExample) fuel() (MassFlow, AFR, error) {
	old := OxygenByMass(0.23)
	c, err := MassAnalysis{Carbon: 0.84, Hydrogen: 0.16}.Composition(old)
	if err != nil {
		return 0, 0, err
	}
	ratio, err := c.StoichiometricAFR(old)
	if err != nil {
		return 0, 0, err
	}
	ratio *= AFR(e.lambda)
	volume := func(r SpecificHeat) SpecificVolume {
		return SpecificVolume(float64(r) * float64(e.state.Temperature) / float64(e.state.Pressure))
	}
	m, err := e.motor.FuelFlow(ratio, volume(e.air), volume(e.vapour))
	return m, ratio, err
}

func (e chargeExample) row(in read, gasOfFuel string) chargeExample {
	e.motor = textMotor(in, "bore", "stroke", "n", "N")
	e.state = GasState{Pressure(in("p_bar")) * Bar, Temperature(in("T_K"))}
	e.air, e.vapour = SpecificHeat(in("Ra")), SpecificHeat(in(gasOfFuel))
	return e
}

func mixtureChecks() map[string]calculation {
	return map[string]calculation{
		"ms-11.8a": elementaryCheck("Da_mm", "Df_mm", "Cda", "Cdf"),
		"rj-11.9a": elementaryCheck("Da_mm", "Df_mm", "Cda", "Cdf"),
		"gu-9.6a":  elementaryCheck("Da", "Df", "Cda", "Cdf"),
		"ke-9.2":   elementaryCheck("Da_cm", "Df_cm", "Cda", "Cdf"),
		"ke-9.3": func(in read) (float64, error) {
			e := elementary(1, 1, in("Ca"), in("Cf"), in("rho_a"), in("rho_f"))
			equal, err := e.IncompressibleMixture(1 * Kilopascal)
			return math.Sqrt(in("AFR") / float64(equal.AFR)), err
		},
		"rj-11.9b": func(in read) (float64, error) {
			return lipCheck(in, elementary(18, 1.2, 0.82, 0.65, 1.2, 750))
		},
		"gu-9.6b": func(in read) (float64, error) {
			return lipCheck(in, elementary(22, 1.2, 0.82, 0.7, 1.2, 750))
		},
		"ms-11.8c": criticalCheck, "rj-11.4c": criticalCheck, "rj-11.9c": criticalCheck, "ke-9.9": criticalCheck,
		"gu-9.6c": func(in read) (float64, error) {
			v, err := CriticalAirSpeed(Length(in("z_mm"))*Millimetre, 750, 1.2, 0)
			return float64(v), err
		},
		"gu-9.5a": func(in read) (float64, error) {
			rho, err := textAir.Density(GasState{Pressure(in("p_bar")) * Bar, Temperature(in("T_K"))})
			if err != nil {
				return 0, err
			}
			v, err := CriticalAirSpeed(Length(in("z_mm"))*Millimetre, Density(in("rho_f")), rho, in("Cda"))
			return float64(v), err
		},
		"ms-11.9a": func(in read) (float64, error) {
			outside, throat := Pressure(in("p0_bar"))*Bar, Pressure(in("p_throat_bar"))*Bar
			cleaner := Pressure(in("cleaner_mmHg")/in("mmHg_per_bar")) * Bar
			p, err := CleanerThroat(outside, cleaner, outside-throat)
			return p.In(Bar), err
		},
		"ms-11.9b": func(in read) (float64, error) {
			a, err := CleanerMixture(AFR(in("AFR1")), Pressure(in("dp_v_bar"))*Bar, Pressure(in("dp_cleaner_bar"))*Bar, VentOutside)
			return float64(a), err
		},
		"rj-11.5": func(in read) (float64, error) {
			cleaner := Pressure(in("rho_Hg") * textGravity * in("cleaner_mmHg") / 1000)
			a, err := CleanerMixture(AFR(in("AFR1")), Pressure(in("dp_v_bar"))*Bar, cleaner, VentOutside)
			return float64(a), err
		},
		"gu-9.8": func(in read) (float64, error) {
			cleaner := Pressure(in("cleaner_mmHg")/in("mmHg_per_bar")) * Bar
			a, err := CleanerMixture(AFR(in("AFR1")), Pressure(in("dp_v_bar"))*Bar, cleaner, VentOutside)
			return float64(a), err
		},
		"ke-9.12": func(in read) (float64, error) {
			a, err := CleanerMixture(AFR(1/in("FA1")), Pressure(in("p0")-in("p_throat"))*Bar, Pressure(in("dp_c"))*Bar, VentOutside)
			return 1 / float64(a), err
		},
		"ms-11.4": func(in read) (float64, error) {
			rho, err := textAir.Density(GasState{Pressure(in("p_bar")) * Bar, Temperature(in("T_K"))})
			if err != nil {
				return 0, err
			}
			fuel := MassFlow(in("mf_kg_h")) * KilogramPerHour
			venturi := Orifice{CircleArea(Length(in("d_throat_mm")) * Millimetre), in("Cda")}
			p, err := venturi.Drop(rho, fuel*MassFlow(in("AFR")))
			if err != nil {
				return 0, err
			}
			return lipJet(fuel, in("Cdf"), Density(in("rho_f")), p, Length(in("z_mm"))*Millimetre)
		},
		"ms-11.5": func(in read) (float64, error) {
			e := rowChoke(twinChoke(), in)
			e.motor.Carburetors = 1
			e.state = GasState{Pressure(in("p1_bar")) * Bar, Temperature(in("T1_K"))}
			return e.jet(in("AFR"), in("Cdf"), Density(1000*in("sg")), Length(in("z_mm"))*Millimetre)
		},
		"ms-11.6b": func(in read) (float64, error) {
			return twinChoke().jet(in("AFR"), in("Cdf"), Density(1000*in("sg")), Length(in("z_mm"))*Millimetre)
		},
		"rj-11.8b": func(in read) (float64, error) {
			return rajputChoke().jet(in("AFR"), in("Cdf"), Density(1000*in("sg")), Length(in("z_mm"))*Millimetre)
		},
		"gu-9.2b": func(in read) (float64, error) {
			e := chokeExample{ // Gupta, example 9.2
				motor: Motor{Displacement: 2 * Litre, Speed: 4500 * RPM, VolumetricEfficiency: 0.75, Carburetors: 2},
				gas:   textAir, state: GasState{1.013 * Bar, 288}, speed: 100,
			}
			return e.jet(in("AFR"), in("Cdf"), Density(in("rho_f")), Length(in("z_mm"))*Millimetre)
		},
		"gu-9.4b": func(in read) (float64, error) {
			rho, err := textAir.Density(GasState{1.013 * Bar, 298})
			if err != nil {
				return 0, err
			}
			motor := Motor{Displacement: Volume(4 * math.Pi / 4 * 0.1 * 0.1 * 0.12), Speed: 3000 * RPM, VolumetricEfficiency: 0.8}
			air, err := motor.AirFlow(rho)
			if err != nil {
				return 0, err
			}
			p, err := Orifice{CircleArea(35 * Millimetre), 0.82}.Drop(rho, air)
			if err != nil {
				return 0, err
			}
			return lipJet(air/MassFlow(in("AFR")), in("Cdf"), Density(in("rho_f")), p, Length(in("z_mm"))*Millimetre)
		},
		"ke-9.5": func(in read) (float64, error) {
			motor := Motor{
				Displacement: Volume(in("n")*math.Pi/4*in("bore_cm")*in("bore_cm")*in("stroke_cm")) * CubicCentimetre,
				Speed:        RotationSpeed(in("N")) * RPM, VolumetricEfficiency: in("eta_v"),
			}
			air, err := motor.AirFlow(Density(in("rho_a")))
			if err != nil {
				return 0, err
			}
			p := Pressure(in("dep_cm_H2O") * 10 * textGravity)
			// The text sizes the throat by the same depression; it must come out for the ratio
			// to hold.
			if _, err := OrificeArea(in("Ca"), Density(in("rho_a")), p, air); err != nil {
				return 0, err
			}
			return lipJet(air/MassFlow(in("AFR")), in("Cf"), Density(in("rho_f")), p, 0)
		},
		"ke-9.10": func(in read) (float64, error) {
			v := in("v") / in("Ca")
			p := Pressure(v * v * in("rho_a") / 2)
			nozzle := Orifice{Area(in("An_mm2")) * SquareMillimetre, in("Cd")}
			fuel := Density(in("rho_f"))
			m, err := nozzle.MassFlow(fuel, p-HeadPressure(fuel, Length(in("z_mm"))*Millimetre))
			return float64(m), err
		},
		"rj-11.2a": func(in read) (float64, error) {
			jet := Orifice{Area(in("Af_mm2")) * SquareMillimetre, in("Cd")}
			p, err := liftCheck(in, jet)
			return float64(p), err
		},
		"rj-11.4a": func(in read) (float64, error) {
			jet := Orifice{Area(in("Af_mm2")) * SquareMillimetre, in("Cdf")}
			p, err := liftCheck(in, jet)
			return float64(p) / (1000 * textGravity) * 100, err
		},
		"gu-9.5b": func(in read) (float64, error) {
			jet := Orifice{CircleArea(Length(in("dj_mm")) * Millimetre), in("Cdf")}
			p, err := liftCheck(in, jet)
			return float64(p) / textGravity, err
		},
		"rj-11.10a": func(in read) (float64, error) {
			m, _, err := eightCylinder().row(in, "Rv").fuel()
			return m.In(KilogramPerHour), err
		},
		"gu-9.3a": func(in read) (float64, error) {
			m, _, err := fourCylinder().row(in, "Rf").fuel()
			return float64(m), err
		},
	}
}

// liftCheck is the depression that draws the row's fuel through a jet and over its lip.
func liftCheck(in read, jet Orifice) (Pressure, error) {
	flow := MassFlow(in("mf_kg_h")) * KilogramPerHour
	return DepressionForFuel(jet, Density(in("rho_f")), Length(in("z_mm"))*Millimetre, flow)
}

// elementary is a carburetor without a lip, from diameters in millimetres.
func elementary(throat, jet, cda, cdf, air, fuel float64) Elementary {
	return Elementary{
		Venturi: Venturi{Throat: Length(throat) * Millimetre, Discharge: cda},
		Jet:     Orifice{CircleArea(Length(jet) * Millimetre), cdf},
		Fuel:    Density(fuel),
		Air:     Inlet{1 * Bar, Density(air)},
	}
}

func elementaryCheck(throat, jet, cda, cdf string) calculation {
	return func(in read) (float64, error) {
		e := elementary(in(throat), in(jet), in(cda), in(cdf), in("rho_a"), in("rho_f"))
		m, err := e.IncompressibleMixture(1 * Kilopascal)
		return float64(m.AFR), err
	}
}

func lipCheck(in read, e Elementary) (float64, error) {
	e.Lip = Length(in("z_mm")) * Millimetre
	m, err := e.IncompressibleMixture(Pressure(in("dp_bar")) * Bar)
	return float64(m.AFR), err
}

func criticalCheck(in read) (float64, error) {
	v, err := CriticalAirSpeed(Length(in("z_mm"))*Millimetre, Density(in("rho_f")), Density(in("rho_a")), 0)
	return float64(v), err
}

func leakChecks() map[string]calculation {
	air := GasState{StandardPressure, StandardTemperature}
	// Cengel and Cimbala, example 12-4: 1 MPa, 873 K, 150 m/s, throat 50 cm2.
	moving := func() (GasState, error) { return textAir.Stagnation(GasState{1 * Megapascal, 873}, 150) }
	return map[string]calculation{
		"ce-12.3a": func(in read) (float64, error) {
			t, err := Gas{Constant: 188.9, Gamma: in("k")}.CriticalTemperature(Temperature(in("T0")))
			return float64(t), err
		},
		"ce-12.3b": func(in read) (float64, error) {
			r, err := Gas{Constant: 188.9, Gamma: in("k")}.CriticalRatio()
			return r * in("p0_kPa"), err
		},
		"ce-12.1": func(in read) (float64, error) {
			g := Gas{287, in("k"), SpecificHeat(in("cp"))}
			s, err := g.Stagnation(GasState{Pressure(in("p_kPa")) * Kilopascal, Temperature(in("T"))}, Speed(in("V")))
			return s.Pressure.In(Kilopascal), err
		},
		"ce-12.4a": func(in read) (float64, error) {
			s, err := moving()
			if err != nil {
				return 0, err
			}
			f, err := textAir.NozzleFlux(s, Pressure(in("pb_MPa"))*Megapascal)
			return float64(f) * 50e-4, err
		},
		"ce-12.4b": func(in read) (float64, error) {
			g := Gas{SpecificHeat(in("R")), in("k"), 1005}
			s, err := g.Stagnation(GasState{Pressure(in("p_MPa")) * Megapascal, Temperature(in("T"))}, Speed(in("V")))
			if err != nil {
				return 0, err
			}
			f, err := g.NozzleFlux(s, Pressure(in("pb_MPa"))*Megapascal)
			return float64(f) * float64(Area(in("A_cm2"))*SquareCentimetre), err
		},
		"fx-12.2a": func(in read) (float64, error) {
			g := Gas{Constant: 287, Gamma: in("k")}
			return g.Mach(Pressure(in("p0_kPa"))*Kilopascal, Pressure(in("pb_kPa"))*Kilopascal)
		},
		"fx-12.2b": func(in read) (float64, error) {
			g := Gas{Constant: SpecificHeat(in("R")), Gamma: 1.4}
			f, err := g.NozzleFlux(GasState{1000 * Kilopascal, Temperature(in("T0"))}, 591*Kilopascal)
			return float64(f) * in("A_m2"), err
		},
		"fx-12.1": func(in read) (float64, error) {
			p, err := perfectAir.StagnationPressure(Pressure(in("p_kPa"))*Kilopascal, in("M"))
			return p.In(Kilopascal), err
		},
		"choke-air-ratio": func(in read) (float64, error) {
			return Gas{Constant: 287, Gamma: in("k")}.CriticalRatio()
		},
		"choke-air-flux": func(in read) (float64, error) {
			f, err := DryAir().NozzleFlux(GasState{Pressure(in("p0")), Temperature(in("T0"))}, 0)
			return float64(f), err
		},
		"vac-choke": func(read) (float64, error) {
			p, err := SonicVacuum(StandardPressure)
			return p.In(InchOfMercury), err
		},
		"leak-1mm2": func(read) (float64, error) {
			m, err := AirLeak{Area: 1 * SquareMillimetre}.Flow(air, 30*Kilopascal)
			return m.In(GramPerSecond), err
		},
	}
}
