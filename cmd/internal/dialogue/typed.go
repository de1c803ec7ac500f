package dialogue

import (
	"encoding/binary"
	"io"
	"unicode/utf16"
)

// Lines sends what is typed, line by line, until the input ends or done is closed.
func Lines(in io.Reader, done <-chan struct{}) <-chan string {
	lines := make(chan string)
	go read(in, lines, done)
	return lines
}

// Clean takes out of a typed line what no keyboard types, and the end of one too long to be meant.
func Clean(line string) string { return clean(line) }

// mostWide bounds a file of commands in UTF-16.
const mostWide = 1 << 20

// wideOrder is the order of bytes of a file in UTF-16, which begins with a mark that no keyboard types: some shells write such files. It is nil for
// any other.
func wideOrder(begins []byte) binary.ByteOrder {
	switch {
	case len(begins) < 2:
		return nil
	case begins[0] == 0xff && begins[1] == 0xfe:
		return binary.LittleEndian
	case begins[0] == 0xfe && begins[1] == 0xff:
		return binary.BigEndian
	}
	return nil
}

func fromWide(data []byte, order binary.ByteOrder) string {
	units := make([]uint16, 0, len(data)/2)
	for ; len(data) >= 2; data = data[2:] {
		units = append(units, order.Uint16(data))
	}
	return string(utf16.Decode(units))
}
