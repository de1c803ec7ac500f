// Package paper puts a report on pages of A4 or US Letter as PDF: typefaces embedded, text that can be selected, the same bytes each
// time. The page of package page is the one for a screen reader; this is the copy to print or hand in.
package paper
