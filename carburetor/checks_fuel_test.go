package carburetor

import "math"

// molecule reads c, h and o of a row; o may be missing.
func molecule(in read, oxygen float64) Composition {
	return Composition{Carbon: in("c"), Hydrogen: in("h"), Oxygen: oxygen}
}

func modernRatio(oxygen string) calculation {
	return func(in read) (float64, error) {
		o := 0.0
		if oxygen != "" {
			o = in(oxygen)
		}
		r, err := molecule(in, o).StoichiometricAFR(Convention{})
		return float64(r), err
	}
}

func oldEthanol(oxygenByMass float64) calculation {
	return func(in read) (float64, error) {
		r, err := molecule(in, in("o")).StoichiometricAFR(OxygenByMass(oxygenByMass))
		return float64(r), err
	}
}

// Conventions of the texts.
var (
	// moran: 4.76 moles of air per mole of oxygen, air 28.97.
	moran = Convention{OxygenInAir: 1 / 4.76, AirMass: 28.97}
	// rajput: air 79/21, air 28.97 or 28.84, fuel by whole numbers.
	rajput      = Convention{Carbon: 12, Hydrogen: 1, Oxygen: 16, OxygenInAir: 0.21, AirMass: 28.97}
	rajputMixed = Convention{Carbon: 12, Hydrogen: 1, Oxygen: 16, OxygenInAir: 0.21, AirMass: 0.21*32 + 0.79*28}
	// gupta: 3.76 moles of nitrogen per mole of oxygen, all by whole numbers.
	gupta = Convention{Carbon: 12, Hydrogen: 1, Oxygen: 16, OxygenInAir: 1 / 4.76, AirMass: (32 + 3.76*28) / 4.76}
)

// fraction returns one mass fraction of a fuel in per cent.
func fraction(f Fuel, pick func(MassAnalysis) float64) calculation {
	return func(read) (float64, error) {
		m, err := f.Composition.MassAnalysis(Convention{})
		return 100 * pick(m), err
	}
}

func carbonOf(m MassAnalysis) float64 { return m.Carbon }
func oxygenOf(m MassAnalysis) float64 { return m.Oxygen }

// vapourShare returns the volume of fuel in its stoichiometric vapour in per cent.
func vapourShare(f Fuel) calculation {
	return func(read) (float64, error) {
		v, err := f.Composition.VapourShare(1, Convention{})
		return 100 * v, err
	}
}

func poundsPerGallon(in read) (float64, error) {
	return float64(Density(in("lb_gal")) * PoundPerUSGallon), nil
}

// blendRatio is the stoichiometric ratio of a row's blend from 14.7 and 9.0.
func blendRatio(in read) (float64, error) {
	r, err := rowBlend(in).AFR(14.7, 9.0)
	return float64(r), err
}

func rowBlend(in read) Blend {
	b := Blend{Base: Petrol(), Added: Ethanol(), Share: in("v")}
	b.Base.Density, b.Added.Density = Density(in("rho_g")), Density(in("rho_e"))
	return b
}

func fuelChecks() map[string]calculation {
	return map[string]calculation{
		"mo-13.1a": func(in read) (float64, error) {
			r, err := molecule(in, 0).StoichiometricAFR(moran)
			return float64(r), err
		},
		"mo-13.1b": func(in read) (float64, error) {
			r, err := molecule(in, 0).StoichiometricAFR(moran)
			return 1.5 * float64(r), err
		},
		"rj-et-11.15": func(in read) (float64, error) {
			r, err := molecule(in, 0).StoichiometricAFR(rajput)
			return float64(r), err
		},
		"rj-et-11.12": oldEthanol(0.23),
		"rj-et-11.22": oldEthanol(0.233),
		"gu-3.2": func(in read) (float64, error) {
			// 40 % heptane, 60 % octane by moles; in("O2") is the oxygen supplied per mole.
			mix := Composition{Carbon: 0.4*7 + 0.6*8, Hydrogen: 0.4*16 + 0.6*18}
			r, err := mix.StoichiometricAFR(gupta)
			return float64(r) * in("O2") / (mix.Carbon + mix.Hydrogen/4), err
		},
		"gu-3.3": func(in read) (float64, error) {
			old := OxygenByMass(0.23)
			c, err := MassAnalysis{in("C"), in("H"), in("O"), in("S")}.Composition(old)
			if err != nil {
				return 0, err
			}
			r, err := c.StoichiometricAFR(old)
			return float64(r), err
		},
		"af-eth": modernRatio("o"), "af-eth2": modernRatio("o"), "af-meth": modernRatio("o"),
		"af-iso": modernRatio(""), "af-gas": modernRatio(""),
		"af-gas-cw": func(in read) (float64, error) {
			c, err := MassAnalysis{Carbon: in("C"), Hydrogen: in("H")}.Composition(Convention{})
			if err != nil {
				return 0, err
			}
			r, err := c.StoichiometricAFR(Convention{})
			return float64(r), err
		},
		"af-eth-C": fraction(Ethanol(), carbonOf), "af-eth-O": fraction(Ethanol(), oxygenOf),
		"af-meth-C":  fraction(Methanol(), carbonOf),
		"af-eth-vol": vapourShare(Ethanol()), "af-gas-vol": vapourShare(Petrol()),
		"af-gas-dens": poundsPerGallon, "af-gas-dens2": poundsPerGallon,
		"af-eth-dens": func(read) (float64, error) { return float64(6.61 * PoundPerUSGallon), nil },
		"e10-oxygen": func(in read) (float64, error) {
			w, err := rowBlend(in).OxygenShare()
			return 100 * w, err
		},
		"e5-oxygen": func(in read) (float64, error) {
			w, err := Blend{Base: Petrol(), Added: Ethanol(), Share: in("v")}.OxygenShare()
			return 100 * w, err
		},
		"e5-afr": blendRatio, "e10-afr": blendRatio, "e85-afr": blendRatio,
	}
}

func exhaustChecks() map[string]calculation {
	petrol := Composition{Carbon: 1, Hydrogen: 1.87}
	octane := Composition{Carbon: 8, Hydrogen: 18}
	methane := Composition{Carbon: 1, Hydrogen: 4}
	methaneGas := Exhaust{CO2: 9.7, CO: 0.5, O2: 2.95} // Moran and Shapiro, example 13.2
	guptaGas := Exhaust{CO2: 12, CO: 0.5, O2: 4, N2: 83.5}
	return map[string]calculation{
		"mo-13.2a": func(in read) (float64, error) {
			r, err := Exhaust{CO2: in("CO2"), CO: in("CO"), O2: in("O2")}.OxygenAFR(methane, moran)
			return float64(r), err
		},
		"mo-13.2b": func(read) (float64, error) {
			r, err := methaneGas.OxygenAFR(methane, moran)
			if err != nil {
				return 0, err
			}
			theory, err := methane.StoichiometricAFR(moran)
			return 100 * float64(r.Lambda(theory)), err
		},
		"gu-3.4a": func(in read) (float64, error) {
			u, err := Exhaust{CO2: in("CO2"), CO: in("CO"), O2: in("O2"), N2: in("N2")}.UnknownFuel(gupta)
			return float64(u.AFR), err
		},
		"gu-3.4b": func(read) (float64, error) {
			u, err := guptaGas.UnknownFuel(gupta)
			return 100 * u.Fuel.Carbon, err
		},
		"rj-11.29": func(in read) (float64, error) {
			c, err := MassAnalysis{Carbon: in("C"), Hydrogen: in("H")}.Composition(rajputMixed)
			if err != nil {
				return 0, err
			}
			r, _, err := LeanAFR(in("CO2"), c, rajputMixed)
			return float64(r), err
		},
		"rj-11.29-brett": func(in read) (float64, error) {
			l, err := Exhaust{CO2: 12, O2: 5.13}.Brettschneider(FuelRatio{Hydrogen: in("Hcv")})
			return float64(l.Lambda), err
		},
		"rj-11.28a": func(read) (float64, error) {
			e := Exhaust{CO2: 8.9, CO: 8.2, H2: 4.3, HC: 0.5, N2: 78.1}
			r, err := e.CarbonNitrogenAFR(octane, rajputMixed)
			return float64(r), err
		},
		"rj-11.28-brett": func(in read) (float64, error) {
			l, err := Exhaust{CO2: in("CO2"), CO: in("CO"), HC: in("HC_C1")}.Brettschneider(FuelRatio{Hydrogen: in("Hcv")})
			return float64(l.Lambda), err
		},
		"gu-3.5": func(in read) (float64, error) {
			c, err := MassAnalysis{Carbon: in("C"), Hydrogen: in("H")}.Composition(gupta)
			if err != nil {
				return 0, err
			}
			b := Burn{Lambda: Lambda(1 / in("phi")), Fuel: c, Equilibrium: math.Inf(1), Convention: gupta}
			e, err := b.Exhaust()
			return e.CO, err
		},
		"wgs-90": func(in read) (float64, error) {
			b := Burn{Lambda: Lambda(in("lam")), Fuel: Composition{Carbon: 1, Hydrogen: in("HC")}, Equilibrium: in("K")}
			e, err := b.Exhaust()
			return e.CO, err
		},
		"wgs-brett": func(in read) (float64, error) {
			petrol.Hydrogen = in("Hcv")
			e, err := Burn{Lambda: Lambda(in("lam")), Fuel: petrol}.Exhaust()
			if err != nil {
				return 0, err
			}
			l, err := e.Brettschneider(FuelRatio{Hydrogen: in("Hcv")})
			return float64(l.Lambda), err
		},
	}
}

// latent compares a fuel's latent heat with the row's, and returns it in kJ/kg.
func latent(f Fuel) calculation {
	return func(in read) (float64, error) {
		if f.Latent != SpecificEnergy(in("btu_lb"))*BTUPerPound {
			return math.NaN(), nil
		}
		return f.Latent.In(KilojoulePerKilogram), nil
	}
}

// heating is latent for the lower heating value, in MJ/kg.
func heating(f Fuel) calculation {
	return func(in read) (float64, error) {
		if f.LowerHeat != SpecificEnergy(in("btu_lb"))*BTUPerPound {
			return math.NaN(), nil
		}
		return f.LowerHeat.In(MegajoulePerKilogram), nil
	}
}

// latentPerAir is in Btu per pound of air.
func latentPerAir(f Fuel) calculation {
	return func(in read) (float64, error) {
		f.Latent = SpecificEnergy(in("h_fg")) * BTUPerPound
		q, err := f.LatentPerAir(AFR(in("AFR")))
		return q.In(BTUPerPound), err
	}
}

// evaporation is the cooling by full evaporation.
func evaporation(in read) (float64, error) {
	d, err := EvaporationCooling(SpecificEnergy(in("h_fg"))*KilojoulePerKilogram, AFR(in("AFR")), 1)
	return float64(d), err
}

// limitRatio is the air-fuel ratio at a limit of burning in per cent by volume.
func limitRatio(in read) (float64, error) {
	r, err := VapourAFR(in("v")/100, MolarMass(in("M"))*GramPerMole)
	return float64(r), err
}

func heatChecks() map[string]calculation {
	isooctane := Composition{Carbon: 8, Hydrogen: 18}
	return map[string]calculation{
		"af-hfg-gas": latent(Petrol()), "af-hfg-meth": latent(Methanol()), "af-hfg-eth": latent(Ethanol()),
		"af-hfg-air-gas": latentPerAir(Petrol()), "af-hfg-air-meth": latentPerAir(Methanol()),
		"af-hfg-air-eth": latentPerAir(Ethanol()),
		"af-lhv-gas":     heating(Petrol()), "af-lhv-meth": heating(Methanol()), "af-lhv-eth": heating(Ethanol()),
		"af-lhv-gal": func(read) (float64, error) {
			// The density at which a gallon has 116,090 Btu, 18,676 Btu to the pound.
			f := Petrol()
			f.Density = 1 * PoundPerUSGallon
			h, err := f.HeatPerVolume()
			return 116090 / h.In(BTUPerUSGallon), err
		},
		"iso-hhv": func(in read) (float64, error) {
			in("M") // the model computes the molar mass
			h, _, err := isooctane.HeatOfCombustion(MolarEnergy(in("dHc_kJ_mol")) * KilojoulePerMole)
			return h.In(MegajoulePerKilogram), err
		},
		"iso-lhv": func(read) (float64, error) {
			_, l, err := isooctane.HeatOfCombustion(5461.3 * KilojoulePerMole)
			return l.In(MegajoulePerKilogram), err
		},
		"ice-full": func(in read) (float64, error) {
			in("cp_a") // 1.005 and 2.2 kJ/(kg K), the constants of the package
			in("cp_f")
			return evaporation(in)
		},
		"ice-30": evaporation, "ice-eth": evaporation,
		"ice-venturi": func(in read) (float64, error) {
			s := GasState{StandardPressure, Temperature(in("T"))}
			d, err := VenturiCooling(s, s.Pressure*Pressure(in("dp_over_p")))
			return float64(d), err
		},
		"lfl-afr": limitRatio, "ufl-afr": limitRatio, "eth-lfl": limitRatio,
	}
}
