package exercises

import (
	"errors"
	"strings"
	"testing"
	"testing/fstest"
)

// The headings are those of OneRoster 1.2. Source: [ONEROSTER12].
func school(more map[string]string) fstest.MapFS {
	files := fstest.MapFS{
		"users.csv": {Data: []byte("sourcedId,status,dateLastModified,enabledUser,username,userIds,givenName,familyName,middleName,identifier,email,sms,phone,agentSourcedIds,grades,password,userMasterIdentifier,preferredGivenName,preferredMiddleName,preferredFamilyName,primaryOrgSourcedId,pronouns\n" +
			"u-1,,,true,avell,,Ana,Vell,,,,,,,,,,,,,,\nu-2,,,true,torbin,,Tom,Orbin,,,,,,,,,,,,,,\nu-3,,,true,msorrel,,Mia,Sorrel,,,,,,,,,,,,,,\nu-4,,,true,jpike,,Jon,Pike,,,,,,,,,,,,,,\n")},
		"roles.csv":       {Data: []byte("sourcedId,status,dateLastModified,userSourcedId,roleType,role,beginDate,endDate,orgSourcedId,userProfileSourcedId\nr-1,,,u-1,primary,student,,,o,\nr-2,,,u-2,primary,student,,,o,\nr-3,,,u-3,primary,student,,,o,\nr-4,,,u-4,primary,teacher,,,o,\n")},
		"enrollments.csv": {Data: []byte("sourcedId,status,dateLastModified,classSourcedId,schoolSourcedId,userSourcedId,role,primary,beginDate,endDate\ne-1,,,c-1,o,u-1,student,,,\ne-2,,,c-1,o,u-2,student,,,\ne-3,,,c-2,o,u-3,student,,,\ne-4,,,c-1,o,u-4,teacher,,,\ne-5,tobedeleted,,c-1,o,u-3,student,,,\n")},
		"classes.csv":     {Data: []byte("sourcedId,status,dateLastModified,title,grades,courseSourcedId,classCode,classType,location,schoolSourcedId,termSourcedIds,subjects,subjectCodes,periods\nc-1,,,Section A,,k,,scheduled,,o,t,,,\nc-2,,,Section B,,k,,scheduled,,o,t,,,\n")},
	}
	for name, text := range more {
		if text == "" {
			delete(files, name)
		} else {
			files[name] = &fstest.MapFile{Data: []byte(text)}
		}
	}
	return files
}

func names(r Roster) string {
	var all []string
	for _, e := range r.Entrants {
		all = append(all, e.Name+"/"+e.Key)
	}
	return strings.Join(all, " ")
}

func TestOneRosterWithRolesAndClasses(t *testing.T) {
	for _, c := range []struct{ class, key, want string }{
		{"c-1", "", "Ana Vell/u-1 Tom Orbin/u-2"}, {"c-2", "", "Mia Sorrel/u-3"}, {"c-1", "username", "Ana Vell/avell Tom Orbin/torbin"},
	} {
		r, err := ReadOneRoster("export.zip", school(nil), c.class, c.key)
		if err != nil || names(r) != c.want {
			t.Errorf("%s: %s, %v", c.class, names(r), err)
		}
	}
	r, err := ReadOneRoster("export.zip", school(map[string]string{"enrollments.csv": ""}), "", "")
	if err != nil || names(r) != "Ana Vell/u-1 Tom Orbin/u-2 Mia Sorrel/u-3" || len(r.Notes) != 1 {
		t.Errorf("%s, %v, %v", names(r), r.Notes, err)
	}
	for says, c := range map[string]struct {
		class string
		more  map[string]string
	}{
		"several classes; say which: c-1 (Section A), c-2 (Section B)": {"", nil},
		"nobody is in class c-9; there are: c-1":                       {"c-9", nil},
		"there is no users.csv":                                        {"c-1", map[string]string{"users.csv": ""}},
		"there is no enrollments.csv":                                  {"c-1", map[string]string{"enrollments.csv": ""}},
		"export.zip/roles.csv:1: no column role;":                      {"c-1", map[string]string{"roles.csv": "userSourcedId\nu-1\n"}},
		"not the headings of OneRoster's users.csv":                    {"c-1", map[string]string{"users.csv": "name,id\nAna,1\n"}},
	} {
		if _, err := ReadOneRoster("export.zip", school(c.more), c.class, ""); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v", says, err)
		}
	}
}

// Whatever stands in the four files: who is read has a name and a key that can be printed, no key twice; what is not read says why.
func FuzzOneRoster(f *testing.F) {
	usual := school(nil)
	part := func(files fstest.MapFS, name string) []byte {
		if files[name] == nil {
			return nil
		}
		return files[name].Data
	}
	for _, more := range []map[string]string{nil, {"enrollments.csv": ""}, {"roles.csv": "", "enrollments.csv": ""}, {"users.csv": "\ufeffsourcedId;enabledUser;givenName;familyName;role\r\n1;true;\"A;\";B;student\r\n"}} {
		files := school(more)
		f.Add(part(files, "users.csv"), part(files, "roles.csv"), part(files, "enrollments.csv"), part(files, "classes.csv"), "c-1", "")
	}
	f.Add(part(usual, "users.csv"), part(usual, "roles.csv"), []byte("classSourcedId,userSourcedId,role\n\"c-1,u-1,student\n"), []byte{}, "", "username")
	f.Fuzz(func(t *testing.T, users, roles, enrolled, classes []byte, class, key string) {
		files := fstest.MapFS{}
		for name, data := range map[string][]byte{"users.csv": users, "roles.csv": roles, "enrollments.csv": enrolled, "classes.csv": classes} {
			if len(data) > 0 {
				files[name] = &fstest.MapFile{Data: data}
			}
		}
		r, err := ReadOneRoster("f", files, class, key)
		if err != nil {
			var faults *RosterFaults
			if !errors.As(err, &faults) || len(faults.Faults) == 0 || err.Error() == "" {
				t.Fatalf("%v", err)
			}
			return
		}
		if len(r.Entrants) == 0 {
			t.Fatal("nobody, and no fault")
		}
		keys := map[string]bool{}
		for _, e := range r.Entrants {
			k := strings.ToLower(e.Key)
			if e.Name == "" || e.Key == "" || keys[k] || !printable(e.Name) || !printable(e.Key) {
				t.Fatalf("%+v", e)
			}
			keys[k] = true
		}
	})
}
