package dialogue

import "io"

// Lines sends what is typed, line by line, until the input ends or done is closed.
func Lines(in io.Reader, done <-chan struct{}) <-chan string {
	lines := make(chan string)
	go read(in, lines, done)
	return lines
}

// Clean takes out of a typed line what no keyboard types, and the end of one too long to be meant.
func Clean(line string) string { return clean(line) }
