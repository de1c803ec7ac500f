package paper

import "strconv"

// Graph paper of heart rate against work rate. Wide enough for everybody whom the test is for, so that the axes tell nothing of the person.
// Source: [CHOICE-GRAPH].
const (
	graphWork, graphWorkStep, graphWorkFine = 2100, 150, 30 // kg·m/min
	graphLow, graphHigh, graphStep          = 60, 220, 10   // bpm
	graphFine                               = 2
)

// graph sets graph paper of a height across the page.
func (f *folio) graph(height float64) {
	x0, y0 := left+30, f.y+height-26
	w, h := f.width()-30, height-36
	across := func(work float64) float64 { return x0 + work/graphWork*w }
	up := func(hr float64) float64 { return y0 - (hr-graphLow)/(graphHigh-graphLow)*h }
	for v := 0; v <= graphWork; v += graphWorkFine {
		grey, weight := 205, 0.3
		if v%graphWorkStep == 0 {
			grey, weight = 130, 0.6
		}
		f.stroke(across(float64(v)), y0-h, across(float64(v)), y0, weight, grey)
	}
	for v := graphLow; v <= graphHigh; v += graphFine {
		grey, weight := 205, 0.3
		if v%graphStep == 0 {
			grey, weight = 130, 0.6
		}
		f.stroke(x0, up(float64(v)), x0+w, up(float64(v)), weight, grey)
	}
	f.frame(x0, y0-h, w, h, 1, 0)
	for v := 0; v <= graphWork; v += 2 * graphWorkStep {
		s := strconv.Itoa(v)
		f.put(across(float64(v))-f.breadth(7.5, "", s)/2, y0+10, 7.5, "", 0, s)
	}
	for v := graphLow; v <= graphHigh; v += 2 * graphStep {
		s := strconv.Itoa(v)
		f.put(x0-4-f.breadth(7.5, "", s), up(float64(v))+2.5, 7.5, "", 0, s)
	}
	f.put(x0+w-f.breadth(8, "", "work rate, kg·m/min"), y0+21, 8, "", 0, "work rate, kg·m/min")
	f.put(x0, y0-h-4, 8, "", 0, "heart rate, bpm")
	f.y += height
}
