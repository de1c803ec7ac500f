package grader

import (
	"kilopond/physiology/protocol"
	"kilopond/physiology/unit"
)

// margins keeps the three distances apart. None is worked where one of its two values cannot be had.
func margins(s StudentEstimate, sheet, perfect protocol.Answer, trueVO2 float64) Margins {
	return Margins{
		A: margin(s.VO2Rel, answerVO2(sheet), "the sheet holds no estimate", whyNot(sheet, "on this sheet it cannot be estimated")),
		M: margin(answerVO2(sheet), answerVO2(perfect), whyNot(sheet, "on this sheet it cannot be estimated"), whyNot(perfect, "even perfect readings of this path give no estimate")),
		T: margin(s.VO2Rel, known(trueVO2), "the sheet holds no estimate", "not handed in: the truth is not told yet"),
	}
}

func margin(value, against *float64, noValue, noAgainst string) Margin {
	switch {
	case value == nil:
		return Margin{WhyNot: noValue}
	case against == nil:
		return Margin{WhyNot: noAgainst}
	}
	off := unit.Round(*value-*against, 2)
	part := unit.Round(100*(*value-*against) / *against, 1)
	return Margin{MlKgMin: &off, Percent: &part}
}

func answerVO2(a protocol.Answer) *float64 {
	if !a.Estimable {
		return nil
	}
	v := float64(a.VO2Rel)
	return &v
}

func known(x float64) *float64 {
	if x <= 0 {
		return nil
	}
	return &x
}

func whyNot(a protocol.Answer, otherwise string) string {
	if a.WhyNot != "" {
		return a.WhyNot
	}
	return otherwise
}
