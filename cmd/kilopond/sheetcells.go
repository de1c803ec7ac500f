package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/unit"
)

// Bounds of what can stand on a sheet: outside them it is a slip of the typing. Source: [CHOICE-HANDSHEET].
const (
	leastSheetHR, mostSheetHR = 30, 240 // bpm
	mostSheetWork             = 3000    // kg·m/min
	mostSheetStages           = 9
	mostSheetMinutes          = 12
	mostSheetPressures        = 3
	mostSheetAnswer           = 80 // letters
)

// cellNumber reads a number of a cell.
func cellNumber(text string) (float64, error) {
	x, err := decimal(text)
	if err != nil {
		return 0, fmt.Errorf("%s is no number", inQuotes(text))
	}
	return x, nil
}

// within reads a number that must lie in a range.
func within(text string, low, high float64, unit string) (float64, error) {
	x, err := cellNumber(text)
	if err == nil && (x < low || x > high) {
		return 0, fmt.Errorf("%s: %v to %v %s", inQuotes(text), low, high, unit)
	}
	return x, err
}

// inQuotes is a cell in a message: short, and never a control character.
func inQuotes(text string) string {
	if r := []rune(text); len(r) > 30 {
		text = string(r[:30]) + "…"
	}
	return strconv.Quote(text)
}

// handPulses reads the minutes of a stage: rates (112), counts with their rates (28=112, or 28= where no rate is written), and - for a minute without one.
func handPulses(text string) ([]grader.HandPulse, error) {
	fields := strings.Fields(text)
	if len(fields) > mostSheetMinutes {
		return nil, fmt.Errorf("%d minutes: at most %d", len(fields), mostSheetMinutes)
	}
	var all []grader.HandPulse
	for _, f := range fields {
		if f == "-" || f == "−" {
			all = append(all, grader.HandPulse{})
			continue
		}
		beats, rate, counted := strings.Cut(f, "=")
		if !counted {
			rate = f
		}
		var p grader.HandPulse
		if rate != "" || !counted {
			hr, err := within(rate, leastSheetHR, mostSheetHR, "bpm")
			if err != nil {
				return nil, err
			}
			p.HR = unit.HR(hr)
		}
		if counted {
			n, err := strconv.Atoi(beats)
			if err != nil || n < 1 || n > mostSheetHR {
				return nil, fmt.Errorf("%s: a count of beats, =, the rate: 28=112", inQuotes(f))
			}
			p.Beats = n
		}
		all = append(all, p)
	}
	return all, nil
}

// handPressures reads 158/88, or several apart by blanks.
func handPressures(text string) ([]grader.HandPressure, error) {
	fields := strings.Fields(text)
	if len(fields) > mostSheetPressures {
		return nil, fmt.Errorf("%d pressures: at most %d in a stage", len(fields), mostSheetPressures)
	}
	var all []grader.HandPressure
	for _, f := range fields {
		high, low, ok := strings.Cut(f, "/")
		if !ok {
			return nil, fmt.Errorf("%s: systolic/diastolic, as 158/88", inQuotes(f))
		}
		sys, err := within(high, 50, 300, "mmHg")
		if err != nil {
			return nil, err
		}
		dia, err := within(low, 0, 200, "mmHg")
		if err != nil {
			return nil, err
		}
		if dia >= sys {
			return nil, fmt.Errorf("%s: the second number lies below the first", inQuotes(f))
		}
		all = append(all, grader.HandPressure{Systolic: unit.Pressure(sys), Diastolic: unit.Pressure(dia)})
	}
	return all, nil
}

// handStage reads WORKRATE:HR[,HR…][:SYS/DIA[,SYS/DIA…]], the form of a flag.
func handStage(text string) (grader.HandStage, error) {
	parts := strings.Split(text, ":")
	if len(parts) < 2 || len(parts) > 3 {
		return grader.HandStage{}, fmt.Errorf("not WORKRATE:HR, nor WORKRATE:HR,HR:SYS/DIA")
	}
	work, err := within(parts[0], 1, mostSheetWork, "kg·m/min")
	if err != nil {
		return grader.HandStage{}, err
	}
	s := grader.HandStage{WorkRate: unit.WorkRate(work)}
	if s.Pulses, err = handPulses(strings.ReplaceAll(parts[1], ",", " ")); err != nil {
		return s, err
	}
	if len(s.Pulses) == 0 {
		return s, fmt.Errorf("no heart rate")
	}
	if len(parts) == 3 {
		s.Pressures, err = handPressures(strings.ReplaceAll(parts[2], ",", " "))
	}
	return s, err
}

// handAnswer reads one box of the calculation; what is given is not blank.
func handAnswer(key exercises.Key, text string) (grader.HandAnswer, error) {
	a := grader.HandAnswer{Key: key, Text: text}
	if n := len([]rune(text)); n > mostSheetAnswer {
		return a, fmt.Errorf("%d letters: at most %d", n, mostSheetAnswer)
	}
	if strings.ContainsFunc(text, func(r rune) bool { return !strconv.IsPrint(r) }) {
		return a, fmt.Errorf("%s holds what cannot be printed", inQuotes(text))
	}
	switch key {
	case exercises.KeyRating, exercises.KeyNoEstimate:
		return a, nil
	case exercises.KeyPoints:
		stages := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == ';' || r == '+' })
		for i, f := range stages {
			n, err := strconv.Atoi(f)
			if err != nil || n < 1 || n > mostSheetStages {
				return a, fmt.Errorf("%s: numbers of stages, as 2 3", inQuotes(text))
			}
			if slices.Contains(stages[:i], f) {
				return a, fmt.Errorf("%s: stage %s is named twice", inQuotes(text), f)
			}
		}
		a.Text = strings.Join(stages, " ")
		return a, nil
	}
	x, err := cellNumber(strings.TrimPrefix(strings.TrimPrefix(text, "±"), "+/-"))
	if err == nil && math.Abs(x) > 1e6 {
		return a, fmt.Errorf("%s: no such number comes of a test", inQuotes(text))
	}
	a.Text = strconv.FormatFloat(x, 'f', -1, 64)
	return a, err
}

// onlyNumbered refuses points that name a stage which the sheet has not got.
func onlyNumbered(h grader.HandSheet) error {
	for _, a := range h.Answers {
		if a.Key != exercises.KeyPoints {
			continue
		}
		for _, f := range strings.Fields(a.Text) {
			if n, err := strconv.Atoi(f); err != nil || n > len(h.Stages) {
				return fmt.Errorf("stage %s is named as a point; the sheet has %s", f, howMany(len(h.Stages), "stage"))
			}
		}
	}
	return nil
}
