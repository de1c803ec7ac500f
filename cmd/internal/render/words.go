package render

import (
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Wrap breaks a text at blanks so that no line is longer than width; the first line begins with first, the others with indent.
func Wrap(text string, width int, first, indent string) []string {
	var lines []string
	line, empty := first, true
	for _, w := range strings.Fields(text) {
		if !empty && len([]rune(line))+1+len([]rune(w)) > width {
			lines = append(lines, line)
			line, empty = indent, true
		}
		if !empty {
			line += " "
		}
		line += w
		empty = false
	}
	if !empty {
		lines = append(lines, line)
	}
	return lines
}

// Num prints a number with the decimals of its kind, a true minus before it.
func Num(x float64, decimals int) string {
	return strings.Replace(strconv.FormatFloat(x, 'f', decimals, 64), "-", "−", 1)
}

// Signed prints a number with its sign.
func Signed(x float64, decimals int) string {
	s := Num(x, decimals)
	if x > 0 {
		s = "+" + s
	}
	return s
}

// Clock prints seconds as minutes and seconds.
func Clock(s int) string { return fmt.Sprintf("%d:%02d", s/60, s%60) }

// A printer writes lines and remembers the first fault.
type printer struct {
	w   io.Writer
	err error
}

func (p *printer) line(lines ...string) {
	for _, l := range lines {
		if p.err == nil {
			_, p.err = fmt.Fprintln(p.w, l)
		}
	}
}

func (p *printer) par(text string) { p.line(Wrap(text, 78, "", "")...) }

func (p *printer) head(text string) { p.line("", text, strings.Repeat("-", len([]rune(text)))) }

// SexWord is M or F as a word.
func SexWord(sex string) string {
	if sex == "F" {
		return "female"
	}
	return "male"
}
