package exercises

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// A field is what a column of a roster means.
type field string

const (
	nameField    field = "name"
	givenField   field = "given name"
	calledField  field = "preferred given name"
	familyField  field = "family name"
	keyField     field = "key"
	groupField   field = "group"
	timeField    field = "time factor"
	extraField   field = "extra attempts"
	untilField   field = "own end"
	roleField    field = "role"
	statusField  field = "status"
	enabledField field = "enabled"
	sourcedField field = "sourcedId"
)

// spellings are headings as spreadsheets and OneRoster have them, with nothing but their letters and digits. Those of OneRoster: [ONEROSTER12].
var spellings = map[field][]string{
	nameField:    {"name", "student", "studentname", "fullname", "displayname"},
	givenField:   {"givenname", "firstname", "forename", "forenames", "firstnames", "givennames"},
	calledField:  {"preferredgivenname", "preferredname", "preferredfirstname"},
	familyField:  {"familyname", "lastname", "surname"},
	groupField:   {"group", "section", "labgroup", "class", "lab"},
	timeField:    {"timefactor", "extratime", "timeallowance"},
	extraField:   {"extraattempts", "extraattempt", "moreattempts"},
	untilField:   {"until", "ownend", "extendeduntil", "deadline"},
	roleField:    {"role"},
	statusField:  {"status"},
	enabledField: {"enableduser"},
}

// keySpellings are columns that may be the key, the likeliest first.
var keySpellings = []string{
	"key", "studentid", "studentnumber", "studentno", "idnumber", "matriculationnumber", "matriculation", "id", "number", "sourcedid", "username", "login",
	"email", "emailaddress", "mail",
}

// onlyOneRoster are columns that tell OneRoster's users.csv from a list of one's own. Source: [ONEROSTER12].
var onlyOneRoster = []string{"sourcedid", "givenname", "familyname", "enableduser"}

// folded is a heading with nothing but its letters and digits, small.
func folded(heading string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, heading)
}

// columns finds what each column means; nil, and faults, when the file cannot be read so.
func (t *table) columns(head []string, keyColumn string, r *Roster) map[field]int {
	where := map[string][]int{}
	for i, h := range head {
		if f := folded(h); f != "" {
			where[f] = append(where[f], i)
		}
	}
	one := !slices.ContainsFunc(onlyOneRoster, func(f string) bool { return len(where[f]) == 0 })
	cols, before := map[field]int{}, len(t.faults.Faults)
	understood := map[int]bool{}
	for _, f := range []field{nameField, givenField, calledField, familyField, groupField, timeField, extraField, untilField, roleField, statusField, enabledField} {
		var found []int
		for _, s := range spellings[f] {
			found = append(found, where[s]...)
		}
		if !one && (f == roleField || f == statusField || f == enabledField) {
			continue
		}
		if len(found) > 1 {
			t.faults.add(1+t.skip, "two columns for the %s: %s and %s", f, cut(head[found[0]]), cut(head[found[1]]))
		}
		if len(found) > 0 {
			cols[f] = found[0]
			understood[found[0]] = true
		}
	}
	key := -1
	if keyColumn != "" {
		found := where[folded(keyColumn)]
		switch {
		case len(found) == 0:
			t.faults.add(1+t.skip, "no column %s for the key; there are: %s", cut(keyColumn), shown(head))
		case len(found) > 1:
			t.faults.add(1+t.skip, "two columns %s", cut(keyColumn))
		default:
			key = found[0]
		}
	} else {
		for _, s := range keySpellings {
			if found := where[s]; len(found) > 1 {
				t.faults.add(1+t.skip, "two columns for the key: %s and %s", cut(head[found[0]]), cut(head[found[1]]))
			} else if len(found) == 1 {
				key = found[0]
			} else {
				continue
			}
			break
		}
		if key < 0 && len(t.faults.Faults) == before {
			t.faults.add(1+t.skip, "no column for the key that the gradebook uses (key, student ID, username, email …); there are: %s", shown(head))
		}
	}
	if _, ok := cols[nameField]; !ok {
		if _, ok := cols[familyField]; !ok {
			t.faults.add(1+t.skip, "no column for the name (name, or given name and family name); there are: %s", shown(head))
		}
	}
	if len(t.faults.Faults) > before {
		return nil
	}
	cols[keyField], r.KeyFrom = key, head[key]
	understood[key] = true
	if one {
		cols[sourcedField] = where["sourcedid"][0]
	}
	if !one {
		for i, h := range head {
			if !understood[i] && h != "" {
				r.Notes = append(r.Notes, fmt.Sprintf("the column %s is not used", cut(h)))
			}
		}
	} else if len(where["role"]) == 0 {
		r.Notes = append(r.Notes, rolesElsewhere)
	}
	return cols
}

// rolesElsewhere is said of users.csv of OneRoster 1.2 when it comes alone.
const rolesElsewhere = "OneRoster 1.2 keeps roles in another file: everybody in users.csv is taken for a student"

// shown lists headings for a message.
func shown(head []string) string {
	const most = 12
	var all []string
	for i, h := range head {
		if i == most {
			all = append(all, "…")
			break
		}
		all = append(all, cut(h))
	}
	return strings.Join(all, ", ")
}

// fullName puts the name together as it is spoken.
func fullName(at func(field) string) string {
	if n := at(nameField); n != "" {
		return n
	}
	given := at(givenField)
	if called := at(calledField); called != "" {
		given = called
	}
	return strings.TrimSpace(given + " " + at(familyField))
}

// passedOver says why a row of OneRoster is no student of the class, or "".
func passedOver(at func(field) string) string {
	role := at(roleField)
	switch {
	case role != "" && !strings.EqualFold(role, "student"):
		return "role " + cut(role)
	case strings.EqualFold(at(statusField), "tobedeleted"):
		return "status tobedeleted"
	case strings.EqualFold(at(enabledField), "false"):
		return "not enabled"
	}
	return ""
}
