package exercises

import (
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"strings"
)

// A Receipt stands for a finished attempt: twelve digits in groups of four, short enough to be read out, the last one a check. A receipt handed
// in early finds an attempt that was rewritten later.
type Receipt string

// Eleven digits of the head hash and a check digit. Source: [CHOICE-RECEIPT].
const (
	receiptDigits = 12
	receiptTail   = 100_000_000_000 // 10^11
	// receiptRounds makes looking for a second attempt with the same receipt 4096 times as dear: about 4·10^14 hashes.
	receiptRounds = 4096
)

// damm is the totally anti-symmetric quasigroup of order 10 with the check digit of a number at its diagonal: it finds every single wrong digit and
// every swap of neighbours. Source: [DAMM2004].
const damm = "0317598642" + "7092154863" + "4206871359" + "1750983426" + "6123045978" + "3674209581" + "5869720134" + "8945362017" + "9438617205" + "2581436790"

// checkDigit returns the digit that brings a row of digits to 0, or 0 when it ends with its own.
func checkDigit(digits string) byte {
	at := byte('0')
	for i := range len(digits) {
		at = damm[10*int(at-'0')+int(digits[i]-'0')]
	}
	return at
}

// ReceiptOf returns the receipt of an attempt whose last raw line has the SHA-256 head, in hex as Attempt.Last gives it.
func ReceiptOf(head string) Receipt {
	sum := sha256.Sum256([]byte("receipt/" + head))
	for range receiptRounds {
		sum = sha256.Sum256(sum[:])
	}
	n := binary.LittleEndian.Uint64(sum[:]) % receiptTail // the remainder favours nothing by more than 1 in 10^8
	digits := make([]byte, receiptDigits-1)
	for i := len(digits) - 1; i >= 0; i-- {
		digits[i] = byte('0' + n%10)
		n /= 10
	}
	return group(string(digits) + string(checkDigit(string(digits))))
}

func group(digits string) Receipt { return Receipt(digits[:4] + " " + digits[4:8] + " " + digits[8:]) }

// ParseReceipt reads a receipt as it was written down. The error says what cannot be right about it.
func ParseReceipt(text string) (Receipt, error) {
	var digits strings.Builder
	for _, r := range text {
		switch {
		case r >= '0' && r <= '9':
			digits.WriteRune(r)
		case strings.ContainsRune(" -–.\t\u00a0", r):
		default:
			return "", errors.New("a receipt has digits only")
		}
	}
	d := digits.String()
	if len(d) != receiptDigits {
		return "", errors.New("a receipt has twelve digits")
	}
	if checkDigit(d) != '0' {
		return "", errors.New("the last digit does not fit the others: one was misheard, or two changed places")
	}
	return group(d), nil
}
