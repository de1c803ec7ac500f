package stats

// A Variance is the two-way table of a score of each of n targets by each of k judges (or of n students on k subjects): mean squares.
type Variance struct {
	N, K                           int     // targets, judges
	Targets, Judges, Error, Within float64 // mean squares; Within pools judges and error
}

// TwoWay analyses a full table, a row a target. ok is false unless there are two rows and two columns at least, all of one length.
func TwoWay(rows [][]float64) (v Variance, ok bool) {
	v.N = len(rows)
	if v.N < 2 || len(rows[0]) < 2 {
		return v, false
	}
	v.K = len(rows[0])
	all := make([]float64, 0, v.N*v.K)
	columns := make([]float64, v.K)
	byRow := make([]float64, 0, v.N)
	for _, r := range rows {
		if len(r) != v.K {
			return v, false
		}
		all = append(all, r...)
		byRow = append(byRow, mean(r))
		for j, x := range r {
			columns[j] += x / float64(v.N)
		}
	}
	n, k := float64(v.N), float64(v.K)
	targets, judges := k*squares(byRow), n*squares(columns)
	rest := max(0, squares(all)-targets-judges)
	v.Targets = targets / (n - 1)
	v.Judges = judges / (k - 1)
	v.Error = rest / ((n - 1) * (k - 1))
	v.Within = (judges + rest) / (n * (k - 1))
	return v, true
}

// ICC21 is the absolute agreement of one judge drawn from many. Source: [SHROUT1979].
func (v Variance) ICC21() (float64, bool) {
	return ratio(v.Targets-v.Error, v.Targets+float64(v.K-1)*v.Error+float64(v.K)*(v.Judges-v.Error)/float64(v.N))
}

// ICC31 is the consistency of one of these very judges. Source: [SHROUT1979].
func (v Variance) ICC31() (float64, bool) {
	return ratio(v.Targets-v.Error, v.Targets+float64(v.K-1)*v.Error)
}

// Relative is the reliability of the mean over all judges for ranking, Eρ². It equals Cronbach's alpha, and KR-20 for scores of
// 0 and 1. Source: [BRENNAN2001], [CRONBACH1951], [KUDER1937].
func (v Variance) Relative() (float64, bool) { return ratio(v.Targets-v.Error, v.Targets) }

// Absolute is the reliability of the mean over all judges against a fixed mark, Φ, which equals ICC(2,k). Source: [BRENNAN2001].
func (v Variance) Absolute() (float64, bool) {
	return ratio(v.Targets-v.Error, v.Targets+(v.Judges-v.Error)/float64(v.N))
}

// ratio is not defined for a table without spread.
func ratio(over, under float64) (float64, bool) {
	if under <= 0 {
		return 0, false
	}
	return over / under, true
}
