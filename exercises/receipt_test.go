package exercises

import (
	"strings"
	"testing"
)

// 572 has the check digit 4. Source: [DAMM2004], the usual example of the table of order 10.
func TestCheckDigitOfThePublishedExample(t *testing.T) {
	if got := checkDigit("572"); got != '4' {
		t.Errorf("check digit of 572: %c, want 4", got)
	}
}

func TestReceiptIsReadAsItIsWritten(t *testing.T) {
	r := ReceiptOf(Sum([]byte("a line")))
	for _, text := range []string{string(r), strings.ReplaceAll(string(r), " ", ""), strings.ReplaceAll(string(r), " ", "-"), " " + string(r) + "\t"} {
		if got, err := ParseReceipt(text); err != nil || got != r {
			t.Errorf("%q: %q, %v", text, got, err)
		}
	}
	if r == ReceiptOf(Sum([]byte("another line"))) {
		t.Error("two lines have one receipt")
	}
}

// Every wrong digit and every swap of two different neighbours is found: what the quasigroup promises.
func TestReceiptFindsSlipsOfTheTongue(t *testing.T) {
	for _, line := range []string{"a", "b", "c", "d"} {
		digits := strings.ReplaceAll(string(ReceiptOf(Sum([]byte(line)))), " ", "")
		for i := range digits {
			for d := byte('0'); d <= '9'; d++ {
				wrong := digits[:i] + string(d) + digits[i+1:]
				if _, err := ParseReceipt(wrong); (err == nil) != (wrong == digits) {
					t.Errorf("%s for %s: %v", wrong, digits, err)
				}
			}
			if i > 0 && digits[i] != digits[i-1] {
				wrong := digits[:i-1] + string(digits[i]) + string(digits[i-1]) + digits[i+1:]
				if _, err := ParseReceipt(wrong); err == nil {
					t.Errorf("%s for %s is taken", wrong, digits)
				}
			}
		}
	}
	for _, text := range []string{"", "1", "0000 0000 000", "0000 0000 0000 0", "0000 0000 000x"} {
		if _, err := ParseReceipt(text); err == nil {
			t.Errorf("%q is taken for a receipt", text)
		}
	}
}

func TestCodesAreReadAsTheyAreCopied(t *testing.T) {
	for text, want := range map[string]string{
		"7K2M-QX4P": "7K2M-QX4P", "7k2mqx4p": "7K2M-QX4P", " 7k2m qx4p ": "7K2M-QX4P", "OIL0-1234": "0110-1234",
	} {
		if got, err := ParseCode(text); err != nil || got != want {
			t.Errorf("%q: %q, %v; want %s", text, got, err, want)
		}
	}
	for _, text := range []string{"", "7K2M", "7K2M-QX4", "7K2M-QX4PP", "7K2M-QX4U", "7K2M_QX4P", "ä"} {
		if got, err := ParseCode(text); err == nil {
			t.Errorf("%q was read as %s", text, got)
		}
	}
	if got := CodeOf(0); got != "0000-0000" {
		t.Error(got)
	}
	if a, b := CodeOf(1), CodeOf(1<<39); a == b || len(a) != 9 {
		t.Errorf("%s %s", a, b)
	}
}

// What is taken for a receipt is one: written out it is read as the same, and with any one digit changed it is none.
func FuzzReceipt(f *testing.F) {
	r := string(ReceiptOf(Sum([]byte("a line"))))
	for _, text := range []string{r, strings.ReplaceAll(r, " ", "-"), r[:13], r + "0", "١٢٣٤ ٥٦٧٨ ٩٠١٢", "", "\x00"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := ParseReceipt(text)
		if err != nil {
			if r != "" {
				t.Fatalf("%q is %q and a fault: %v", text, r, err)
			}
			return
		}
		if again, err := ParseReceipt(string(r)); err != nil || again != r {
			t.Fatalf("%q is read as %q, that as %q, %v", text, r, again, err)
		}
		for i, c := range r {
			if c == ' ' {
				continue
			}
			wrong := string(r[:i]) + string('0'+(c-'0'+1)%10) + string(r[i+1:])
			if _, err := ParseReceipt(wrong); err == nil {
				t.Fatalf("%q and %q are both receipts", r, wrong)
			}
		}
	})
}
