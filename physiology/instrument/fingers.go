package instrument

import (
	"math/rand/v2"
	"time"
)

// A Site is where the pulse is felt.
type Site string

const (
	Radial  Site = "radial"
	Carotid Site = "carotid"
)

// The chance that a trained finger feels an ordinary beat. Source: [CHOICE-FINGERS].
const (
	feltAtRest     = 0.995
	feltPedalling  = 0.99
	feltCarotidFix = 0.005 // the larger artery is missed less often
)

// Fingers are two fingertips on an artery from one moment on. They know beats only.
type Fingers struct {
	from   time.Duration
	chance float64
	r      *rand.Rand
	tenths []int
}

// NewFingers places the fingers at the site from the given moment. The generator decides which beats are missed.
func NewFingers(r *rand.Rand, site Site, from time.Duration, pedalling bool) *Fingers {
	f := &Fingers{}
	f.Place(r, site, from, pedalling)
	return f
}

// Place is NewFingers on fingers that are used again, keeping their buffer.
func (f *Fingers) Place(r *rand.Rand, site Site, from time.Duration, pedalling bool) {
	f.from, f.r, f.tenths, f.chance = from, r, f.tenths[:0], feltAtRest
	if pedalling {
		f.chance = feltPedalling
	}
	if site == Carotid {
		f.chance += feltCarotidFix
	}
}

// Feel offers the beats of one second; each draws once.
func (f *Fingers) Feel(beats []Beat) {
	for _, b := range beats {
		if f.r.Float64() < f.chance*b.Strength && b.At >= f.from {
			f.tenths = append(f.tenths, int((b.At-f.from)/(100*time.Millisecond)))
		}
	}
}

// Tenths returns when each beat was felt, in tenths of a second from the start; the slice belongs to the fingers.
func (f *Fingers) Tenths() []int { return f.tenths }
