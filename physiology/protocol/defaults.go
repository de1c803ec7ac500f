package protocol

// Default returns the rulebook's arithmetic and timing as they ship: four bands, 15-s counts, 5 bpm, 85 % of 220 − age, two points.
//
// Source: [CSEP2009], [HAND] bands and loads; [HK] mean of the last two minutes; [WSU] valve; [NHANES-CVX] smallest rise; [BENJ] stops;
// [CHOICE-RULEBOOK] the rest, with its reasons.
func Default() Rules {
	return Rules{
		Bands: []Band{
			{Below: 80, WorkRates: rates(750, 900, 1050)},
			{Below: 90, WorkRates: rates(600, 750, 900)},
			{UpTo: 100, WorkRates: rates(450, 600, 750)},
			{WorkRates: rates(300, 450, 600)},
		},
		FirstWorkRate:  150,
		StepAfterTable: 150,
		BranchHR:       LastMinute,
		Cadence:        50,
		WarmUpS:        120,
		StageS:         180,
		ExtensionS:     60,
		MaxExtensions:  3,
		Steady:         WithinFive,
		StageHR:        MeanLastTwo,
		MaxHR:          Fox,
		Ceiling:        CeilingRule{Of: "max_hr", Fraction: 0.85},
		End:            EndAtCeiling,
		WindowLow:      110,
		WindowHigh:     WindowCeiling,
		StagesNeeded:   2,
		SmallestRise:   5,
		Fit:            FitTwoLast,
		OnePoint:       SingleStageValue,
		O2Cost:         LegCost,
		KgmMinPerWatt:  6.12,
		Norms:          "six-class",
		ErrorRange:     15,
		Count:          CountRule{Seconds: 15, FirstBeat: "zero", Every: 1, BeforeS: 30, AfterS: 20},
		Pressure: PressureRule{
			EveryStages: 1, FromS: 60, ValveLow: 2, ValveHigh: 3, RepeatAfterS: 60, DiastolicPhase: "V", PumpAbove: 20,
		},
		Screening: ScreeningLimits{
			RestS: 300, PostponeHR: 100, PostponeSBP: 160, PostponeDBP: 100, RefuseSBP: 200, RefuseDBP: 110,
			RepeatWhenHigh: true, RepeatAfterS: 60, SymptomsRefused: true, OddBeats: 3,
		},
		Stop: StopLimits{
			SystolicFall: 10, SystolicMax: 250, DiastolicMax: 115, OddBeats: 6, LeastRise: 2, AskRPE: 17, CadenceLostS: 15,
			EmergencyFullS: 10, EmergencyMissS: 30, VerifyBeginS: 15, VerifyDoneS: 60, LookEveryS: 60,
		},
		CoolDown: CoolDownRule{MaxResistance: 0.5, ActiveS: 180, WatchS: 300, HREveryS: 60, Pressures: 1, ReleaseHR: 110},
		Crew:     "solo",
	}
}

// ThreeBands returns the older table of three bands. Its first edge is common practice without a source; the rest is from memory and stands
// so on the screen until an instructor confirms it. Source: [MEMORY-THREE-BANDS].
func ThreeBands() []Band {
	const known = "first edge common practice, the rest from memory; confirm it before use"
	return []Band{
		{Below: 86, WorkRates: rates(600, 750, 900), HowKnown: known},
		{UpTo: 100, WorkRates: rates(450, 600, 750), HowKnown: known},
		{WorkRates: rates(300, 450, 600), HowKnown: known},
	}
}
