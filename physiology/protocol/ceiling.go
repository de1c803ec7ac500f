package protocol

import "kilopond/physiology/unit"

// Ceiling returns the heart rate at which the test stops. The number is kept exact (157.25): readings are compared with it unrounded.
// A ceiling from reserve needs the resting rate.
//
// Source: [CSEP2009], [KINE4315] 85 % of maximum; [EXRX] 70 % of reserve; [HAND] a fixed 150.
func Ceiling(r Rules, maxHR, restHR unit.HR) unit.HR {
	switch r.Ceiling.Of {
	case "fixed":
		return r.Ceiling.Fixed
	case "reserve":
		return unit.HR(r.Ceiling.Fraction)*(maxHR-restHR) + restHR
	}
	return unit.HR(r.Ceiling.Fraction) * maxHR
}

// WindowHigh returns the highest heart rate that may enter the line.
func WindowHigh(r Rules, ceiling unit.HR) unit.HR {
	if r.WindowHigh == WindowFixed150 {
		return 150
	}
	return ceiling
}

// The rules for the window's upper end. Source: [CSEP2009] the ceiling; [HAND] 150.
const (
	WindowCeiling  WindowHighRule = "ceiling"
	WindowFixed150 WindowHighRule = "fixed150"
)

// InWindow reports whether a stage's heart rate may enter the line; both ends belong to it. Source: [HK], [CSEP2009].
func InWindow(r Rules, hr, ceiling unit.HR) bool {
	return hr >= r.WindowLow && hr <= WindowHigh(r, ceiling)
}
