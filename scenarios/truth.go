package scenarios

// Truth is what is so of a subject. It is never shown before the attempt is handed in.
type Truth struct {
	CaseID       string   `json:"case"`
	Model        int      `json:"model"`
	Seed         Seed     `json:"seed"`
	RightAct     RightAct `json:"right_act"`
	Sex          string   `json:"sex"`
	AgeY         int      `json:"age_y"`
	HeightCM     float64  `json:"height_cm"`
	MassKg       float64  `json:"mass_kg"`
	ArmCM        float64  `json:"arm_cm"`
	RestingHRbpm float64  `json:"resting_hr_bpm"`
	RestingSBP   float64  `json:"resting_sbp_mmhg"`
	RestingDBP   float64  `json:"resting_dbp_mmhg"`
	MaxHRbpm     float64  `json:"true_max_hr_bpm"`
	VO2MaxL      float64  `json:"true_vo2max_l_min"`
	VO2MaxRel    float64  `json:"true_vo2max_ml_kg_min"`
	O2CostMlMinW float64  `json:"o2_cost_ml_min_w"`
	Flags        []string `json:"flags,omitempty"` // health questions that a careful proctor does not pass over
	Ills         []string `json:"ills,omitempty"`
	Room         []string `json:"room,omitempty"` // what was wrong with the equipment
	Spoiler      string   `json:"spoiler"`
	Teaches      string   `json:"teaches"`
}
