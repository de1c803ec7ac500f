package dialogue

import (
	"bytes"
	"encoding/binary"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
)

func entry(key exercises.Key, text string) exercises.Entry {
	return exercises.Entry{Key: key, Text: text}
}

func written(e ...exercises.Entry) exercises.Command {
	return exercises.Command{Act: exercises.Write, Entries: e}
}

// inStage is a state in the second stage, 40 s after it began.
func inStage() *exercises.State {
	return &exercises.State{ClockS: 1040, PedalFromS: 600, Pedalling: true, Stage: 2, StageFromS: 1000, EndedAtS: -1, ReleasedAtS: -1}
}

func TestParse(t *testing.T) {
	type cmd = exercises.Command
	for typed, want := range map[string]cmd{
		"greet":                         {Act: exercises.Greet},
		"  GREET ":                      {Act: exercises.Greet},
		"check brake":                   {Act: exercises.Check, What: "brake"},
		"check metronome":               {Act: exercises.Check, What: "metronome"},
		"check dial":                    {Act: exercises.Check, What: "dial"},
		"cadence":                       {Act: exercises.Check, What: "cadence"},
		"explain signals":               {Act: exercises.Explain, What: "signals"},
		"ask health":                    {Act: exercises.Ask, What: "health"},
		"health":                        {Act: exercises.Ask, What: "health"},
		"consent":                       {Act: exercises.Ask, What: "consent"},
		"rpe":                           {Act: exercises.Ask, What: "exertion"},
		"symptoms":                      {Act: exercises.Ask, What: "symptoms"},
		"measure arm":                   {Act: exercises.Measure, What: "arm"},
		"weigh":                         {Act: exercises.Measure, What: "mass"},
		"cuff adult":                    {Act: exercises.Cuff, What: "adult"},
		"cuff large adult":              {Act: exercises.Cuff, What: "large_adult"},
		"cuff small":                    {Act: exercises.Cuff, What: "small_adult"},
		"saddle":                        {Act: exercises.Saddle},
		"saddle up":                     {Act: exercises.Saddle, What: "up"},
		"seat chair":                    {Act: exercises.Seat, What: "chair"},
		"rest 5":                        {Act: exercises.Rest, Seconds: 300},
		"rest 5 min":                    {Act: exercises.Rest, Seconds: 300},
		"rest 2,5":                      {Act: exercises.Rest, Seconds: 150},
		"rest 90 s":                     {Act: exercises.Rest, Seconds: 90},
		"wait 20":                       {Act: exercises.Wait, Seconds: 20},
		"wait 20s":                      {Act: exercises.Wait, Seconds: 20},
		"wait for 2 min":                {Act: exercises.Wait, Seconds: 120},
		"wait 1:30":                     {Act: exercises.Wait, Seconds: 90},
		"until 1:45":                    {Act: exercises.Wait, Seconds: 65},
		"count 15":                      {Act: exercises.Count, Seconds: 15},
		"count 15 s carotid":            {Act: exercises.Count, Seconds: 15, What: "carotid"},
		"count pulse 30 sec neck":       {Act: exercises.Count, Seconds: 30, What: "carotid"},
		"pulse 15 wrist":                {Act: exercises.Count, Seconds: 15, What: "radial"},
		"time 30 beats":                 {Act: exercises.Time, Beats: 30},
		"time 30":                       {Act: exercises.Time, Beats: 30},
		"pressure pump 180 valve 3":     {Act: exercises.Pressure, PumpMmHg: 180, ValveMmHgS: 3},
		"pressure valve 2,5 pump 180":   {Act: exercises.Pressure, PumpMmHg: 180, ValveMmHgS: 2.5},
		"pressure pump to 180, valve 3": {Act: exercises.Pressure, PumpMmHg: 180, ValveMmHgS: 3},
		"pressure 180 3":                {Act: exercises.Pressure, PumpMmHg: 180, ValveMmHgS: 3},
		"pump 180 mmHg valve 3 mmHg/s":  {Act: exercises.Pressure, PumpMmHg: 180, ValveMmHgS: 3},
		"blood pressure 180 3":          {Act: exercises.Pressure, PumpMmHg: 180, ValveMmHgS: 3},
		"metronome 50 rpm":              {Act: exercises.Metronome, CadenceRPM: 50},
		"pedal":                         {Act: exercises.Pedal},
		"warm up":                       {Act: exercises.Pedal},
		"stage 0.5":                     {Act: exercises.Stage, ResistanceKp: 0.5},
		"stage 0,5 kp":                  {Act: exercises.Stage, ResistanceKp: 0.5},
		"stage 300 kgm/min":             {Act: exercises.Stage, ResistanceKp: 1},
		"stage 450 kg·m/min":            {Act: exercises.Stage, ResistanceKp: 1.5},
		"stage −1":                      {Act: exercises.Stage, ResistanceKp: -1},
		"stage 300":                     {Act: exercises.Stage, ResistanceKp: 300}, // refused by the session, not guessed at
		"next stage 1.5":                {Act: exercises.Stage, ResistanceKp: 1.5},
		"resistance 1.0kp":              {Act: exercises.Resistance, ResistanceKp: 1},
		"extend":                        {Act: exercises.Extend},
		"coach":                         {Act: exercises.Coach},
		"cooldown 0.5":                  {Act: exercises.CoolDown, ResistanceKp: 0.5},
		"cool down 0.5":                 {Act: exercises.CoolDown, ResistanceKp: 0.5},
		"stop":                          {Act: exercises.Stop},
		"stop test":                     {Act: exercises.Stop},
		"call ambulance":                {Act: exercises.Call, What: "ambulance"},
		"decide postpone":               {Act: exercises.Decide, What: "postpone"},
		"release":                       {Act: exercises.Release},
		"strike 4":                      {Act: exercises.Strike, Entry: 4},
		"strike out entry 4":            {Act: exercises.Strike, Entry: 4},
		"hand in":                       {Act: exercises.HandIn},
		"seat floor":                    {Act: exercises.Seat, What: "lying"},
		"lay her down":                  {Act: exercises.Seat, What: "lying"},
		"Take a seat, please":           {Act: exercises.Seat, What: "chair"},
		"how do you feel?":              {Act: exercises.Ask, What: "symptoms"},
		"ask her how she feels":         {Act: exercises.Ask, What: "symptoms"},
		"how hard is it now":            {Act: exercises.Ask, What: "exertion"},
		"good morning":                  {Act: exercises.Greet},
		"are you dizzy?":                {Act: exercises.Ask, What: "symptoms"},
		"ask about medicines":           {Act: exercises.Ask, What: "health"},
		"put on cuff adult":             {Act: exercises.Cuff, What: "adult"},
		"hello there":                   {Act: exercises.Greet},
		"take pulse 15":                 {Act: exercises.Count, Seconds: 15},
		"check her bp 180 3":            {Act: exercises.Pressure, PumpMmHg: 180, ValveMmHgS: 3},
		"measure weight":                {Act: exercises.Measure, What: "mass"},
		"look at the person":            {Act: exercises.Look},
		"call an ambulance":             {Act: exercises.Call, What: "ambulance"},
		"set the metronome to 50":       {Act: exercises.Metronome, CadenceRPM: 50},
		"set load 1.5":                  {Act: exercises.Resistance, ResistanceKp: 1.5},
		"stop the test now":             {Act: exercises.Stop},
		"one more minute":               {Act: exercises.Extend},
		"wait a minute":                 {Act: exercises.Wait, Seconds: 60},
		"wait until 1:45":               {Act: exercises.Wait, Seconds: 65},
		"explain how to stop":           {Act: exercises.Explain, What: "signals"},
		"raise the saddle":              {Act: exercises.Saddle, What: "up"},
		"postpone":                      {Act: exercises.Decide, What: "postpone"},
		"note down hr 112, bp 148/72":   written(entry(exercises.KeyHR, "112"), entry(exercises.KeyBP, "148/72")),
		"write reason the ceiling, at a rate of 160 now": written(
			entry(exercises.KeyReason, "the ceiling, at a rate of 160 now")),
		"write beats 28, hr 112":       written(entry(exercises.KeyBeats, "28"), entry(exercises.KeyHR, "112")),
		"write hr 112 bpm,bp 148 / 72": written(entry(exercises.KeyHR, "112"), entry(exercises.KeyBP, "148/72")),
		"write HR: 112":                written(entry(exercises.KeyHR, "112")),
		"write mass 73,3 kg, arm 32.1": written(entry(exercises.KeyMass, "73.3"), entry(exercises.KeyArm, "32.1")),
		"write maxhr 185":              written(entry(exercises.KeyMaxHR, "185")),
		"write max heart rate 185":     written(entry(exercises.KeyMaxHR, "185")),
		"write ceiling 157":            written(entry(exercises.KeyCeiling, "157")),
		"write ceiling count 39,25":    written(entry(exercises.KeyCeilingCount, "39.25")),
		"write band counts 20, 22,5, 25": written(
			entry(exercises.KeyBandCounts, "20 22.5 25")),
		"write points 2, 3":            written(entry(exercises.KeyPoints, "2 3")),
		"write points 2,3":             written(entry(exercises.KeyPoints, "2 3")),
		"write points 2 and 3":         written(entry(exercises.KeyPoints, "2 3")),
		"write error range ±15 %":      written(entry(exercises.KeyErrorRange, "15")),
		"write vo2max 40.2":            written(entry(exercises.KeyVO2Rel, "40.2")),
		"write vo2max litres 2.94":     written(entry(exercises.KeyVO2Abs, "2.94")),
		"write rating very poor":       written(entry(exercises.KeyRating, "very poor")),
		"write symptoms none, he says": written(entry(exercises.KeySymptoms, "none, he says")),
		"write reason Ceiling, 160":    written(entry(exercises.KeyReason, "Ceiling, 160")),
		"write no estimate one stage":  written(entry(exercises.KeyNoEstimate, "one stage")),
		"write no estimate, one stage": written(entry(exercises.KeyNoEstimate, "one stage")),
		"write stage 2 minute 3 hr 112": written(
			exercises.Entry{Key: exercises.KeyHR, Text: "112", Stage: 2, Minute: 3}),
		"write stage 1 bp 130/70": written(exercises.Entry{Key: exercises.KeyBP, Text: "130/70", Stage: 1}),
		"write minute 1 hr 99":    written(exercises.Entry{Key: exercises.KeyHR, Text: "99", Stage: 2, Minute: 1}),
		"write recovery minute 1 hr 98, bp 140/70": written(
			exercises.Entry{Key: exercises.KeyHR, Text: "98", Stage: exercises.RecoveryStage, Minute: 1},
			exercises.Entry{Key: exercises.KeyBP, Text: "140/70", Stage: exercises.RecoveryStage, Minute: 1}),
		"write hand-over At 1:34 the jaw hurt. Stopped, sat down. Pulse 80, pressure 166 over 70, now easier.": written(
			entry(exercises.KeyHandOver, "At 1:34 the jaw hurt. Stopped, sat down. Pulse 80, pressure 166 over 70, now easier.")),
		"write no estimate: at minute 2 the chest hurt, pulse 108": written(entry(exercises.KeyNoEstimate, "at minute 2 the chest hurt, pulse 108")),
	} {
		got, bad := Parse(typed, inStage())
		switch {
		case bad != nil:
			t.Errorf("%q: %s", typed, bad.What)
		case !reflect.DeepEqual(got, want):
			t.Errorf("%q was read as %+v, want %+v", typed, got, want)
		}
	}
}

// What is not understood says so and says what to do.
func TestParseProblems(t *testing.T) {
	for typed, want := range map[string][2]string{
		"grete":                    {"“grete” is not something that can be done here.", "did you mean greet?"},
		"presure 180 3":            {"“presure” is not something", "did you mean pressure pump 180 valve 3?"},
		"handin it":                {"“hand in” takes nothing after it.", "type it alone"},
		"xyzzy":                    {"“xyzzy” is not something", "help lists what can be done"},
		"hr 112":                   {"“hr” is not something", "to write it on the sheet: write hr 112"},
		"rpe 13":                   {"takes nothing after it.", "write exertion"},
		"count":                    {"Count for how many seconds?", "count 15"},
		"count nan":                {"Count for how many seconds?", "count 15"},
		"count 15 20":              {"Count for how many seconds?", "count 15"},
		"count 15 ankle":           {"Count for how many seconds?", "count 15 carotid"},
		"count 1e1":                {"Count for how many seconds?", "count 15"},
		"time 30.7":                {"One whole number", "time 30 beats"},
		"stage":                    {"How much resistance?", "stage 0.5"},
		"stage inf":                {"How much resistance?", "stage 0.5"},
		"stage 0.5 1.0":            {"How much resistance?", "stage 0.5"},
		"stage half":               {"How much resistance?", "stage 0.5"},
		"pressure 180":             {"How high to pump", "pressure pump 180 valve 3"},
		"pressure pump 180 pump 3": {"How high to pump", "pressure pump 180 valve 3"},
		"pressure 180 3 2":         {"How high to pump", "pressure pump 180 valve 3"},
		"pressure nan 3":           {"How high to pump", "pressure pump 180 valve 3"},
		"check":                    {"Check what?", "brake, weight, metronome, plan, cuff, gauge, arm, cadence, dial"},
		"check brak":               {"“brak” is not something to check.", "did you mean check brake?"},
		"cuff larg adult":          {"“larg adult” is not something to cuff.", "did you mean cuff large adult?"},
		"ask symptoms twice":       {"One thing at a time", "symptoms"},
		"until noon":               {"“noon” is not a time.", "until 1:45"},
		"until 0:30":               {"0:30 is past.", "wait 20"},
		"until 1:75":               {"“1:75” is not a time.", "until 1:45"},
		"strike first":             {"One whole number", "strike 4"},
		"write":                    {"Write what?", "write beats 28, hr 112"},
		"write stage 2":            {"Write what?", "write beats 28, hr 112"},
		"write 112":                {"The sheet has no box “112”.", "help write"},
		"write beets 28":           {"The sheet has no box “beets”.", "did you mean beats?"},
		"write hr":                 {"Heart rate: nothing to write.", "write beats 28, hr 112"},
		"write hr 112, bp":         {"Pressure: nothing to write.", "write bp 148/72"},
		"write rest hr 70":         {"before the first stage", "name the stage"},
		"write bp 140/70, stage 1 minute 2 hr 96": {"“stage 1 minute 2” stands first", "write stage 2 minute 3 hr 112"},
		"write no estimate":                       {"No estimate: nothing to write.", "say why"},
		"height":                                  {"“height” is not something", "measure height"},
		"get help":                                {"“get” is not something", "keeps you beside the person"},
		"bye":                                     {"“bye” is not something", "release"},
		"give her water":                          {"“give” is not something", "nothing is given here"},
		"faster please":                           {"“faster” is not something", "coach"},
		"help":                                    {"“help” is not something", "help"},
		strings.Repeat("a", 300) + " b":           {strings.Repeat("a", quoted) + "…", "help lists what can be done"},
	} {
		c, bad := Parse(typed, inStage())
		if bad == nil {
			t.Errorf("%q was read as %+v, want it refused", typed, c)
			continue
		}
		if !strings.Contains(bad.What, want[0]) || !strings.Contains(bad.Hint, want[1]) {
			t.Errorf("%q: said %q, %q; want %q, %q", typed, bad.What, bad.Hint, want[0], want[1])
		}
	}
}

// Before the first stage a resting value needs no stage.
func TestWriteAtRest(t *testing.T) {
	s := &exercises.State{PedalFromS: -1, EndedAtS: -1, ReleasedAtS: -1}
	got, bad := Parse("write rest hr 70", s)
	if want := written(entry(exercises.KeyHR, "70")); bad != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("read as %+v, %v; want %+v", got, bad, want)
	}
	if _, bad := Parse("write minute 2 hr 70", s); bad == nil || bad.What != "Minute 2 of which stage?" {
		t.Errorf("a minute without a stage: %v", bad)
	}
}

// Every example that help shows can be typed, and every act that a proctor has can be reached.
func TestHelpShowsWhatCanBeTyped(t *testing.T) {
	reached := map[exercises.Act]bool{}
	for _, v := range verbs {
		for i, form := range strings.Split(v.usage, " | ") {
			first, _, _ := strings.Cut(v.usage, " ")
			if i > 0 && !strings.HasPrefix(form, first) {
				form = first + " " + form
			}
			switch form {
			case "sheet", "help", "rules", "quit":
				continue
			}
			c, bad := Parse(form, inStage())
			if bad != nil {
				t.Errorf("%q, shown by help: %s", form, bad.What)
			}
			reached[c.Act] = true
		}
	}
	for _, act := range []exercises.Act{
		exercises.Check, exercises.Greet, exercises.Explain, exercises.Ask, exercises.Measure, exercises.Cuff, exercises.Saddle, exercises.Seat,
		exercises.Rest, exercises.Decide, exercises.Count, exercises.Time, exercises.Pressure, exercises.Look, exercises.Wait, exercises.Metronome,
		exercises.Pedal, exercises.Resistance, exercises.Stage, exercises.Extend, exercises.Coach, exercises.CoolDown, exercises.Stop,
		exercises.Call, exercises.Release, exercises.Write, exercises.Strike, exercises.HandIn,
	} {
		if !reached[act] {
			t.Errorf("help shows no way to %s", act)
		}
	}
}

// An everyday phrase is found by the words that are left when fillers are gone, leads to something that help shows, and is not too long to be looked for.
func TestEverydayPhrasesLeadSomewhere(t *testing.T) {
	for phrase, to := range everyday {
		words := strings.Fields(strings.TrimSuffix(phrase, " …"))
		if len(words) > longestPhrase {
			t.Errorf("%q has %d words, and only %d are looked at", phrase, len(words), longestPhrase)
		}
		for _, w := range words {
			if fillers[w] {
				t.Errorf("%q: %q is left out before it is looked for", phrase, w)
			}
		}
		name, _ := verbAt(strings.Fields(to))
		if _, ok := verbNamed(name); !ok {
			t.Errorf("%q leads to %q, which nobody knows", phrase, to)
		}
	}
	for word := range nearby {
		if _, ok := verbNamed(word); ok || fillers[word] {
			t.Errorf("%q is understood, and has a hint", word)
		}
	}
}

// Every box of the sheet has a printed name and a word by which it can be written, and the word leads to that box.
func TestEveryBoxCanBeWritten(t *testing.T) {
	for _, key := range exercises.Keys() {
		if name, _ := render.Box(key); name == "" {
			t.Errorf("%s has no printed name", key)
		}
		got, _, ok := label(BoxWord(key) + " 7")
		if !ok || got != key {
			t.Errorf("%q leads to %q, want %q", BoxWord(key), got, key)
		}
	}
	for _, l := range labels {
		if got, rest, ok := label(l.says + " 7"); !ok || got != l.key || rest != "7" {
			t.Errorf("%q is read as %q with %q left, want %q", l.says, got, rest, l.key)
		}
	}
}

// Whatever is typed, the answer is a command or a problem with words, and never both.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"count 15", "write beats 28, hr 112", "write stage 2 minute 3 hr 112", "until 1:45", "stage 0,5", "pressure valve 3 pump 180",
		"write \x00", "cuff", "help", "rest 1:99", "wait min", "write points ,,,", "−", "write ceiling count", "quit now", "write bp ½"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, typed string) {
		line := clean(typed)
		c, bad := Parse(line, inStage())
		switch {
		case bad == nil && c.Act == "":
			t.Errorf("%q: neither a command nor a problem", typed)
		case bad != nil && (bad.What == "" || bad.Hint == ""):
			t.Errorf("%q: a problem without words", typed)
		case bad != nil && len([]rune(bad.Hint)) > 200:
			t.Errorf("%q: a hint of %d letters", typed, len([]rune(bad.Hint)))
		}
		for _, l := range help(strings.Fields(strings.ToLower(line))) {
			if len([]rune(l)) > 80 {
				t.Errorf("%q: help has a line of %d columns: %s", typed, len([]rune(l)), l)
			}
		}
	})
}

// A file of commands that a shell wrote in UTF-16 is read as any other.
func TestLinesInUTF16(t *testing.T) {
	const typed = "greet\r\nwrite told “Müller”, see 𝛼\nlook"
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		var file []byte
		for _, u := range utf16.Encode([]rune("\ufeff" + typed)) {
			file = order.AppendUint16(file, u)
		}
		var got []string
		for line := range Lines(bytes.NewReader(file), nil) {
			got = append(got, line)
		}
		if want := []string{"greet", "write told “Müller”, see 𝛼", "look"}; !slices.Equal(got, want) {
			t.Errorf("%v: %q, want %q", order, got, want)
		}
	}
}

// Each box that the program asks for by name once the person has left is explained by that name.
func TestHelpKnowsEachBox(t *testing.T) {
	for _, l := range labels {
		if got := help(strings.Fields(l.says)); strings.HasPrefix(got[0], "No help on") {
			t.Errorf("help %s: %s", l.says, got[0])
		}
	}
	if got := help([]string{"beets"}); !strings.HasPrefix(got[0], "No help on") {
		t.Errorf("help beets: %s", got[0])
	}
}
