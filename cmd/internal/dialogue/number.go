package dialogue

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// plainNumber is a number as people write it: a point or a comma, no exponent, no infinity.
var plainNumber = regexp.MustCompile(`^[-−]?(\d{1,9}([.,]\d{0,6})?|[.,]\d{1,6})$`)

// figure reads a number after taking off a unit.
func figure(word string, units ...string) (float64, bool) {
	for _, u := range units {
		if short, cut := strings.CutSuffix(word, u); cut && short != "" {
			word = short
			break
		}
	}
	if !plainNumber.MatchString(word) {
		return 0, false
	}
	x, err := strconv.ParseFloat(strings.NewReplacer(",", ".", "−", "-").Replace(word), 64)
	return x, err == nil
}

// whole reports whether a number counts something.
func whole(x float64) bool { return x == float64(int(x)) }

// small are words that change nothing before a number.
var small = []string{"to", "at", "for", "of"}

// numbersIn are the numbers among the words; units and small words are left out, anything else comes back in rest. Longer units stand first.
func numbersIn(args []string, units ...string) (found []float64, rest []string) {
	for _, a := range args {
		if x, ok := figure(a, units...); ok {
			found = append(found, x)
		} else if !slices.Contains(units, a) && !slices.Contains(small, a) {
			rest = append(rest, a)
		}
	}
	return found, rest
}

// ReadClock reads 1:45 as seconds.
func ReadClock(word string) (int, bool) {
	m, s, ok := strings.Cut(word, ":")
	if !ok {
		return 0, false
	}
	mi, err1 := strconv.Atoi(m)
	se, err2 := strconv.Atoi(s)
	if err1 != nil || err2 != nil || mi < 0 || se < 0 || se > 59 || len(s) != 2 || mi > 600 {
		return 0, false
	}
	return 60*mi + se, true
}

// span reads a length of time in seconds: 20, 20 s, 2 min, 1:30. A number alone has the unit that the verb usually takes.
func span(args []string, usual int) (int, bool) {
	args = slices.DeleteFunc(slices.Clone(args), func(a string) bool { return a == "for" })
	if len(args) == 1 {
		if s, ok := ReadClock(args[0]); ok {
			return s, true
		}
	}
	units := []struct {
		s     int
		words []string
	}{{60, []string{"minutes", "minute", "min", "m"}}, {1, []string{"seconds", "second", "sec", "s"}}}
	per := usual
	for _, u := range units {
		for _, w := range u.words {
			switch {
			case len(args) == 2 && args[1] == w:
				args, per = args[:1], u.s
			case len(args) == 1:
				if short, cut := strings.CutSuffix(args[0], w); cut && short != "" {
					args, per = []string{short}, u.s
				}
			}
		}
	}
	if len(args) != 1 {
		return 0, false
	}
	x, ok := figure(args[0])
	x *= float64(per)
	return int(x), ok && whole(x) && x > -1e6 && x < 1e6
}
