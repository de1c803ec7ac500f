package body

import "math/rand/v2"

// Nervous is a pressure raised by hurry, strangers and machines, that holds while everything is new, settles after some minutes of quiet
// sitting in one place, and does not come back.
//
// Too little rest reads 4–12 mmHg high on average; some people show far more. Source: [KALLIOINEN2017], [CHOICE-WHITECOAT].
type Nervous struct {
	Systolic Span `json:"mmhg" yaml:"mmhg"` // on arrival; diastolic a third of it
}

func (Nervous) name() string { return "nervous" }

func (n Nervous) check() []string { return inside(nil, "mmhg", n.Systolic, 5, 80) }

func (n Nervous) start(_ Traits, r *rand.Rand) mechanism {
	return &nervous{raised: n.Systolic.draw(r)}
}

type nervous struct {
	healthy
	sat         int     // s of sitting so far, in one place
	where       Posture // that place
	raised, put float64 // mmHg: owed, and already in the body's own pressure
}

// calmFromS is how long sitting takes to help, calmKeep exp(−1/90) for a second of it after that. Source: [CHOICE-WHITECOAT].
const calmFromS, calmKeep = 395, 0.9889503892939223

func (n *nervous) after(b *Body) {
	if b.last.Posture != n.where && n.sat <= calmFromS {
		n.where, n.sat = b.last.Posture, 0 // being moved about is no quiet
	}
	if b.last.Posture != Standing {
		if n.sat++; n.sat > calmFromS {
			n.raised = float64(n.raised * calmKeep)
		}
	}
	by := n.raised - n.put
	n.put = n.raised
	b.shift(by, by/3)
}

func (n *nervous) pressure(_ *Body, sbp, dbp float64) (float64, float64) {
	return sbp + n.put, dbp + n.put/3
}
