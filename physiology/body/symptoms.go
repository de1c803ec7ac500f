package body

// rhythmFoundS is how long somebody may look for the rhythm after the load or the pedalling changes, in s. Source: [CHOICE-SIGNS].
const rhythmFoundS = 15

// Symptoms returns what is present in this second, in a stable order; the slice is overwritten by the next call.
//
// Signs of plain hard work come from the body itself; those of illness from its mechanisms. Source: [CHOICE-SIGNS].
func (b *Body) Symptoms() []Symptom {
	b.symptoms = b.symptoms[:0]
	pedalling := b.last.Pedalling && b.last.Posture == OnCycle
	owed := b.strain()
	if pedalling && !b.stopped {
		if beat := float64(b.last.Metronome); beat > 0 && b.sinceS > rhythmFoundS && b.cadence < beat-5 {
			b.symptoms = append(b.symptoms, Symptom{CadenceLost, b.grade((beat - 5 - b.cadence) / 5), Seen})
		}
		if owed > 0.35 {
			b.symptoms = append(b.symptoms, Symptom{SevereExertion, b.grade((owed - 0.35) / 0.15), Seen})
		}
		if b.asking() {
			b.symptoms = append(b.symptoms, Symptom{AskedToStop, 3, Unasked})
		}
	}
	if b.stopped {
		b.symptoms = append(b.symptoms, Symptom{AskedToStop, 4, Unasked})
	}
	for _, m := range b.ills {
		b.symptoms = m.symptoms(b, b.symptoms)
	}
	return b.symptoms
}

// grade turns a distance above a threshold into 1 to 4.
func (b *Body) grade(over float64) int { return min(4, 1+int(max(0, over))) }
