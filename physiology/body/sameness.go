package body

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// The simulated bytes must be equal on every processor. Compilers may fuse x*y + z where the hardware can, also across statements (a *= b
// is no protection), and the standard exponential is assembly on some machines. So every product that feeds a sum here is written
// float64(a*b), draws are rounded to a grid at once, and the loop uses this file's exponential and sine only.

// grid rounds a draw to six decimals, so that a last-place difference in a library never reaches a state.
func grid(x float64) float64 { return math.Round(x*1e6) / 1e6 }

// gridEven is grid for the loop, with halves to even: one instruction on most processors.
func gridEven(x float64) float64 { return math.RoundToEven(x*1e6) / 1e6 }

// exp returns e**x for |x| ≤ 700 within 1 unit in the last place of the FreeBSD algorithm it follows, with every product rounded.
// Source: [FREEBSD-EXP].
func exp(x float64) float64 {
	const (
		ln2Hi  = 6.93147180369123816490e-01
		ln2Lo  = 1.90821492927058770002e-10
		invLn2 = 1.44269504088896338700e+00
		p1     = 1.66666666666666019037e-01
		p2     = -2.77777777770155933842e-03
		p3     = 6.61375632143793436117e-05
		p4     = -1.65339022054652515390e-06
		p5     = 4.13813679705723846039e-08
	)
	if x > 700 {
		x = 700
	} else if x < -700 {
		return 0
	}
	k := math.Floor(float64(x*invLn2) + 0.5)
	hi := x - float64(k*ln2Hi)
	lo := float64(k * ln2Lo)
	r := hi - lo
	t := float64(r * r)
	s := p4 + float64(t*p5)
	s = p3 + float64(t*s)
	s = p2 + float64(t*s)
	s = p1 + float64(t*s)
	c := r - float64(t*s)
	y := 1 - ((lo - float64(r*c)/(2-c)) - hi)
	return y * math.Float64frombits(uint64(1023+int64(k))<<52)
}

// clip keeps x within low…high. The built-in min and max weigh signs of zero and NaN as well, which takes several times as long.
func clip(x, low, high float64) float64 {
	if x < low {
		return low
	}
	if x > high {
		return high
	}
	return x
}

// least returns x, or low when x is below it.
func least(x, low float64) float64 {
	if x < low {
		return low
	}
	return x
}

// decay returns exp(−1/tau), the share of a distance that is left after one second.
func decay(tau float64) float64 { return exp(-1 / tau) }

// sine returns sin(2π·turns) within 0.0011, from a corrected parabola: good enough for breathing, and equal everywhere.
func sine(turns float64) float64 {
	u := turns - math.Floor(turns+0.5) // −0.5 … 0.5
	s := float64(8*u) - float64(16*u*math.Abs(u))
	return float64(s * (0.775 + float64(0.225*math.Abs(s))))
}

// normal draws one standard normal on the grid.
func normal(r *rand.Rand) float64 { return grid(distuv.Normal{Mu: 0, Sigma: 1, Src: r}.Rand()) }

// uniform draws evenly from low to high on the grid.
func uniform(r *rand.Rand, low, high float64) float64 {
	if low == high {
		r.Float64() // the number of draws must not depend on the bounds
		return low
	}
	return grid(distuv.Uniform{Min: low, Max: high, Src: r}.Rand())
}

// redraws is how often a draw outside its bounds is repeated before it is clamped.
const redraws = 8

// within draws a normal of the mean and SD, redrawn while it falls outside low…high, then clamped.
func within(r *rand.Rand, mean, sd, low, high float64) float64 {
	for range redraws {
		if x := grid(mean + float64(sd*normal(r))); x >= low && x <= high {
			return x
		}
	}
	return min(max(grid(mean+float64(sd*normal(r))), low), high)
}
