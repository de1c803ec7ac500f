// Package protocol is the published arithmetic of the branching cycle protocol as pure functions on values: which work rate follows which heart rate,
// when a stage is steady, where the test ends, and how the steady stages become an estimate of VO2max. Everything on which printed versions differ is
// a field of Rules; Default holds ours, Check says what cannot work. Estimate does a whole sheet and writes each step as it is done by hand; Work does
// any one published formula.
//
//	step of the protocol                  function                       source
//	work rate from resistance, cadence    unit.Resistance.WorkRate       [FORMSHEET]
//	first stage to the next ones          Branch, WorkRateOfStage        [CSEP2009], [HAND]
//	do two minutes agree?                 Agree, Steady                  [CSEP2009], [KINE4315]
//	heart rate of a stage                 StageHR                        [HK]
//	predicted maximum heart rate          PredictedMaxHR                 [FOX1971], [TANAKA2001]
//	ceiling, and the end of the test      Ceiling, AtCeiling             [CSEP2009], [EXRX], [HAND]
//	which stages enter the line           InWindow                       [HK], [CSEP2009]
//	the line, read at the maximum         LeastSquares, WorkRateAt       [CSEP2009]
//	one stage alone                       SingleStage                    [SHEPHARD1972]
//	oxygen cost of the work rate          O2Cost.VO2                     [BUSHMAN2020]
//	class of fitness                      Rate                           [COOPER1997]
//
// It is meant for steady leg cycling of adults. In print an estimate differs from a measured value by about 15 % (one SD).
// Never here: a student, a mark, a file, a clock, a random draw.
package protocol
