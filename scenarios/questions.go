package scenarios

// A Question is one of the health questions, in our own words.
type Question struct {
	Key  string
	Text string
}

// Questions returns the health questions in the order in which they are asked: seven about health, three about today.
//
// The subjects asked about follow the published screening logic; the words are ours. Source: [ACSM10], [PARQ2011], [ACSM-TEXT].
func Questions() []Question {
	return []Question{
		{"heart", "Has anyone ever told you that something is wrong with your heart or your blood pressure?"},
		{"chest", "Do you ever get pain, pressure or tightness in the chest, at rest or when you work hard?"},
		{"dizzy", "In the last year, have you fainted, or been so dizzy that you had to hold on to something?"},
		{"condition", "Do you have any other long-lasting illness, such as diabetes, asthma or kidney disease?"},
		{"medicines", "Which medicines do you take, also ones bought without a prescription?"},
		{"joints", "Is there a bone, joint or muscle that cycling could make worse?"},
		{"supervised", "Has anyone told you to exercise only with a nurse or doctor nearby?"},
		{"ill", "Have you been ill, or had a fever, in the last week or so?"},
		{"today", "Today, what have you eaten, drunk or smoked in the last three hours?"},
		{"active", "How much do you exercise in an ordinary week?"},
	}
}

func questionKeys() []string {
	var keys []string
	for _, q := range Questions() {
		keys = append(keys, q.Key)
	}
	return keys
}
