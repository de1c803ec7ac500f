package exercises

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
)

func entrants(t *testing.T, text, key string) Roster {
	t.Helper()
	r, err := ReadRoster("class.csv", []byte(text), key)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	return r
}

func TestRostersAsSpreadsheetsWriteThem(t *testing.T) {
	want := []Entrant{
		{Name: "Ana de Vell", Key: "1001", Group: "B", TimeFactor: 1.25, Line: 2},
		{Name: "Tom Orbin", Key: "1002", Group: "A", TimeFactor: 1, Extra: 2, Line: 3},
		{Name: "Mia Sorrel, jr", Key: "1003", Group: "A", TimeFactor: 0, Line: 4},
	}
	for name, text := range map[string]string{
		"commas":              "name,student id,group,time factor,extra attempts\nAna de Vell,1001,B,1.25,\nTom Orbin,1002,A,,2\n\"Mia Sorrel, jr\",1003,A,none,0\n",
		"mark and semicolons": "\ufeffStudent ID;Name;Section;Time-Factor;Extra_Attempts\r\n1001;Ana de Vell;B;1,25;\r\n1002;Tom Orbin;A;;2\r\n1003;Mia Sorrel, jr;A;none;0\r\n",
		"mark and quotes":     "\ufeff\"Full Name\",\"STUDENT_ID\",\"Lab group\",\"Extra time\",\"extraAttempts\"\n\"Ana de Vell\",\"1001\",\"B\",\"125 %\",\"\"\n\"Tom Orbin\",\"1002\",\"A\",\"1\",\"2\"\n\"Mia Sorrel, jr\",\"1003\",\"A\",\"None\",\"\"\n",
		"two name columns":    "Surname,First Name,Key,Class,Time Factor,Extra Attempts\nde Vell,Ana,1001,B,1.25,\nOrbin,Tom,1002,A,,2\n\"Sorrel, jr\",Mia,1003,A,no limit,\n",
		"tabs":                "name\tid\tgroup\ttime factor\textra attempts\nAna de Vell\t1001\tB\t1.25\t\nTom Orbin\t1002\tA\t\t2\nMia Sorrel, jr\t1003\tA\tnone\t\n",
		"old line ends":       "name;id;group;time factor;extra attempts\rAna de Vell;1001;B;1.25;\rTom Orbin;1002;A;;2\rMia Sorrel, jr;1003;A;none;\r",
		"no-break spaces":     "name,id,group,time factor,extra attempts\n\u00a0Ana de\u00a0Vell ,1001,B,1.25,\nTom Orbin,1002,A,,2\n\"Mia Sorrel, jr\",1003,A,none,\n,,,,\n",
	} {
		if r := entrants(t, text, ""); !slices.Equal(r.Entrants, want) {
			t.Errorf("%s: %+v", name, r.Entrants)
		}
	}
	if r := entrants(t, "name,id\nمی\u200cرضا,1\n", ""); r.Entrants[0].Name != "می\u200cرضا" { // a joiner belongs to the name
		t.Errorf("%+v", r)
	}
	r := entrants(t, "sep=;\nname;id\nAna;1\n", "")
	if len(r.Entrants) != 1 || r.Entrants[0].Line != 3 {
		t.Errorf("%+v", r)
	}
}

// The key is the column that is named, else the likeliest; what is not used is said.
func TestWhichColumnIsTheKey(t *testing.T) {
	const text = "name,email,student number,seat\nAna,a@b.example,7,12\n"
	if r := entrants(t, text, ""); r.Entrants[0].Key != "7" || r.KeyFrom != "student number" || len(r.Notes) != 2 {
		t.Errorf("%+v", r)
	}
	if r := entrants(t, text, "E-mail"); r.Entrants[0].Key != "a@b.example" || r.KeyFrom != "email" {
		t.Errorf("%+v", r)
	}
	_, err := ReadRoster("c.csv", []byte(text), "matrikel")
	if err == nil || !strings.Contains(err.Error(), "no column matrikel") {
		t.Error(err)
	}
}

// The headings of users.csv. Source: [ONEROSTER12]: 22 fields in 1.2; 18 in 1.1, with orgSourcedIds and role.
func TestOneRosterUsers(t *testing.T) {
	const (
		v12 = "sourcedId,status,dateLastModified,enabledUser,username,userIds,givenName,familyName,middleName,identifier,email,sms,phone,agentSourcedIds,grades,password,userMasterIdentifier,preferredGivenName,preferredMiddleName,preferredFamilyName,primaryOrgSourcedId,pronouns"
		v11 = "sourcedId,status,dateLastModified,enabledUser,orgSourcedIds,role,username,userIds,givenName,familyName,middleName,identifier,email,sms,phone,agentSourcedIds,grades,password"
	)
	if n, m := strings.Count(v12, ",")+1, strings.Count(v11, ",")+1; n != 22 || m != 18 {
		t.Fatalf("%d and %d fields", n, m)
	}
	r := entrants(t, v12+"\nu-1,,,true,avell,,Ana,Vell,,,a@b.example,,,,,,,,,,,\nu-2,tobedeleted,,true,torbin,,Tom,Orbin,,,,,,,,,,,,,,\nu-3,,,false,msorrel,,Mia,Sorrel,,,,,,,,,,,,,,\nu-4,active,,true,jpike,,Jonathan,Pike,,,,,,,,,,Jonny,,,,\n", "")
	if len(r.Entrants) != 2 || r.Entrants[0] != (Entrant{Name: "Ana Vell", Key: "u-1", TimeFactor: 1, Line: 2}) || r.Entrants[1].Name != "Jonny Pike" || len(r.Notes) != 3 {
		t.Errorf("%+v", r)
	}
	r = entrants(t, v11+"\n\"u-1\",\"active\",\"\",\"true\",\"o-1\",\"student\",\"avell\",\"\",\"Ana\",\"Vell\",\"\",\"S-9\",\"\",\"\",\"\",\"\",\"\",\"\"\nu-2,,,true,o-1,teacher,torbin,,Tom,Orbin,,,,,,,,\n", "username")
	if len(r.Entrants) != 1 || r.Entrants[0].Key != "avell" || len(r.Notes) != 1 || !strings.Contains(r.Notes[0], "role teacher") {
		t.Errorf("%+v", r)
	}
}

// Everything that is wrong comes at once, each with its line.
func TestRosterFaultsComeAtOnce(t *testing.T) {
	_, err := ReadRoster("class.csv", []byte("name,id,time factor,extra attempts\nAna,1,,\n,2,,\nTom,,,\nMia,1,,\nLea,A7,0.5,\nBo,a7,,-1\nKai,9,,\n\"Max,10,,\n"), "")
	var faults *RosterFaults
	if !errors.As(err, &faults) {
		t.Fatal(err)
	}
	var lines []int
	for _, f := range faults.Faults {
		lines = append(lines, f.Line)
	}
	for _, want := range []string{
		"class.csv:3: the name is empty", "class.csv:4: the key (id) is empty", "class.csv:5: the key 1 is that of line 2 too (Ana)", "class.csv:6: time factor 0.5: 1 to 10",
		"class.csv:7: extra attempts -1", "class.csv:7: the key a7 is that of line 6 too", "class.csv:9: the quotes do not match",
	} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q is not said:\n%v", want, err)
		}
	}
	if len(faults.Faults) != 7 {
		t.Errorf("%d faults at %v:\n%v", len(faults.Faults), lines, err)
	}
}

func TestRostersThatCannotBeUsed(t *testing.T) {
	long := "name,id\n"
	for i := range 10_000 {
		long += fmt.Sprintf("Student %d,%d\n", i, i)
	}
	for name, c := range map[string]struct{ text, says string }{
		"empty":            {"", "no heading"},
		"heading only":     {"name,id\n", "no student is named"},
		"ten thousand":     {long, "5002: more than 5000 students"},
		"no heading":       {"Ana,1\nTom,2\n", "no column for the key"},
		"no name":          {"id,seat\n1,2\n", "no column for the name"},
		"two keys":         {"name,Student ID,student_id\nAna,1,2\n", "two columns for the key"},
		"two names":        {"name,Full Name,id\nAna,Ana,1\n", "two columns for the name"},
		"UTF-16":           {"\xff\xfen\x00a\x00", "UTF-16"},
		"Latin-1":          {"name,id\nJos\xe9,1\n", "class.csv:2: a letter that is not UTF-8"},
		"a spreadsheet":    {"PK\x03\x04....", "CSV UTF-8"},
		"control signs":    {"name,id\nAna\x1b[2J,1\n", "cannot be printed"},
		"a comma too many": {"name,id\nVell, Ana,1\n", "is a name with a comma not in quotes?"},
		"no text":          {"name,id\n\x00\x00,1\n", "this is no text"},
	} {
		_, err := ReadRoster("class.csv", []byte(c.text), "")
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %.300v", name, err)
		}
	}
}

// Empty lines above the heading are passed over, and the lines of faults stay those of the file.
func TestARosterBelowEmptyLines(t *testing.T) {
	r, err := ReadRoster("class.csv", []byte("\ufeff\r\n;;\r\nsep=;\r\n\r\nName;Student ID\r\nAna;1\r\n;;\r\n\r\n"), "")
	if err != nil || len(r.Entrants) != 1 || r.Entrants[0].Name != "Ana" || r.Entrants[0].Line != 6 {
		t.Errorf("%+v, %v", r.Entrants, err)
	}
	_, err = ReadRoster("class.csv", []byte("\n;;\nName;Student ID\nAna;1\nTom;1\n"), "")
	if err == nil || !strings.Contains(err.Error(), "class.csv:5: the key 1 is that of line 4 too") {
		t.Errorf("%v", err)
	}
}

// What is read is whole: names and keys that can be printed, no key twice; what is not, says why.
func FuzzRoster(f *testing.F) {
	for _, s := range []string{
		"name,id\nAna,1\n", "\ufeff\"Name\";\"Student ID\"\r\n\"Vell; Ana\";1\r\n", "sep=;\nname;key;time factor\nA;1;1,5\n",
		"sourcedId,enabledUser,givenName,familyName,role\n1,true,A,B,student\n", "name,id\n\"A\"\"B\",1\n", "name\tid\nA\t1\n", "\"", "name,id\n\"A,1",
	} {
		f.Add([]byte(s), "")
	}
	f.Fuzz(func(t *testing.T, data []byte, key string) {
		r, err := ReadRoster("f", data, key)
		if err != nil {
			var faults *RosterFaults
			if !errors.As(err, &faults) || len(faults.Faults) == 0 || err.Error() == "" {
				t.Fatalf("%v", err)
			}
			return
		}
		keys := map[string]bool{}
		for _, e := range r.Entrants {
			k := strings.ToLower(e.Key)
			if e.Name == "" || e.Key == "" || keys[k] || !printable(e.Name) || !printable(e.Key) || !(e.TimeFactor == 0 || e.TimeFactor >= 1) || e.Extra < 0 {
				t.Fatalf("%+v", e)
			}
			keys[k] = true
		}
		if len(r.Entrants) == 0 {
			t.Fatal("nobody, and no fault")
		}
	})
}
