package carburetor

// What these calculations take that stands neither in the row nor in the package are the other
// data of the same example, as its companion has them.

// textGravity is the gravity that the texts round to, where it enters their units (kgf, mm of
// water).
const textGravity = 9.81

func bowlChecks() map[string]calculation {
	// floatBowl has the dimensions of the float rows; what a row does not give is that of the
	// others.
	floatBowl := func(in read) Bowl {
		return Bowl{
			Float: Float{
				Mass: Mass(in("m_g")) * Gram, Volume: Volume(in("V_cm3")) * CubicCentimetre,
				Waterplane: Area(in("A_w_cm2")) * SquareCentimetre,
				Arm:        Length(in("a_float_mm")) * Millimetre, NeedleArm: Length(in("a_needle_mm")) * Millimetre,
			},
			Valve: FloatValve{Seat: Length(in("d_seat_mm")) * Millimetre},
			Fuel:  Density(in("rho")),
			Inlet: HeadPressure(Density(in("rho")), Length(in("head_m"))),
		}
	}
	rise := func(b Bowl) (float64, error) {
		free := b
		free.Inlet = 0
		h, err := LevelShift(free, b)
		return h.In(Millimetre), err
	}
	return map[string]calculation{
		"fl-seatforce-grav": func(in read) (float64, error) {
			b := floatBowl(in)
			f, err := b.Valve.Force(b.Inlet)
			return f.In(Newton), err
		},
		"fl-seatforce-pump": func(in read) (float64, error) {
			f, err := FloatValve{Seat: Length(in("d_mm")) * Millimetre}.Force(Pressure(in("p_kPa")) * Kilopascal)
			return f.In(Newton), err
		},
		"fl-rise-grav": func(in read) (float64, error) { return rise(floatBowl(in)) },
		"fl-rise-pump": func(in read) (float64, error) {
			b := floatBowl(in)
			b.Inlet = 20 * Kilopascal
			return rise(b)
		},
		"fl-seat25": func(in read) (float64, error) {
			b := floatBowl(in)
			b.Valve.Seat = 2.5 * Millimetre
			return rise(b)
		},
		"fl-rise-1g": func(in read) (float64, error) {
			from := floatBowl(in)
			to := from
			to.Float.Mass += 1 * Gram
			h, err := LevelShift(from, to)
			return h.In(Millimetre), err
		},
		"fl-density": func(in read) (float64, error) {
			f := Float{
				Mass: Mass(in("m_g")) * Gram, Waterplane: Area(in("A_w_cm2")) * SquareCentimetre,
				Volume: 18 * CubicCentimetre, Arm: 28 * Millimetre, NeedleArm: 9 * Millimetre,
			}
			seat := FloatValve{Seat: 2 * Millimetre}
			h, err := LevelShift(Bowl{Float: f, Valve: seat, Fuel: 720}, Bowl{Float: f, Valve: seat, Fuel: 775})
			return h.In(Millimetre), err
		},
		"fl-maxhead": func(in read) (float64, error) {
			c, err := floatBowl(in).Closing()
			return c.MaxInlet.In(Kilopascal), err
		},
		"do-3.5b": func(in read) (float64, error) {
			// A barge of 1 m2 waterplane that floats without a valve pressing on it.
			barge := Float{
				Mass: Mass(in("rho1") * in("draught1")), Volume: 10, Waterplane: 1, Arm: 1, NeedleArm: 1,
			}
			h, err := Bowl{Float: barge, Valve: FloatValve{Seat: 1}, Fuel: Density(in("rho2"))}.Draught()
			return h.In(Metre), err
		},
		"do-3.5c": func(in read) (float64, error) {
			m, err := WeightGained(Length(in("d")), 1000, Area(in("B")*in("L")))
			return float64(m) * textGravity / 1000, err
		},
		"sa-2.6": func(in read) (float64, error) {
			a, w := in("a"), in("w")
			lift, err := WeightGained(Length(in("extra_sinkage")), 1000, Area(a*a))
			if err != nil {
				return 0, err
			}
			lead, err := HungMass(Force(float64(lift)*gravity), Density(1000*in("s_lead")), 1000)
			return float64(lead) * w / 1000, err
		},
	}
}

func jetChecks() map[string]calculation {
	return map[string]calculation{
		"ms-11.2b": func(in read) (float64, error) {
			return jetOfChoke(in, Gas{Constant: 287, Gamma: 1.4, Heat: 1005}, Millimetre)
		},
		"rj-11.7b": func(in read) (float64, error) {
			return jetOfChoke(in, Gas{Constant: 287, Gamma: 1.4}, Metre)
		},
		"jet-ratio": func(in read) (float64, error) {
			return BoreNumber(in("d2")).FlowRatio(BoreNumber(in("d1")))
		},
		"licht-300-2": boreCheck, "licht-500-2": boreCheck, "licht-2000-2": boreCheck,
		"licht-5000-2": boreCheck, "licht-20000-2": boreCheck, "licht-2000-4": boreCheck,
		"eb-cd-1": edgeCheck, "eb-cd-4": edgeCheck, "eb-cd-10": edgeCheck, "eb-cd-20": edgeCheck,
		"eb-area": func(in read) (float64, error) {
			return (Area(in("A_in2")) * SquareInch).Diameter().In(Inch), nil
		},
		"la-3.1": func(in read) (float64, error) {
			perSecond := Volume(in("Q_imp_gpm")*in("lb_per_gal")/in("w")) * CubicFoot / 60
			head := HeadPressure(1000, Length(in("h_ft"))*Foot)
			return MeasuredDischarge(CircleArea(Length(in("d_in"))*Inch), 1000, head, VolumeFlow(perSecond))
		},
		"la-3.4": func(in read) (float64, error) {
			q, err := TapFlow(Orifice{CircleArea(Length(in("d_in")) * Inch), 0.833}, Length(in("H_ft"))*Foot)
			return q.In(CubicFootPerSecond), err
		},
		"la-3.5": func(in read) (float64, error) {
			q, err := TapFlow(Orifice{CircleArea(Length(in("d_in")) * Inch), 0.5}, Length(in("H_ft"))*Foot)
			return q.In(CubicFootPerSecond), err
		},
		"su-13.1a": func(in read) (float64, error) {
			return VelocityCoefficient(Length(in("H")), Length(in("hL")))
		},
		"fl-rhg": func(in read) (float64, error) {
			o := OrificePlate{Pipe: Length(in("D")), Bore: Length(in("d"))}
			speed := in("m") / (in("rho") * float64(CircleArea(o.Pipe)))
			return o.Discharge(in("rho") * speed * in("D") / in("mu"))
		},
		"fl-eps": func(in read) (float64, error) {
			o := OrificePlate{Pipe: Length(in("D")), Bore: Length(in("d"))}
			return o.Expansibility(Pressure(in("P1")), Pressure(in("P2")), in("k"))
		},
		"fl-m": func(in read) (float64, error) {
			o := OrificePlate{Pipe: Length(in("D")), Bore: Length(in("d"))}
			m, err := o.MassFlow(Density(in("rho")), Pressure(in("P1")-in("P2")), in("C"), in("eps"))
			return float64(m), err
		},
	}
}

func boreCheck(in read) (float64, error) { return BoreDischarge(in("Re"), in("l_over_d")) }

func edgeCheck(in read) (float64, error) {
	return SharpEdgeDischarge(Length(in("h_ft"))*Foot, Length(in("d_in"))*Inch)
}

// jetOfChoke is the jet of the example whose choke passes 92 m/s at Cv 0.8 from 1.013 bar, 300
// K.
func jetOfChoke(in read, air Gas, unit Length) (float64, error) {
	throat, err := air.ThroatAt(GasState{1.013 * Bar, 300}, 92, 0.8)
	if err != nil {
		return 0, err
	}
	drop := throat.Depression * Pressure(in("dp_ratio"))
	a, err := OrificeArea(in("Cdf"), Density(in("rho_f")), drop, MassFlow(in("mf_kg_min"))*KilogramPerMinute)
	return a.Diameter().In(unit), err
}

func supplyChecks() map[string]calculation {
	return map[string]calculation{
		"la-3.6": func(in read) (float64, error) {
			tank, hole := CircleArea(Length(in("D_ft"))*Foot), CircleArea(Length(in("d_in"))*Inch)
			ideal, err := DrainTime(tank, Orifice{hole, 1}, Length(in("H1_ft"))*Foot, Length(in("H2_ft"))*Foot)
			return ideal.In(Minute) / in("t_min"), err
		},
		"su-13.1b": func(in read) (float64, error) {
			q, err := TapFlow(Orifice{CircleArea(Length(in("d_cm")) * Centimetre), in("Cd")}, Length(in("H")))
			return q.In(LitrePerSecond), err
		},
		"tap-torr": func(in read) (float64, error) {
			q, err := TapFlow(Orifice{CircleArea(Length(in("d_mm")) * Millimetre), in("Cd")}, Length(in("H")))
			return q.In(MillilitrePerSecond), err
		},
		"su-7.8": func(in read) (float64, error) {
			return lostHead(in, in("V"))
		},
		"su-7.9": func(in read) (float64, error) {
			return lostHead(in, in("Re")*in("mu")/(in("rho")*in("D")))
		},
		"hose-hp": func(in read) (float64, error) {
			p := Pipe{Bore: Length(in("d_mm")) * Millimetre, Length: Length(in("L_m"))}
			fuel := Liquid{Density(in("rho")), Viscosity(in("nu"))}
			q, err := p.LaminarFlow(fuel, HeadPressure(fuel.Density, Length(in("head_m"))))
			return float64(q), err
		},
		"vent-boyle": func(in read) (float64, error) {
			v, err := BlockedTank{
				Gas: Volume(in("V_gas_L")) * Litre, Head: Length(in("h_m")), Fuel: Density(in("rho")), Outside: StandardPressure,
			}.Drawn()
			return v.In(CubicCentimetre), err
		},
		"vent-vapour": func(in read) (float64, error) {
			v, err := BlockedTank{
				Gas: 4 * Litre, Head: 0.3, Fuel: 740, Outside: StandardPressure, Vapour: Pressure(in("pv_kPa")) * Kilopascal,
			}.Drawn()
			return v.In(CubicCentimetre), err
		},
	}
}

func lostHead(in read, speed float64) (float64, error) {
	p := Pipe{Bore: Length(in("D")), Length: Length(in("L"))}
	q := VolumeFlow(speed * float64(CircleArea(p.Bore)))
	h, err := p.HeadLoss(q, Viscosity(in("mu")/in("rho")))
	return h.In(Metre), err
}
