package dialogue

import (
	"slices"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// bare is a verb that takes nothing.
func bare(act exercises.Act) parser {
	return func(args []string, _ *exercises.State) (exercises.Command, *Problem) {
		if len(args) > 0 {
			return exercises.Command{}, problem("type it alone", "“%s” takes nothing after it.", strings.ReplaceAll(string(act), "_", " "))
		}
		return exercises.Command{Act: act}, nil
	}
}

// fixed is a short form that stands for a whole command.
func fixed(c exercises.Command) parser {
	return func(args []string, _ *exercises.State) (exercises.Command, *Problem) {
		if len(args) > 0 && (len(args) != 1 || args[0] != string(c.Act)) {
			return exercises.Command{}, problem("to write on the sheet: write "+c.What+" …", "“%s” takes nothing after it.", c.What)
		}
		return c, nil
	}
}

// oneOf is a verb that takes one word of a list.
func oneOf(act exercises.Act, whats ...string) parser {
	return func(args []string, _ *exercises.State) (exercises.Command, *Problem) {
		hint := "one of: " + strings.ReplaceAll(strings.Join(whats, ", "), "_", " ")
		switch {
		case len(args) == 0:
			return exercises.Command{}, problem(hint, "%s what?", capital(string(act)))
		case len(args) > 1:
			return exercises.Command{}, problem(hint, "One thing at a time after “%s”.", act)
		case slices.Contains(whats, args[0]):
			return exercises.Command{Act: act, What: args[0]}, nil
		}
		if near := scenarios.Nearest(args[0], whats); near != "" {
			hint = "did you mean " + string(act) + " " + strings.ReplaceAll(near, "_", " ") + "?"
		}
		return exercises.Command{}, problem(hint, "“%s” is not something to %s.", strings.ReplaceAll(short(args[0]), "_", " "), act)
	}
}

// optional is a verb that takes one word of a list, or none.
func optional(act exercises.Act, whats ...string) parser {
	one := oneOf(act, whats...)
	return func(args []string, s *exercises.State) (exercises.Command, *Problem) {
		if len(args) == 0 {
			return exercises.Command{Act: act}, nil
		}
		return one(args, s)
	}
}

// single is a verb that takes one number; a counting one takes no fraction.
func single(act exercises.Act, usage string, counting bool, set func(*exercises.Command, float64), units ...string) parser {
	return func(args []string, _ *exercises.State) (exercises.Command, *Problem) {
		found, rest := numbersIn(args, units...)
		if len(found) != 1 || len(rest) > 0 || counting && !whole(found[0]) {
			kind := "One number"
			if counting {
				kind = "One whole number"
			}
			return exercises.Command{}, problem("for example: "+usage, "%s belongs after “%s”.", kind, act)
		}
		c := exercises.Command{Act: act}
		set(&c, found[0])
		return c, nil
	}
}

// spanOf is a verb that takes a length of time.
func spanOf(act exercises.Act, usage string, usual int) parser {
	return func(args []string, _ *exercises.State) (exercises.Command, *Problem) {
		seconds, ok := span(args, usual)
		if !ok {
			return exercises.Command{}, problem("for example: "+usage, "%s for how long?", capital(string(act)))
		}
		return exercises.Command{Act: act, Seconds: seconds}, nil
	}
}

func parseUntil(args []string, s *exercises.State) (exercises.Command, *Problem) {
	if len(args) != 1 {
		return exercises.Command{}, problem("for example: until 1:45", "Until when?")
	}
	at, ok := ReadClock(args[0])
	if !ok {
		return exercises.Command{}, problem("minutes and seconds, for example: until 1:45", "“%s” is not a time.", short(args[0]))
	}
	left := at - (s.ClockS - s.PhaseFromS())
	if left <= 0 {
		return exercises.Command{}, problem("wait 20 lets seconds pass", "%s is past.", args[0])
	}
	return exercises.Command{Act: exercises.Wait, Seconds: left}, nil
}

func parseCuff(args []string, s *exercises.State) (exercises.Command, *Problem) {
	if len(args) > 0 {
		name := strings.Join(args, "_")
		if name == "small" || name == "large" {
			name += "_adult"
		}
		args = []string{name}
	}
	return oneOf(exercises.Cuff, "small_adult", "adult", "large_adult", "thigh")(args, s)
}

// sites are where a pulse is felt, by either name.
var sites = map[string]string{"radial": "radial", "wrist": "radial", "carotid": "carotid", "neck": "carotid"}

// atSite takes the place of the pulse out of the words.
func atSite(args []string) (site string, rest []string) {
	for _, a := range args {
		if s, ok := sites[a]; ok {
			site = s
			continue
		}
		if a != "pulse" && a != "the" {
			rest = append(rest, a)
		}
	}
	return site, rest
}

func parseCount(args []string, _ *exercises.State) (exercises.Command, *Problem) {
	site, args := atSite(args)
	seconds, ok := span(args, 1)
	if !ok {
		return exercises.Command{}, problem("for example: count 15, or count 15 carotid", "Count for how many seconds?")
	}
	return exercises.Command{Act: exercises.Count, What: site, Seconds: seconds}, nil
}

// parseHelper reads what a helper is sent for.
func parseHelper(args []string, _ *exercises.State) (exercises.Command, *Problem) {
	const hint = "helper pulse 15, helper pressure 180, or helper again"
	if len(args) == 0 {
		return exercises.Command{}, problem(hint, "Send a helper for what?")
	}
	c := exercises.Command{Act: exercises.Helper, What: args[0]}
	switch args[0] {
	case "again":
		if len(args) == 1 {
			return c, nil
		}
	case "pulse":
		if seconds, ok := span(args[1:], 1); ok {
			c.Seconds = seconds
			return c, nil
		}
	case "pressure":
		rest := args[1:]
		if len(rest) > 0 && rest[0] == "pump" {
			rest = rest[1:]
		}
		if len(rest) > 0 {
			if x, ok := figure(rest[0], "mmhg"); ok && len(rest) == 1 {
				c.PumpMmHg = int(x)
				return c, nil
			}
		}
	}
	return exercises.Command{}, problem(hint, "“helper %s” is not something that can be asked.", short(strings.Join(args, " ")))
}

func parseTime(args []string, s *exercises.State) (exercises.Command, *Problem) {
	site, args := atSite(args)
	c, bad := single(exercises.Time, "time 30 beats", true, func(c *exercises.Command, x float64) { c.Beats = int(x) }, "beats")(args, s)
	c.What = site
	return c, bad
}

// parsePressure reads how high and how fast: in that order, or each after its word.
func parsePressure(args []string, _ *exercises.State) (exercises.Command, *Problem) {
	var pump, valve float64
	var given, said int
	word := ""
	for _, a := range args {
		x, ok := figure(a, "mmhg/s", "mmhg")
		switch {
		case a == "pump" || a == "valve":
			word = a
		case ok && (word == "valve" || word == "" && given == 1):
			valve, given, said, word = x, given+1, said|2, ""
		case ok:
			pump, given, said, word = x, given+1, said|1, ""
		case !slices.Contains(small, a) && a != "mmhg" && a != "mmhg/s" && a != "and":
			given = -100
		}
	}
	if given != 2 || said != 3 || !whole(pump) {
		return exercises.Command{}, problem("for example: pressure pump 180 valve 3", "How high to pump, and how fast to let the air out?")
	}
	return exercises.Command{Act: exercises.Pressure, PumpMmHg: int(pump), ValveMmHgS: valve}, nil
}

// load is a verb that takes a resistance: kp, or kg·m/min at 50 turns a minute when that unit is typed.
func load(act exercises.Act, usage string) parser {
	return func(args []string, _ *exercises.State) (exercises.Command, *Problem) {
		kgm := strings.Contains(strings.Join(args, " "), "g·m") || strings.Contains(strings.Join(args, " "), "kgm")
		found, rest := numbersIn(args, "kgm/min", "kg·m/min", "kgm", "kg·m", "kp")
		if len(found) != 1 || len(rest) > 0 {
			return exercises.Command{}, problem(usage, "How much resistance?")
		}
		x := found[0]
		if kgm {
			x = float64(unit.WorkRate(x).Resistance(50 * unit.RPM))
		}
		return exercises.Command{Act: act, ResistanceKp: x}, nil
	}
}

// parseHandOver takes the whole line as the sentence: its commas part no boxes.
func parseHandOver(text string) (exercises.Command, *Problem) {
	if text = strings.TrimSpace(text); text == "" {
		return exercises.Command{}, problem("for example: handover Faint at 12:10, lying since, now pulse 72 and 118/70, feels better", "What happened?")
	}
	return exercises.Command{Act: exercises.Write, Entries: []exercises.Entry{{Key: exercises.KeyHandOver, Text: text}}}, nil
}

// parseFetch takes "fetch" and "fetch help".
func parseFetch(args []string, _ *exercises.State) (exercises.Command, *Problem) {
	if len(args) > 1 || len(args) == 1 && args[0] != "help" {
		return exercises.Command{}, problem("fetch help; call instructor calls without going", "You can go for help only.")
	}
	return exercises.Command{Act: exercises.Leave}, nil
}
