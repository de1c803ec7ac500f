package exercises

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
)

// ReadOneRoster reads the students of a class from the files of OneRoster 1.1 or 1.2, as they lie in a folder or in the zip in which they come:
// users.csv, and where they are there roles.csv (of 1.2, which keeps roles apart) and enrollments.csv. class is the sourcedId of the class; "" will do
// when there is one class, or no enrollments. The error is *RosterFaults.
//
// Source: [ONEROSTER12].
func ReadOneRoster(name string, files fs.FS, class, keyColumn string) (Roster, error) {
	faults := &RosterFaults{File: name}
	read := func(file string) []byte {
		data, err := fs.ReadFile(files, file)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			faults.add(0, "%s cannot be read: %v", file, err)
		}
		return data
	}
	users, roles, enrolled, classes := read("users.csv"), read("roles.csv"), read("enrollments.csv"), read("classes.csv")
	if users == nil && len(faults.Faults) == 0 {
		faults.add(0, "there is no users.csv in it")
	}
	if len(faults.Faults) > 0 {
		return Roster{}, faults
	}
	students, all, err := studentsOf(name, roles, enrolled, classes, class)
	if err != nil {
		return Roster{}, err
	}
	r, err := readRoster(name+"/users.csv", users, keyColumn, func(sourcedID string) bool { return all || students[sourcedID] })
	if err == nil && roles != nil {
		r.Notes = slices.DeleteFunc(r.Notes, func(n string) bool { return n == rolesElsewhere })
	}
	return r, err
}

// studentsOf are the sourcedIds of those who are students by roles.csv and of the class by enrollments.csv; all when neither says anything.
func studentsOf(name string, roles, enrolled, classes []byte, class string) (students map[string]bool, all bool, err error) {
	all = true
	if roles != nil {
		rows, err := rowsOf(name+"/roles.csv", roles, "usersourcedid", "role")
		if err != nil {
			return nil, false, err
		}
		students, all = map[string]bool{}, false
		for _, r := range rows {
			if strings.EqualFold(r["role"], "student") {
				students[r["usersourcedid"]] = true
			}
		}
	}
	if enrolled == nil {
		if class != "" {
			return nil, false, &RosterFaults{name, []RosterFault{{0, "there is no enrollments.csv that could say who is in class " + cut(class)}}}
		}
		return students, all, nil
	}
	rows, err := rowsOf(name+"/enrollments.csv", enrolled, "classsourcedid", "usersourcedid", "role")
	if err != nil {
		return nil, false, err
	}
	var ids []string
	for _, r := range rows {
		if !slices.Contains(ids, r["classsourcedid"]) {
			ids = append(ids, r["classsourcedid"])
		}
	}
	slices.Sort(ids)
	switch {
	case class == "" && len(ids) == 1:
		class = ids[0]
	case class == "" && len(ids) > 1:
		return nil, false, &RosterFaults{name, []RosterFault{{0, "several classes; say which: " + classNames(classes, ids)}}}
	case class != "" && !slices.Contains(ids, class):
		return nil, false, &RosterFaults{name, []RosterFault{{0, "nobody is in class " + cut(class) + "; there are: " + classNames(classes, ids)}}}
	}
	in := map[string]bool{}
	for _, r := range rows {
		if r["classsourcedid"] == class && strings.EqualFold(r["role"], "student") && (all || students[r["usersourcedid"]]) {
			in[r["usersourcedid"]] = true
		}
	}
	return in, false, nil
}

// classNames lists classes for a message, with their titles where they are known.
func classNames(classes []byte, ids []string) string {
	title := map[string]string{}
	if rows, err := rowsOf("classes.csv", classes, "sourcedid", "title"); classes != nil && err == nil {
		for _, r := range rows {
			title[r["sourcedid"]] = r["title"]
		}
	}
	const most = 12
	var all []string
	for i, id := range ids {
		if i == most {
			all = append(all, fmt.Sprintf("… and %d more", len(ids)-most))
			break
		}
		if t := title[id]; t != "" {
			all = append(all, cut(id)+" ("+cut(t)+")")
		} else {
			all = append(all, cut(id))
		}
	}
	return strings.Join(all, ", ")
}

// mostLinks is the most rows of roles.csv or enrollments.csv. Source: [CHOICE-PACK].
const mostLinks = 200_000

// rowsOf reads the rows of a OneRoster file that are not to be deleted, by folded heading; the columns named must be there.
func rowsOf(file string, data []byte, columns ...string) ([]map[string]string, error) {
	faults := &RosterFaults{File: file}
	text, ok := plainText(data, faults)
	if !ok {
		return nil, faults
	}
	t := &table{faults: faults, in: csv.NewReader(strings.NewReader(text))}
	t.in.FieldsPerRecord = -1
	head, _, err := t.next()
	if err != nil {
		faults.add(0, "the file has no heading line")
		return nil, faults
	}
	where := map[string]int{}
	for i, h := range head {
		where[folded(h)] = i
	}
	for _, c := range columns {
		if _, ok := where[c]; !ok {
			faults.add(1, "no column %s; there are: %s", c, shown(head))
		}
	}
	if len(faults.Faults) > 0 {
		return nil, faults
	}
	columns = append(columns, "status")
	var all []map[string]string
	for {
		row, line, err := t.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			continue
		}
		if len(all) == mostLinks {
			faults.add(line, "more than %d lines", mostLinks)
			break
		}
		r := map[string]string{}
		for _, c := range columns {
			if i, ok := where[c]; ok && i < len(row) {
				r[c] = row[i]
			}
		}
		if !strings.EqualFold(r["status"], "tobedeleted") {
			all = append(all, r)
		}
	}
	if len(faults.Faults) > 0 {
		return nil, faults
	}
	return all, nil
}
