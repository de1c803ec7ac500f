package exercises

// A View is what a face may show of an attempt before it is handed in. Its fields are an allow-list, held by a test.
type View struct {
	Subject      Subject `json:"subject"`
	Phase        Phase   `json:"phase"`
	ClockS       int     `json:"clock_s"`
	PhaseClockS  int     `json:"phase_clock_s"` // since the phase, or the stage, began
	Stage        int     `json:"stage"`
	Where        string  `json:"where"`
	Pedalling    bool    `json:"pedalling"`
	ResistanceKp float64 `json:"resistance_kp"`
	MetronomeRPM float64 `json:"metronome_rpm"`
	CuffOn       string  `json:"cuff_on"`
	Screening    string  `json:"screening"`
	Items        []Item  `json:"items"`
}

// View returns what may be shown.
func (s *State) View() View {
	return View{
		Subject: s.Header.Subject, Phase: s.Phase(), ClockS: s.ClockS, PhaseClockS: s.ClockS - s.PhaseFromS(), Stage: s.Stage,
		Where: s.Where, Pedalling: s.Pedalling, ResistanceKp: s.ResistanceKp, MetronomeRPM: s.MetronomeRPM,
		CuffOn: s.CuffOn, Screening: s.Screening, Items: append([]Item(nil), s.Items...),
	}
}
