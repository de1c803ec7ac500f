package main

import (
	"encoding/json"
	"strings"
	"testing"

	"kilopond/grader"
)

// Whatever stands in a file of sheets, it is read or refused with its line, and what is read can be graded both ways and written down.
func FuzzSheets(f *testing.F) {
	f.Add([]byte("sheet,age_y,sex,mass_kg,stage1_kgm_min,stage1_hr_bpm\nA,40,F,70,150,26=104 -\n"))
	f.Add([]byte("\ufeffsheet;age_y;sex;mass_kg;stage1_kgm_min;stage1_hr_bpm;stage1_bp_mmhg;points\r\nB;40;m;70,5;300;112;150/80 148/80;1\r\n"))
	f.Add([]byte("sheet,age_y,sex,mass_kg,stage1_kgm_min,stage1_hr_bpm,vo2max_l_min\n\"A,40\n"))
	f.Add([]byte("sheet\tage_y\tsex\tmass_kg\tstage1_kgm_min\tstage1_hr_bpm\tstage2_kgm_min\tstage2_hr_bpm\tslope\nC\t18\tF\t30\t1\t240 30 30 30 30 30 30\t3000\t- - 30\t-1e5\n"))
	b := grader.Default()
	f.Fuzz(func(t *testing.T, data []byte) {
		sheets, err := readSheets("class.csv", data)
		if err != nil {
			for _, line := range strings.Split(err.Error(), "\n") {
				if !strings.HasPrefix(line, "class.csv:") && !strings.HasPrefix(line, "… and") {
					t.Fatalf("a fault without its line: %q", line)
				}
			}
			return
		}
		for _, s := range sheets {
			for _, v := range []grader.SheetVerdict{grader.GradeSheet(b, s.sheet), grader.GradeRealSheet(b, s.sheet)} {
				if _, err := json.Marshal(v); err != nil {
					t.Fatal(err)
				}
				if v.Percent != nil && (*v.Percent < 0 || *v.Percent > 100) {
					t.Fatalf("%v %%", *v.Percent)
				}
			}
		}
	})
}
