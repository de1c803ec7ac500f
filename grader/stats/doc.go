// Package stats holds the statistics of a class: agreement of readings and estimates, items and reliability, stop or go on, proportions,
// and means of few attempts shrunk towards the class.
//
// It implements published definitions and knows nothing of attempts, files or rulebooks: numbers in, numbers out. Item statistics divide by n,
// agreement by n − 1. What is not defined (one pair, no spread) is reported as such and never as NaN.
package stats
