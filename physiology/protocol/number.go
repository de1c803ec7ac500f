package protocol

import (
	"strconv"
	"strings"
)

// num prints a number with no more digits than it has, a true minus before it.
func num(x float64) string { return minus(strconv.FormatFloat(x, 'f', -1, 64)) }

// num1, num2 and num4 print to one, two and four decimals at most, without trailing zeros.
func num1(x float64) string { return digits(x, 1) }
func num2(x float64) string { return digits(x, 2) }
func num4(x float64) string { return digits(x, 4) }

func digits(x float64, n int) string {
	s := strconv.FormatFloat(x, 'f', n, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		s = "0"
	}
	return minus(s)
}

func minus(s string) string { return strings.Replace(s, "-", "−", 1) }
