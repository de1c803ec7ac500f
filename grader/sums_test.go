package grader

import (
	"strings"
	"testing"

	"kilopond/exercises"
	"kilopond/physiology/unit"
)

// rightSheet is the sheet of worked examples W048 and W049 with stage 1 at 104: age 40, 70 kg, 112 at 300 and 127 at 450 kg·m/min.
func rightSheet() map[exercises.Key]string {
	return map[exercises.Key]string{
		exercises.KeyMaxHR: "180", exercises.KeyCeiling: "153", exercises.KeyCeilingCount: "38.25", exercises.KeyPoints: "2 3",
		exercises.KeyMaxWorkRate: "980", exercises.KeyVO2Rel: "32.2", exercises.KeyVO2Abs: "2.254", exercises.KeyMETs: "9.2",
		exercises.KeyRating: "poor", exercises.KeyErrorRange: "15",
	}
}

func handSheet(t *testing.T, set string, boxes map[exercises.Key]string) (Rulebook, *Course) {
	t.Helper()
	book := Default()
	if set != "" {
		if err := book.Set(set); err != nil {
			t.Fatal(err)
		}
	}
	h := &handmade{book: book, sex: "M", age: 40}
	h.stages = handStages("150:104 300:112 450:127")
	h.ride(70)
	h.calculate(boxes)
	h.handIn(35)
	return book, h.course(t)
}

// onward works every box after the given one from what stands before it, as a student does who made one slip and no other.
func onward(boxes map[exercises.Key]string, from exercises.Key) {
	is := func(keys ...exercises.Key) bool {
		for _, k := range keys {
			if k == from {
				return true
			}
		}
		return false
	}
	if is(exercises.KeyMaxHR) {
		boxes[exercises.KeyCeiling] = number(0.85*parsed(boxes[exercises.KeyMaxHR]), 2)
		boxes[exercises.KeyMaxWorkRate] = number(450+(parsed(boxes[exercises.KeyMaxHR])-127)/0.1, 1)
	}
	if is(exercises.KeyMaxHR, exercises.KeyCeiling) {
		boxes[exercises.KeyCeilingCount] = number(parsed(boxes[exercises.KeyCeiling])/4, 2)
	}
	if is(exercises.KeyMaxHR, exercises.KeyMaxWorkRate) {
		boxes[exercises.KeyVO2Rel] = number(1.8*parsed(boxes[exercises.KeyMaxWorkRate])/70+7, 2)
	}
	if is(exercises.KeyMaxHR, exercises.KeyMaxWorkRate, exercises.KeyVO2Rel) {
		boxes[exercises.KeyVO2Abs] = number(parsed(boxes[exercises.KeyVO2Rel])*70/1000, 3)
		boxes[exercises.KeyMETs] = number(parsed(boxes[exercises.KeyVO2Rel])/3.5, 2)
		boxes[exercises.KeyRating] = Default().NormTable().Category(unit.Male, 40, unit.RelVO2(parsed(boxes[exercises.KeyVO2Rel])))
	}
}

func credits(b Rulebook, c *Course) map[string]float64 {
	all := map[string]float64{}
	for _, r := range arithmeticRules() {
		for _, o := range r.Judge(b, c) {
			all[r.Name] = o.Credit
		}
	}
	return all
}

// TestRightSums: a right sheet keeps every rule of the calculation and names no slip.
func TestRightSums(t *testing.T) {
	b, c := handSheet(t, "", rightSheet())
	for rule, credit := range credits(b, c) {
		if credit != 1 {
			t.Errorf("%s: credit %v", rule, credit)
		}
	}
	if found := slips(b, c); len(found) != 0 {
		t.Errorf("slips in a right sheet: %+v", found)
	}
}

// TestSlips: each known slip alone, everything after it worked rightly from it, is named once, keeps half of its item, and costs no other number.
func TestSlips(t *testing.T) {
	for _, c := range []struct {
		key        exercises.Key
		text       string
		rule, name string
	}{
		{exercises.KeyMaxHR, "173.2", "sum-max-hr", "another equation for the maximum"},
		{exercises.KeyCeiling, "180", "sum-ceiling", "the maximum itself, not the part of it that ends the test"},
		{exercises.KeyCeiling, "144", "sum-ceiling", "80 % instead of 85 %"},
		{exercises.KeyCeilingCount, "25.5", "sum-ceiling-count", "the count of another length"},
		{exercises.KeyCeilingCount, "76.5", "sum-ceiling-count", "the count of another length"},
		{exercises.KeyMaxWorkRate, "710", "sum-work-rate", "the line read at the ceiling instead of the maximum"},
		{exercises.KeyMaxWorkRate, "1141.3", "sum-work-rate", "a stage outside the window was used as a point"},
		{exercises.KeyMaxWorkRate, "1156.5", "sum-work-rate", "least squares through every stage, also those outside the window"},
		{exercises.KeyMaxWorkRate, "1575", "sum-work-rate", "the first two stages instead of the last two"},
		{exercises.KeyMaxWorkRate, "160.1", "sum-work-rate", "watts instead of kg·m/min"},
		{exercises.KeyVO2Rel, "25.2", "sum-vo2-rel", "the resting 7 left out"},
		{exercises.KeyVO2Rel, "28.7", "sum-vo2-rel", "only 3.5 added instead of 7"},
		{exercises.KeyVO2Rel, "39.2", "sum-vo2-rel", "7 added twice"},
		{exercises.KeyVO2Rel, "18.43", "sum-vo2-rel", "body mass in pounds"},
		{exercises.KeyVO2Rel, "11.12", "sum-vo2-rel", "watts put into the equation for kg·m/min"},
		{exercises.KeyVO2Rel, "31.5", "sum-vo2-rel", "another equation for the oxygen cost"},
		{exercises.KeyVO2Abs, "2254", "sum-vo2-abs", "millilitres not turned into litres"},
		{exercises.KeyVO2Abs, "4.97", "sum-vo2-abs", "body mass in pounds"},
		{exercises.KeyMETs, "112.7", "sum-mets", "multiplied by 3.5 instead of divided"},
		{exercises.KeyMETs, "0.644", "sum-mets", "worked from litres a minute instead of mL/kg/min"},
	} {
		t.Run(c.rule+" "+c.text, func(t *testing.T) {
			boxes := rightSheet()
			boxes[c.key] = c.text
			onward(boxes, c.key)
			b, course := handSheet(t, "", boxes)
			found := slips(b, course)
			if len(found) != 1 || found[0].Name != c.name || found[0].Item != string(c.key) || found[0].Wrote != c.text || found[0].How == "" || found[0].Right == "" {
				t.Errorf("named %+v, want %q once", found, c.name)
			}
			for rule, credit := range credits(b, course) {
				want := 1.0
				if rule == c.rule {
					want = slipCredit
				}
				if credit != want {
					t.Errorf("%s: credit %v, want %v", rule, credit, want)
				}
			}
		})
	}
}

// TestSingleStageSlips: the value from the only usable stage, by hand for a man of 40 and 70 kg at 300 kg·m/min and 112 bpm: the stage takes
// 1.8 × 300 / 70 + 7 = 14.71 mL/kg/min, and 14.71 × (180 − 61) / (112 − 61) is 34.33. Each known slip alone is named and keeps half.
func TestSingleStageSlips(t *testing.T) {
	for _, c := range []struct{ text, name string }{
		{"34.3", ""},
		{"14.7", "the oxygen uptake of the stage itself"}, // 14.71
		{"39.7", "the constant of the other sex"},         // 14.71 × 108 / 40
		{"23.6", "no constant taken off"},                 // 14.71 × 180 / 112
		{"18", "the resting 7 left out"},                  // 7.71 × 119 / 51
	} {
		h := &handmade{book: Default(), sex: "M", age: 40}
		h.stages = handStages("150:96 300:112")
		h.ride(70)
		rel := parsed(c.text)
		h.calculate(map[exercises.Key]string{
			exercises.KeyMaxHR: "180", exercises.KeyCeiling: "153", exercises.KeyCeilingCount: "38.25", exercises.KeyPoints: "2", exercises.KeyVO2Rel: c.text,
			exercises.KeyVO2Abs: number(rel*0.07, 3), exercises.KeyMETs: number(rel/3.5, 2),
			exercises.KeyRating: h.book.NormTable().Category(unit.Male, 40, unit.RelVO2(rel)), exercises.KeyErrorRange: "15",
		})
		h.handIn(35)
		course := h.course(t)
		found := slips(h.book, course)
		if c.name == "" && len(found) > 0 || c.name != "" && (len(found) != 1 || found[0].Name != c.name || found[0].Wrote != c.text || found[0].How == "") {
			t.Errorf("%s: named %+v, want %q", c.text, found, c.name)
		}
		for rule, credit := range credits(h.book, course) {
			want := 1.0
			if rule == "sum-vo2-rel" && c.name != "" {
				want = slipCredit
			}
			if credit != want {
				t.Errorf("%s: %s has credit %v, want %v", c.text, rule, credit, want)
			}
		}
	}
}

// TestRatingByTheHousesTable: 32.2 mL/kg/min of a man of 40 is poor by treadmill time, good by the percentiles of a cycle registry, very poor among
// Norwegians; each house takes its own word only, and a finding says which table it was.
func TestRatingByTheHousesTable(t *testing.T) {
	words := map[string]string{"six-class": "poor", "us-cycle": "good", "norway-treadmill": "very poor"}
	for norms := range words {
		for other, word := range words {
			boxes := rightSheet()
			boxes[exercises.KeyRating] = word
			b, c := handSheet(t, "norms="+norms, boxes)
			o := ruleRating.Judge(b, c)
			if len(o) != 1 || (o[0].Credit == 1) != (norms == other) {
				t.Errorf("%s, “%s”: %+v", norms, word, o)
				continue
			}
			if f := o[0].Finding; f != nil && (!strings.Contains(f.Should, "“"+words[norms]+"”") || !strings.Contains(f.Should, b.NormTable().Population) || !strings.Contains(f.Should, b.NormTable().Mode)) {
				t.Errorf("%s: %s", norms, f.Should)
			}
		}
	}
}

// TestAxesChanged: with least squares the line of work rate on heart rate is another line, and is known as such.
func TestAxesChanged(t *testing.T) {
	h := &handmade{book: Default(), sex: "M", age: 30}
	if err := h.book.Set("fit=ols"); err != nil {
		t.Fatal(err)
	}
	h.stages = handStages("150:98 450:115 600:133 750:139") // a bend, so that the two lines lie apart
	h.ride(80)
	boxes := map[exercises.Key]string{exercises.KeyMaxHR: "190", exercises.KeyPoints: "2 3 4"}
	// By hand, heart rate on work rate: means 600 and 129, Sxy 3600, Sxx 45 000, so 600 + 61/(3600/45 000) = 1362.5. Work rate on
	// heart rate: Syy 312, so 600 + 61 × 3600/312 = 1303.8.
	boxes[exercises.KeyMaxWorkRate] = "1303.8"
	h.calculate(boxes)
	h.handIn(40)
	c := h.course(t)
	if a := WorkSheet(h.book, c); unit.Round(float64(a.MaxWorkRate), 6) != 1362.5 {
		t.Fatalf("the right line gives %v", a.MaxWorkRate)
	}
	found := slips(h.book, c)
	if len(found) != 1 || found[0].Name != "work rate fitted on heart rate" {
		t.Errorf("named %+v", found)
	}
}

// TestPartialCredit: between full and none the credit falls in a straight line, and no slip is named.
func TestPartialCredit(t *testing.T) {
	boxes := rightSheet()
	boxes[exercises.KeyMaxWorkRate] = "1009.4" // 3 % off: half way from 1 to 5
	onward(boxes, exercises.KeyMaxWorkRate)
	b, c := handSheet(t, "", boxes)
	if got := credits(b, c)["sum-work-rate"]; unit.Round(got, 6) != 0.5 {
		t.Errorf("credit %v, want 0.5", got)
	}
	if found := slips(b, c); len(found) != 0 {
		t.Errorf("named %+v", found)
	}
}

// TestMultiplication: a count turned into a rate by a wrong factor.
func TestMultiplication(t *testing.T) {
	beats, b := 28, Default()
	for _, c := range []struct {
		seconds, wrote int
		credit         float64
		name           string
	}{
		{15, 112, 1, ""},
		{10, 168, 1, ""},
		{30, 56, 1, ""},
		{15, 168, 0.5, "multiplied by the factor of a 10-s count"},
		{15, 56, 0.5, "multiplied by the factor of a 30-s count"},
		{10, 112, 0.5, "multiplied by the factor of a 15-s count"},
		{15, 116, 0.5, "one beat too many: the beat at the start is zero"},
		{15, 28, 0.5, "the count itself, not multiplied"},
		{15, 113, 2.0 / 3, ""},
		{15, 140, 0, ""},
	} {
		hr := unit.HR(c.wrote)
		s := multiplication(b, Count{Seconds: c.seconds, WroteBeats: &beats, WroteHR: &hr})
		name := ""
		if s.slip != nil {
			name = s.slip.Name
		}
		if unit.Round(s.credit, 9) != unit.Round(c.credit, 9) || name != c.name {
			t.Errorf("%d beats in %d s written as %d: credit %v, %q", beats, c.seconds, c.wrote, s.credit, name)
		}
	}
}

// TestEmptySums: what was left empty where it could be worked loses; where it cannot be estimated, saying so earns all and a number is a finding.
func TestEmptySums(t *testing.T) {
	b, c := handSheet(t, "", nil)
	for rule, credit := range credits(b, c) {
		if credit != 0 {
			t.Errorf("%s: empty, yet credit %v", rule, credit)
		}
	}
	none := func(boxes map[exercises.Key]string) []Opportunity {
		h := &handmade{book: b, sex: "M", age: 40}
		h.stages = handStages("150:96 300:104")
		h.ride(70)
		h.calculate(boxes)
		h.handIn(35)
		c := h.course(t)
		if a := WorkSheet(b, c); a.Estimable {
			t.Fatal("that sheet carries an estimate")
		}
		for rule := range credits(b, c) {
			if !strings.HasPrefix(rule, "sum-max-hr") && !strings.HasPrefix(rule, "sum-ceiling") && rule != "sum-no-estimate" {
				t.Errorf("%s is asked of a sheet that carries no estimate", rule)
			}
		}
		return ruleNoEstimate.Judge(b, c)
	}
	for _, c := range []struct {
		boxes  map[exercises.Key]string
		credit float64
		did    string
	}{
		{map[exercises.Key]string{exercises.KeyNoEstimate: "no stage in the window"}, 1, ""},
		{map[exercises.Key]string{exercises.KeyVO2Rel: "31"}, 0, "You gave an estimate."},
		{nil, 0, "You left the calculation empty."},
	} {
		o := none(c.boxes)
		if len(o) != 1 || o[0].Credit != c.credit || c.did == "" && o[0].Finding != nil || c.did != "" && o[0].Finding.Did != c.did {
			t.Errorf("%v: %+v", c.boxes, o)
		}
	}
}
