package main

import (
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/spf13/pflag"
)

// A plainly written number: no exponent but a power of ten, nothing in hexadecimal, no blanks. 010 is ten.
var (
	wholeNumber   = regexp.MustCompile(`^[-−+]?[0-9]{1,18}$`)
	decimalNumber = regexp.MustCompile(`^[-−+]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)([eE][-+]?[0-9]{1,3})?$`)
)

var errNoWhole, errNoNumber = errors.New("not a whole number"), errors.New("not a number")

// decimal reads a number as people write it, with a point or a comma. A zero has no sign.
func decimal(text string) (float64, error) {
	if !decimalNumber.MatchString(text) {
		return 0, errNoNumber
	}
	x, err := strconv.ParseFloat(strings.NewReplacer(",", ".", "−", "-").Replace(text), 64)
	switch {
	case err != nil || math.IsInf(x, 0):
		return 0, errors.New("too large")
	case x == 0:
		return 0, nil
	}
	return x, nil
}

// An intFlag reads a whole number in tens only: the library would take 010 for 8.
type intFlag int

func (n *intFlag) String() string { return strconv.Itoa(int(*n)) }
func (n *intFlag) Type() string   { return "int" }
func (n *intFlag) Set(text string) error {
	if !wholeNumber.MatchString(text) {
		return errNoWhole
	}
	x, err := strconv.Atoi(strings.Replace(text, "−", "-", 1))
	*n = intFlag(x)
	return err
}

// A numberFlag reads a number as decimal does.
type numberFlag float64

func (x *numberFlag) String() string { return strconv.FormatFloat(float64(*x), 'g', -1, 64) }
func (x *numberFlag) Type() string   { return "float64" }
func (x *numberFlag) Set(text string) error {
	y, err := decimal(text)
	*x = numberFlag(y)
	return err
}

// wholeFlag adds a flag for a whole number; GetInt reads it.
func wholeFlag(f *pflag.FlagSet, name string, usual int, says string) {
	wholeVar(f, new(int), name, usual, says)
}

func wholeVar(f *pflag.FlagSet, n *int, name string, usual int, says string) {
	*n = usual
	f.Var((*intFlag)(n), name, says)
}

// decimalFlag adds a flag for a number; GetFloat64 reads it.
func decimalFlag(f *pflag.FlagSet, name string, usual float64, says string) {
	decimalVar(f, new(float64), name, usual, says)
}

func decimalVar(f *pflag.FlagSet, x *float64, name string, usual float64, says string) {
	*x = usual
	f.Var((*numberFlag)(x), name, says)
}
