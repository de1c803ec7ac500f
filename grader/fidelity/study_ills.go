package fidelity

import (
	"slices"

	"kilopond/physiology/body"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// ailing returns the body of a person on a day with what is wrong with them.
func ailing(p scenarios.Person, day int, ills ...body.Ill) *rider {
	r := &rider{traits: p.Traits}
	p.Ills = ills
	p.Begin(&r.Body, day)
	return r
}

// chestOf rides one-minute steps of 12.5 W on seven days until the chest is first felt, at a threshold of the person's own: the SD of the product of
// rate and pressure at that moment, and of the time to it, each in percent of the person's mean.
func chestOf(seed scenarios.Seed) record {
	p := general(40, 79).Draw(seed)
	own := 15000 + 4000*seed.Stream("fidelity/chest").Float64() // what the cases draw from
	ill := body.Ill{Angina: &body.Angina{Threshold: body.Span{Low: own, High: own}}}
	var product, after []float64
	for day := 1; day <= 7; day++ {
		r := ailing(p, day, ill)
		for s := 0; s < 1200 && !r.spent(); s++ {
			r.ride(1, unit.Resistance(0.25*float64(1+s/60)), nil)
			if r.shows(body.ChestDiscomfort) {
				product, after = append(product, float64(r.Now().HR)*float64(r.Now().SBP)), append(after, float64(s+1))
				break
			}
		}
	}
	if len(product) < 7 {
		return nil
	}
	return record{100 * sdOf(product) / meanOf(product), 100 * sdOf(after) / meanOf(after)}
}

// shows says whether a sign is there for somebody who asks.
func (r *rider) shows(sign body.Sign) bool {
	return slices.ContainsFunc(r.Symptoms(), func(y body.Symptom) bool { return y.Sign == sign })
}

// unevenOf rides four minutes at 25 and at 50 W in fibrillation and in sinus rhythm on the same day: the quotient at 50 W, the difference at 25 W.
func unevenOf(seed scenarios.Seed) record {
	p := general(50, 79).Draw(seed)
	ill := body.Ill{Fibrillation: &body.Fibrillation{Extra: body.Span{Low: 20, High: 36}, Spread: body.Span{Low: 0.18, High: 0.26}, Deficit: body.Span{Low: 0.06, High: 0.18}}}
	even, uneven := mount(p, 1).stages(240, 0.9, halves()[:2]), ailing(p, 1, ill).stages(240, 0.9, halves()[:2])
	if len(even) < 2 || len(uneven) < 2 {
		return nil
	}
	return record{uneven[1].hr / even[1].hr, uneven[0].hr - even[0].hr}
}

// fallingOf rides to the end with all that may be wrong with somebody of the general mix: 100 when the last systolic pressure is below that at rest.
func fallingOf(seed scenarios.Seed) record {
	p := general(20, 79).Draw(seed)
	r := ailing(p, 1, p.Ills...)
	r.sit(300)
	rest := r.Now().SBP
	for kp := unit.Resistance(0.25); kp <= 7 && !r.spent(); kp += 0.25 {
		r.ride(60, kp, nil)
	}
	if r.Now().SBP < rest {
		return record{100}
	}
	return record{0}
}

// largestDoseOf is the fall of true maximum heart rate, in percent, by the largest dose that is drawn of a drug that slows the heart.
func largestDoseOf(seed scenarios.Seed) record {
	p := general(18, 79).Draw(seed)
	with, day := p.Traits, p.Day(1)
	body.Alter(&with, &day, []body.Ill{{Drug: &body.Drug{Kind: "rate_slowing", Dose: &body.Span{Low: 1.2, High: 1.2}}}}, seed.Stream("fidelity/drug"))
	return record{100 * (1 - float64(with.TrueMaxHR)/float64(p.Traits.TrueMaxHR))}
}

func illMeasures() []measure {
	return []measure{
		{"D01", "chest", mean(0, nil)},
		{"D02", "chest", mean(1, nil)},
		{"D03", "uneven", mean(0, nil)},
		{"D04", "uneven", mean(1, nil)},
		{"B19", "falling", mean(0, nil)},
		{"M05", "largest dose", mean(0, nil)},
	}
}
