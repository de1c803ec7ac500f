// Package filelog keeps an attempt in one append-only file of JSON Lines.
//
// Each acknowledged line is on the disk before Append returns (fsync). An OS lock, released when the process ends however it ends, keeps two
// terminals off one attempt. What does not hold is never overwritten: an attempt goes on in a new file.
package filelog
