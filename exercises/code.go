package exercises

import (
	"errors"
	"fmt"
	"strings"
)

// codeLetters are digits and capitals without I, L, O and U, which are taken for others when a code is copied by hand. Source: [CHOICE-CODE].
const codeLetters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

// A code has two halves of four signs: the first is on the pack, the second only with its owner.
const halfCode = 4

// CodeOf makes a student's code, such as 7K2M-QX4P, of 40 random bits.
func CodeOf(bits uint64) string {
	var b strings.Builder
	for i := range 2 * halfCode {
		if i == halfCode {
			b.WriteByte('-')
		}
		b.WriteByte(codeLetters[bits>>(5*i)&31])
	}
	return b.String()
}

// Label is the half of a code that may be shown to everybody.
func Label(code string) string { return code[:min(halfCode, len(code))] }

// ParseCode reads a code as a person types it: small letters, spaces, a hyphen or none, O for 0, I or L for 1.
func ParseCode(text string) (string, error) {
	var b strings.Builder
	for _, r := range strings.ToUpper(text) {
		switch r {
		case ' ', '-', '–', '‑':
			continue
		case 'O':
			r = '0'
		case 'I', 'L':
			r = '1'
		}
		if !strings.ContainsRune(codeLetters, r) {
			return "", fmt.Errorf("%q is in no code", r)
		}
		if b.Len() == halfCode {
			b.WriteByte('-')
		}
		b.WriteRune(r)
	}
	if b.Len() != 2*halfCode+1 {
		return "", errors.New("a code has eight signs, such as 7K2M-QX4P")
	}
	return b.String(), nil
}

// hash64 reports whether the text is a SHA-256 in hex as Sum writes it.
func hash64(text string) bool {
	if len(text) != 64 {
		return false
	}
	for _, r := range text {
		if !strings.ContainsRune("0123456789abcdef", r) {
			return false
		}
	}
	return true
}
