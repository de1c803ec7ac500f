// Package picture draws what a report shows: the line of heart rate on work rate, and the course of a test in time. It knows numbers and
// words only; a face hands it a pen. Pictures are black, white and grey: what differs, differs by shape, dash or label, and each can say in
// words what it shows.
package picture
