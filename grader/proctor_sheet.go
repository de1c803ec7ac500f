package grader

import (
	"fmt"
	"strconv"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/unit"
)

// number prints a number the way it is written on the sheet, without trailing zeros.
func number(x float64, decimals int) string {
	s := strconv.FormatFloat(unit.Round(x, decimals), 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

func write(why string, entries ...exercises.Entry) action {
	return action{exercises.Command{Act: exercises.Write, Entries: entries}, why}
}

// wrote says whether a key stands on the sheet.
func (v *sight) wrote(key exercises.Key) bool {
	for _, i := range v.state.Items {
		if i.Key == key && !i.Struck {
			return true
		}
	}
	return false
}

// writtenSince says how many entries of a key for a stage were written since a second.
func (v *sight) writtenSince(key exercises.Key, stage, since int) bool {
	for _, i := range v.state.Items {
		if i.Key == key && i.Stage == stage && i.AtS >= since && !i.Struck {
			return true
		}
	}
	return false
}

// owesCount says whether the last pulse count is not on the sheet yet.
func (v *sight) owesCount() bool {
	n := len(v.counts)
	return n > 0 && !v.counts[n-1].cut && v.counts[n-1].beats > 0 && !v.writtenSince(exercises.KeyBeats, v.counts[n-1].stage, v.counts[n-1].to)
}

// writeReadings writes the last readings that are not on the sheet yet, all at once.
func (v *sight) writeReadings() (action, bool) {
	var entries []exercises.Entry
	if n := len(v.counts); n > 0 {
		if k := v.counts[n-1]; !k.cut && k.beats > 0 && !v.writtenSince(exercises.KeyBeats, k.stage, k.to) {
			entries = append(entries,
				exercises.Entry{Key: exercises.KeyBeats, Text: strconv.Itoa(k.beats), Stage: k.stage, Minute: k.minute},
				exercises.Entry{Key: exercises.KeyHR, Text: number(float64(k.hr), 0), Stage: k.stage, Minute: k.minute})
		}
	}
	if n := len(v.cuffs); n > 0 {
		if k := v.cuffs[n-1]; k.readable && !v.writtenSince(exercises.KeyBP, k.stage, k.to) {
			entries = append(entries, exercises.Entry{Key: exercises.KeyBP,
				Text: k.sounds.String(), Stage: k.stage, Minute: k.minute})
		}
	}
	if n := len(v.exertions); n > 0 {
		if e := v.exertions[n-1]; e.stage > 0 && !v.writtenSince(exercises.KeyRPE, e.stage, e.at) {
			entries = append(entries, exercises.Entry{Key: exercises.KeyRPE, Text: strconv.Itoa(int(e.rpe)), Stage: e.stage, Minute: e.minute})
		}
	}
	if now, ok := v.stage(); ok && !v.writtenSince(exercises.KeyResistance, now.number, now.from) {
		entries = append(entries, exercises.Entry{Key: exercises.KeyResistance, Text: number(float64(now.resistance), 2), Stage: now.number, Minute: 1})
	}
	if len(entries) == 0 {
		return action{}, false
	}
	return write("A number in the head is gone at the next one.", entries...), true
}

// finish writes what is still owed and hands the sheet in.
func (v *sight) finish() action {
	if a, ok := v.writeReadings(); ok {
		return a
	}
	if v.pedalAt >= 0 && !v.wrote(exercises.KeyReason) {
		return write("Why the test ended.", exercises.Entry{Key: exercises.KeyReason, Text: clip(v.reason())})
	}
	if v.pedalAt >= 0 && !v.wrote(exercises.KeyVO2Rel) && !v.wrote(exercises.KeyNoEstimate) {
		return write("The calculation, on the numbers of this sheet.", v.calculation()...)
	}
	if v.pedalAt < 0 && !v.wrote(exercises.KeyReason) {
		return write("Why there was no test.", exercises.Entry{Key: exercises.KeyReason, Text: "not tested: " + v.decided})
	}
	if v.releasedAt < 0 {
		return do(exercises.Release, "", "There is no test today.")
	}
	return do(exercises.HandIn, "", "All is on the sheet.")
}

// reason is why the test ended, in a few words.
func (v *sight) reason() string {
	if s, ok := v.signOf(isEmergency, v.pedalAt); ok && s.at <= v.endedAt {
		return "stopped at once: " + brief(s.words)
	}
	if _, ok := v.signOf(asksToStop, v.pedalAt); ok {
		return "the person asked to stop"
	}
	if s, ok := v.signOf(isEnd, v.pedalAt); ok && s.at <= v.endedAt {
		return "ended: " + brief(s.words)
	}
	if _, ok := v.confirmedFall(); ok {
		return "systolic pressure fell with more work, confirmed by a repeat"
	}
	if v.confirmedPulse() {
		return "pulse odd for the work, confirmed by a longer count"
	}
	if v.brakeFailed() {
		return "the brake did not hold its load"
	}
	if hr, ok := v.overCeiling(); ok {
		return fmt.Sprintf("ceiling reached: %.0f bpm", hr)
	}
	for _, e := range v.exertions {
		if e.stage > 0 && e.rpe >= v.book.Stop.AskRPE {
			return fmt.Sprintf("exertion %d", e.rpe)
		}
	}
	if a := v.answer(); a.Confidence == "two points or more" {
		return "two steady stages in the window"
	}
	return "pressure above the limit"
}

// calculation is the worked answer on the proctor's own numbers, rounded as it is printed.
func (v *sight) calculation() []exercises.Entry {
	a := v.answer()
	if !a.Estimable {
		return []exercises.Entry{{Key: exercises.KeyNoEstimate, Text: clip(a.WhyNot)}}
	}
	var used []string
	for _, p := range a.Points {
		if p.Used {
			used = append(used, strconv.Itoa(p.Stage))
		}
	}
	entries := []exercises.Entry{{Key: exercises.KeyPoints, Text: strings.Join(used, " ")}}
	if a.Slope > 0 {
		entries = append(entries,
			exercises.Entry{Key: exercises.KeySlope, Text: figures(a.Slope, 3)},
			exercises.Entry{Key: exercises.KeyMaxWorkRate, Text: number(float64(a.MaxWorkRate), 0)})
	}
	return append(entries,
		exercises.Entry{Key: exercises.KeyVO2Abs, Text: number(a.VO2Abs.LitresPerMin(), 2)},
		exercises.Entry{Key: exercises.KeyVO2Rel, Text: number(float64(a.VO2Rel), 1)},
		exercises.Entry{Key: exercises.KeyMETs, Text: number(float64(a.METs), 1)},
		exercises.Entry{Key: exercises.KeyRating, Text: a.Rating.Category},
		exercises.Entry{Key: exercises.KeyErrorRange, Text: number(v.book.ErrorRange, 1)})
}

// figures prints a number with n significant figures.
func figures(x float64, n int) string { return strconv.FormatFloat(x, 'g', n, 64) }

// clip cuts a line to what a box of the sheet holds.
func clip(text string) string {
	if letters := []rune(text); len(letters) > boxHolds {
		return string(letters[:boxHolds-2]) + " …"
	}
	return text
}

// boxHolds is how many letters go into a box of the sheet.
const boxHolds = 80
