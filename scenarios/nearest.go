package scenarios

// Nearest returns the name that a mistyped word most likely meant, or "" when none is near: at most a third of its letters differ.
func Nearest(word string, names []string) string {
	best, most := "", max(1, len([]rune(word))/3)
	for _, n := range names {
		if d := distance(word, n); d <= most {
			best, most = n, d-1
		}
	}
	return best
}

// distance counts insertions, deletions, replacements and swaps of neighbours between two words.
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	rows := make([][]int, len(x)+1)
	for i := range rows {
		rows[i] = make([]int, len(y)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(x); i++ {
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			rows[i][j] = min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return rows[len(x)][len(y)]
}
