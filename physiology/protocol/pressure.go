package protocol

import "kilopond/physiology/unit"

// MeanPressure returns diastolic plus a third of the pulse pressure; meant for rest. Source: [OPENSTAX-AP].
func MeanPressure(systolic, diastolic unit.Pressure) unit.Pressure {
	return diastolic + (systolic-diastolic)/3
}

// RatePressureProduct returns heart rate × systolic pressure in bpm·mmHg. Source: [WIKI-RPP].
func RatePressureProduct(hr unit.HR, systolic unit.Pressure) float64 {
	return float64(hr) * float64(systolic)
}

// RatePressureBand names the band of a peak product. Source: [WIKI-RPP].
func RatePressureBand(product float64) string {
	switch {
	case product < 10000:
		return "low"
	case product < 15000:
		return "low intermediate"
	case product < 25000:
		return "intermediate"
	case product < 30000:
		return "high intermediate"
	}
	return "high"
}
