package fidelity

// studies lists every simulation.
func studies() []study {
	return []study{
		{"traits", 40000, 8000, traitsOf},
		{"visit", 3000, 600, visitOf},
		{"reserve", 4000, 600, reserveOf},
		{"men 18-64", 3000, 1000, fixedRateMen},
		{"women 18-64", 3000, 500, fixedRateWomen},
		{"three quarters", 4000, 800, threeQuartersOf},
		{"work", 3000, 500, workOf},
		{"young men's uptake", 1000, 200, uptakeOf},
		{"step", 2000, 300, stepOf},
		{"step by age", 2000, 500, stepByAgeOf},
		{"second stage", 2000, 500, secondStageOf},
		{"drift", 2000, 400, driftOf},
		{"recovery", 5000, 900, recoveryOf},
		{"after the maximum", 3000, 900, afterMaxOf},
		{"at the maximum", 1500, 400, atMaxOf},
		{"first seconds", 2000, 500, firstSecondsOf},
		{"beats", 1000, 300, beatsOf},
		{"beats by age", 1500, 300, beatsByAgeOf},
		{"before a test", 1500, 300, beforeOf},
		{"stage pressures", 2000, 400, stagePressureOf},
		{"peak", 6000, 2400, peakOf},
		{"exertion", 2000, 400, exertionOf},
		{"trials 18-60", 8000, 1200, trialsTo60},
		{"trials 18-79", 8000, 1600, trialsTo79},
		{"count", 20000, 8000, countOf},
		{"observers", 400, 100, observersOf},
		{"caffeine", 2000, 500, caffeineOf},
		{"drug", 4000, 800, drugOf},
		{"largest dose", 1000, 200, largestDoseOf},
		{"chest", 600, 120, chestOf},
		{"uneven", 1000, 200, unevenOf},
		{"falling", 8000, 1600, fallingOf},
	}
}

// measures lists how each row is read from its study; the ids are those of the table.
func measures() []measure {
	return slicesOf(traitMeasures(), workMeasures(), recoveryMeasures(), pressureMeasures(), trialMeasures(), instrumentMeasures(), illMeasures())
}

func slicesOf(lists ...[]measure) (all []measure) {
	for _, l := range lists {
		all = append(all, l...)
	}
	return all
}
