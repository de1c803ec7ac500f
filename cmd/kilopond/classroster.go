package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/exercises/sqllog"
)

// A rosterResult is the machine-readable result of class roster.
type rosterResult struct {
	DB       string      `json:"db"`
	New      int         `json:"new"`
	Changed  int         `json:"changed"`
	Codes    int         `json:"codes_new"`
	Students []memberRow `json:"students"`
	Notes    []string    `json:"notes"`
}

// A memberRow is a student whom the class file knows.
type memberRow struct {
	Key        string   `json:"key"`
	Name       string   `json:"name"`
	Group      string   `json:"group"`
	Codes      []string `json:"codes"`
	TimeFactor float64  `json:"time_factor"` // 0: no limit
	Extra      int      `json:"extra_attempts"`
	Attempts   int      `json:"attempts"` // under the key, the name or a code
}

func newClassRoster() *cobra.Command {
	c := &cobra.Command{
		Use:   "roster [FILE.csv]",
		Short: "Put a class list into the class file, or show the one that is there",
		Long: "Put a class list into the class file: a spreadsheet's CSV, or OneRoster: users.csv, a folder, or the zip. With --key assignment.json the codes of\n" +
			"that assignment too; alone it is the class list. All of it or nothing. Who is there already is taken over as the list says; who is not in the\n" +
			"list stays (class erase takes somebody out). Without either, show who is there. A class file is made when it is not there.\n\n" + render.Caution,
		Args: args(cobra.MaximumNArgs(1), "kilopond class roster class.csv --db "+classFile),
	}
	c.Flags().String("column", "", "heading of the list's column that your gradebook is keyed by (otherwise the likeliest)")
	c.Flags().String("class", "", "with OneRoster's folder or zip: sourcedId of the class")
	addKey(c)
	addDB(c)
	addFormat(c)
	c.RunE = classRoster
	return c
}

func classRoster(c *cobra.Command, given []string) (err error) {
	f, err := format(c)
	if err != nil {
		return err
	}
	roster, codes, err := newMembers(c, given)
	if err != nil {
		return err
	}
	s, err := openClass(c, len(roster.Entrants) > 0)
	if err != nil {
		return err
	}
	defer closing(s, &err)
	r := rosterResult{DB: s.Name(), Students: []memberRow{}, Notes: append([]string{}, roster.Notes...)}
	if len(roster.Entrants) > 0 {
		n, err := s.Enrol(c.Context(), roster.Entrants, codes)
		if err != nil {
			return inWords(err)
		}
		r.New, r.Changed, r.Codes = n.New, n.Changed, n.Codes
	}
	if r.Students, err = memberRows(c, s); err != nil {
		return inWords(err)
	}
	for _, note := range r.Notes {
		c.PrintErrf("note: %s\n", note)
	}
	if len(roster.Entrants) > 0 {
		c.PrintErrf("%s: %d new, %d changed, %s new\n", r.DB, r.New, r.Changed, howManyOf(r.Codes, "code", "codes"))
	}
	return render.Write(c.OutOrStdout(), f, memberTable(r.Students, f == render.CSV), r)
}

// newMembers reads the class list and the instructor's file that are given; without a list, the instructor's file is one.
func newMembers(c *cobra.Command, given []string) (exercises.Roster, []sqllog.CodeOwner, error) {
	var roster exercises.Roster
	column, err := c.Flags().GetString("column")
	must(err)
	class, err := c.Flags().GetString("class")
	must(err)
	if len(given) > 0 {
		if roster, err = readRoster(given[0], column, class, "nothing was changed"); err != nil {
			return roster, nil, err
		}
	}
	key, err := readKey(c)
	if err != nil || key == nil {
		return roster, nil, err
	}
	listed := map[string]bool{}
	for _, e := range roster.Entrants {
		listed[e.Key] = true
	}
	var codes []sqllog.CodeOwner
	for _, s := range key.Students {
		switch {
		case len(given) == 0:
			roster.Entrants = append(roster.Entrants, exercises.Entrant{Name: s.Name, Key: s.Key, Group: s.Group, TimeFactor: s.TimeFactor, Extra: s.Extra})
		case !listed[s.Key]:
			roster.Notes = append(roster.Notes, fmt.Sprintf("%s has a pack and is not in the list; the code %s is left out", s.Key, s.Code))
			continue
		}
		codes = append(codes, sqllog.CodeOwner{Code: s.Code, Key: s.Key, Assignment: key.Terms.Assignment})
	}
	return roster, codes, nil
}

// memberRows counts for each student the attempts that carry the key, the name or a code.
func memberRows(c *cobra.Command, s *sqllog.Store) ([]memberRow, error) {
	members, err := s.Members(c.Context())
	if err != nil {
		return nil, err
	}
	held, err := s.Held(c.Context())
	if err != nil {
		return nil, err
	}
	n := map[string]int{}
	for _, h := range held {
		who := h.Code
		if who == "" {
			who = strings.ToLower(h.Owner)
		}
		n[who]++
	}
	rows := []memberRow{}
	for _, m := range members {
		row := memberRow{Key: m.Key, Name: m.Name, Group: m.Group, Codes: append([]string{}, m.Codes...), TimeFactor: m.TimeFactor, Extra: m.Extra}
		words := map[string]bool{strings.ToLower(m.Key): true, strings.ToLower(m.Name): true}
		for _, code := range m.Codes {
			words[code], words[strings.ToLower(code)] = true, true
		}
		for w := range words { // a sum, so the order does not show
			row.Attempts += n[w]
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// memberTable has the headings that class roster reads again.
func memberTable(rows []memberRow, whole bool) render.Table {
	t := render.Table{Header: []string{"name", "key", "group", "codes", "time factor", "extra attempts", "attempts"}, Right: []bool{false, false, false, false, true, true, true}, Wrap: -1, Spare: []string{"extra attempts"}}
	for _, m := range rows {
		factor := strconv.FormatFloat(m.TimeFactor, 'g', -1, 64)
		if m.TimeFactor == 0 {
			factor = "none"
		}
		name, key, group := m.Name, m.Key, m.Group
		if whole {
			name, key, group = harmless(name), harmless(key), harmless(group)
		}
		t.Rows = append(t.Rows, []string{name, key, group, strings.Join(m.Codes, " "), factor, strconv.Itoa(m.Extra), strconv.Itoa(m.Attempts)})
	}
	return t
}
