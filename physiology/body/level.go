package body

import "kilopond/physiology/unit"

// A Level is what the heart rate of one second would be with a cause of its course taken away. It is worked from the state of that second, so
// that asking for it changes nothing and draws nothing.
type Level struct {
	Settled  unit.HR // at the level that the work of this second asks for: no lag behind it, no wander
	Straight unit.HR // and if it rose evenly with the work: without the bend
}

// Level returns the level of the second that has passed.
func (b *Body) Level() Level {
	bend := float64(4*(b.traits.Bend+b.day.BendShift)*b.x) * (1 - b.x)
	return Level{
		Settled:  unit.HR(b.level),
		Straight: unit.HR(b.level - float64(float64(b.traits.TrueMaxHR-b.traits.RestHR)*bend)),
	}
}
