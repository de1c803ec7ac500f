package protocol

// A Setting is one field of a rulebook as the page of rules prints it.
type Setting struct {
	Path    string `json:"path"`
	Value   string `json:"value"`
	Meaning string `json:"meaning"`
	Choices string `json:"choices"` // met in print, or allowed
	Source  string `json:"source"`  // keys of SOURCES.md
}

// settings say what each field means, by its path with list numbers left out.
var settings = map[string]Setting{
	"crew":                             {Meaning: "who helps: nobody, somebody at the wrist, somebody at the cuff, or both", Choices: "solo, pulse_helper, pressure_helper, both", Source: "CHOICE-HELPER"},
	"count.monitor":                    {Meaning: "whether the display of a monitor may be read; what is graded is the count", Choices: "false, true", Source: "CHOICE-HELPER"},
	"bands.below_bpm":                  {Meaning: "the band takes first-stage heart rates below this", Choices: "80, 90; 86", Source: "CSEP2009"},
	"bands.up_to_bpm":                  {Meaning: "the band takes rates up to and including this", Choices: "100", Source: "CSEP2009"},
	"bands.work_rates_kgm_min":         {Meaning: "work rates of the stages from the second on", Choices: "a list, each harder than the one before", Source: "CSEP2009, HAND"},
	"bands.how_known":                  {Meaning: "how sure the row is, when it is not printed anywhere we could read", Source: "MEMORY-THREE-BANDS"},
	"first_work_rate_kgm_min":          {Meaning: "work rate of stage 1", Choices: "150; older guides 300 for men", Source: "CSEP2009"},
	"step_after_table_kgm_min":         {Meaning: "added for each stage after the table ends", Choices: "150", Source: "PHRE1033"},
	"branch_hr":                        {Meaning: "which heart rate of stage 1 chooses the band", Choices: "last, mean_last_two", Source: "CSEP2009, HK"},
	"cadence_rpm":                      {Meaning: "pedal turns a minute", Choices: "50, 60", Source: "CSEP2009, KINE4315"},
	"warm_up_s":                        {Meaning: "pedalling without load before stage 1, in seconds", Choices: "0–180", Source: "HAND, KNOWT"},
	"stage_s":                          {Meaning: "length of a stage, in seconds", Choices: "180", Source: "CSEP2009"},
	"extension_s":                      {Meaning: "length of an extension, in seconds", Choices: "60", Source: "CSEP2009, HAND"},
	"max_extensions":                   {Meaning: "most extensions of one stage; then take the last value and ask why", Choices: "none printed", Source: "CHOICE-RULEBOOK"},
	"steady":                           {Meaning: "when two minutes agree: differ by at most 5 (le5), less than 5 (lt5), at most 6 (le6), at most one beat of the count (one_beat)", Choices: "le5, lt5, le6, one_beat", Source: "CSEP2009, DEMO-LT5, KINE4315"},
	"stage_hr":                         {Meaning: "the heart rate that stands for a stage in the line", Choices: "mean_last_two, last", Source: "HK"},
	"max_hr":                           {Meaning: "equation for maximum heart rate", Choices: "220-age, 208-0.7age, 206.9-0.67age, 211-0.64age, 202-0.72age, 206-0.88age, sydo", Source: "FOX1971, TANAKA2001, GELLISH2007"},
	"ceiling.of":                       {Meaning: "what the ceiling is a part of", Choices: "max_hr, reserve, fixed", Source: "CSEP2009, EXRX, HAND"},
	"ceiling.fraction":                 {Meaning: "which part", Choices: "0.85 of maximum, 0.70 of reserve", Source: "CSEP2009, EXRX"},
	"ceiling.fixed_bpm":                {Meaning: "the fixed ceiling", Choices: "150", Source: "HAND"},
	"end":                              {Meaning: "when heart rate ends the test: at or above the ceiling (at_85), or already when steady within 10 bpm of it (within10)", Choices: "at_85, within10", Source: "PATH, CSEP2009"},
	"window_low_bpm":                   {Meaning: "lowest heart rate that may enter the line", Choices: "110, 115, 120", Source: "CSEP2009, HK"},
	"window_high":                      {Meaning: "highest heart rate that may enter the line", Choices: "ceiling, fixed150", Source: "CSEP2009, HAND"},
	"qualifying_stages":                {Meaning: "steady stages in the window that are needed; with them the test is complete", Choices: "2", Source: "CSEP2009"},
	"smallest_rise_bpm":                {Meaning: "the rise between points of the line must be more than this", Choices: "0, 5", Source: "NHANES-CVX"},
	"fit":                              {Meaning: "the line through the points", Choices: "two_last, ols, ols_work_on_hr", Source: "CSEP2009"},
	"one_point":                        {Meaning: "what one usable stage gives", Choices: "single_stage (low confidence), none", Source: "CHOICE-RULEBOOK"},
	"o2_cost":                          {Meaning: "oxygen cost of leg cycling: 1.8 × WR / kg + 7; 2.0 × WR + 3.5 × kg; 2.0 × WR + 300", Choices: "leg_1.8_7, leg_2.0_3.5, leg_2.0_300", Source: "BUSHMAN2020, PAPER-OLD-COST, SARTOR2013"},
	"kgm_min_per_w":                    {Meaning: "kg·m/min in one watt, as the house prints it", Choices: "6, 6.12, 6.118", Source: "FORMSHEET"},
	"norms":                            {Meaning: "the table by which the estimate is rated", Choices: "six-class, us-cycle, norway-treadmill", Source: "COOPER1997, KAMINSKY2017, LOE2013"},
	"error_range_percent":              {Meaning: "the range to report beside the estimate, ±", Choices: "15", Source: "JAMNICK2016"},
	"count.seconds":                    {Meaning: "length of a pulse count", Choices: "10, 15, 30", Source: "CSEP2009, SHEET-COUNTS"},
	"count.first_beat":                 {Meaning: "the first beat, when a beat begins the count", Choices: "zero, one", Source: "IWU-COUNT"},
	"count.every_minutes":              {Meaning: "a pulse is due every so many minutes of a stage", Choices: "1; count.from_minute 2 leaves out the first", Source: "KINE4315, HK"},
	"count.from_minute":                {Meaning: "the first minute of a stage whose pulse is due; where it is left out, the first that is", Choices: "1, 2", Source: "KINE4315, CSEP2009, HAND"},
	"count.begin_before_s":             {Meaning: "a count for a minute mark begins at most this long before it", Choices: "15–30", Source: "CSEP2009, HAND"},
	"count.end_after_s":                {Meaning: "and ends at most this long after it", Choices: "house rule", Source: "CHOICE-RULEBOOK"},
	"pressure.every_stages":            {Meaning: "a pressure is due in every so many stages", Choices: "1, 2", Source: "KINE4315"},
	"pressure.from_s":                  {Meaning: "a stage's pressure is begun from here on, in seconds; it may be finished after the stage's end while the load is the same", Choices: "60", Source: "KINE4315, CHOICE-RULEBOOK"},
	"pressure.valve_low_mmhg_s":        {Meaning: "slowest fall of the cuff", Choices: "2", Source: "WSU"},
	"pressure.valve_high_mmhg_s":       {Meaning: "fastest fall of the cuff", Choices: "3", Source: "WSU"},
	"pressure.repeat_after_s":          {Meaning: "rest between two pressures at rest", Choices: "60–120", Source: "WSU"},
	"pressure.diastolic_phase":         {Meaning: "sound that gives the diastolic in exercise", Choices: "V, IV, both", Source: "K45"},
	"pressure.pump_above_mmhg":         {Meaning: "pump this far above the last systolic", Choices: "20–30", Source: "WSU, PHRE1033"},
	"screening.rest_s":                 {Meaning: "quiet sitting before resting values, in seconds", Choices: "300", Source: "ACSM8"},
	"screening.postpone_above_hr_bpm":  {Meaning: "resting pulse above this: repeat, then postpone", Choices: "100, 120", Source: "NHANES-CVX"},
	"screening.postpone_from_sbp_mmhg": {Meaning: "resting systolic from this: repeat, then postpone", Choices: "144, 160, 180", Source: "CHOICE-RULEBOOK"},
	"screening.postpone_from_dbp_mmhg": {Meaning: "resting diastolic from this: repeat, then postpone", Choices: "94, 100", Source: "CHOICE-RULEBOOK"},
	"screening.refuse_above_sbp_mmhg":  {Meaning: "above this: no test, see a doctor", Choices: "200", Source: "ACSM8"},
	"screening.refuse_above_dbp_mmhg":  {Meaning: "above this: no test, see a doctor", Choices: "110, 120", Source: "ACSM8"},
	"screening.repeat_when_high":       {Meaning: "a high resting value is taken again before anything is decided", Choices: "true, false", Source: "PHRE1033"},
	"screening.repeat_after_s":         {Meaning: "quiet sitting before it is taken again, in seconds", Choices: "60–300", Source: "WSU"},
	"screening.refuse_with_symptoms":   {Meaning: "symptoms told before the test: no test today", Choices: "true, false", Source: "ACSM10"},
	"screening.postpone_above_odd_beats_per_min": {Meaning: "early or missing beats a minute at rest, above this: feel for a minute, then postpone", Choices: "3", Source: "NHANES-CVX"},
	"stop.systolic_fall_mmhg":                    {Meaning: "systolic this far below the last stage's: take it again at once; confirmed, end the test", Choices: "10", Source: "BENJ, HFR2023"},
	"stop.above_sbp_mmhg":                        {Meaning: "systolic above this ends the test", Choices: "220, 250, 260", Source: "BENJ, CVU2017"},
	"stop.above_dbp_mmhg":                        {Meaning: "diastolic above this ends the test", Choices: "115, 120", Source: "BENJ, CVU2017"},
	"stop.odd_beats_per_min":                     {Meaning: "early or missing beats a minute above this: feel again for half a minute or a whole one; confirmed, end the test", Choices: "6–10", Source: "BENJ, PRACTICE-EMERGENCY"},
	"stop.least_rise_bpm":                        {Meaning: "a heart rate that rises by not more than this from one load to the next: feel again for half a minute; confirmed, end the test", Choices: "house rule; lower switches it off", Source: "BENJ, CHOICE-LEAST-RISE"},
	"stop.ask_from_rpe":                          {Meaning: "from this rating on, ask how the person feels", Choices: "17", Source: "NHANES-CVX"},
	"stop.cadence_lost_s":                        {Meaning: "rhythm lost for longer than this, after asking once: end the test", Choices: "15", Source: "CHOICE-RULEBOOK"},
	"stop.emergency_full_credit_s":               {Meaning: "full credit when the load is off this soon after an emergency sign could first be noticed", Choices: "house rule", Source: "CHOICE-LATENCY"},
	"stop.emergency_missed_after_s":              {Meaning: "later than this, or at any rise of load, the sign counts as missed", Choices: "house rule", Source: "CHOICE-LATENCY"},
	"stop.verify_begin_s":                        {Meaning: "a doubtful value is taken again within this", Choices: "house rule", Source: "CHOICE-LATENCY"},
	"stop.verify_done_s":                         {Meaning: "and is known within this, the load not raised meanwhile", Choices: "house rule", Source: "CHOICE-LATENCY"},
	"stop.look_every_s":                          {Meaning: "look at the person and ask how they feel at least this often", Choices: "60", Source: "NHANES-CVX, CHOICE-LATENCY"},
	"cool_down.max_resistance_kp":                {Meaning: "resistance in the cool-down, at most", Choices: "0–0.5", Source: "KINE4315, HAND, PATH"},
	"cool_down.active_s":                         {Meaning: "light pedalling after a planned end, in seconds", Choices: "120–300", Source: "PHRE1033, PATH"},
	"cool_down.watch_s":                          {Meaning: "watched in all after the end, in seconds", Choices: "300–360", Source: "MEMORY-WATCH"},
	"cool_down.hr_every_s":                       {Meaning: "a pulse in recovery every so many seconds", Choices: "60", Source: "PHRE1033, PATH"},
	"cool_down.pressures":                        {Meaning: "pressures in recovery, at least", Choices: "1, 2", Source: "PATH, CHOICE-RULEBOOK"},
	"cool_down.release_hr_bpm":                   {Meaning: "let the person go at or below this rate, with pressure below the resting limits and nothing wrong", Choices: "100, 110", Source: "NHANES-CVX, PATH"},
}

// Explain returns what a field means, by its path with list numbers left out; ok is false for a field that is not of the protocol.
func Explain(path string) (Setting, bool) {
	s, ok := settings[path]
	return s, ok
}
