// Package page shows a report as one file of HTML: no request goes outside, no script is needed, and everything that somebody wrote is
// escaped. It has no rule, formula or sentence about a test of its own; those are in render's Outline.
package page
