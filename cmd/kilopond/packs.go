package main

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"kilopond/exercises"
	"kilopond/exercises/filelog"
	"kilopond/grader"
	"kilopond/scenarios"
)

// addPack adds the flags of drill for somebody who has a pack.
func addPack(c *cobra.Command) {
	c.Flags().String("pack", "", "the next person of this pack; --out FILE, or --out FOLDER, then takes a copy of the finished attempt")
	c.Flags().String("as", "", "with --pack: your code")
	wholeFlag(c.Flags(), "again", 0, "with --pack: a further attempt at the place of this number, with another person")
}

// A packSitting is what a sitting at a pack adds.
type packSitting struct {
	file, code string
	pack       exercises.Pack
	own        []scenarios.Case // that the pack carries
	place      exercises.PackPlace
	done       int    // places handed in before
	copyTo     string // "" for no copy
	copyIn     string // or a folder for it
	base       int    // wall seconds at opened
	opened     time.Time
	now        func() time.Time
}

// wallS is the computer's time since the attempt was begun. It never runs back: within a sitting the clock that cannot be set is asked.
func (s *packSitting) wallS() int {
	if s == nil {
		return 0
	}
	return s.base + max(0, int(s.now().Sub(s.opened)/time.Second))
}

func (s *packSitting) goOn(path string) string {
	if s == nil {
		return "--continue " + quoted(path)
	}
	return "--pack " + quoted(s.file) + " --as " + quoted(s.code)
}

// readPack reads a pack's file.
func readPack(path string) (exercises.Pack, error) {
	data, err := readSmall(path, 8<<20)
	if err != nil {
		return exercises.Pack{}, err
	}
	p, err := exercises.ReadPack(data)
	if err != nil {
		return p, &hinted{fmt.Errorf("%s: %w", path, err), "take the pack again from where your course put it, and do not open it in an editor"}
	}
	return p, nil
}

// ease is how much longer a thought may take under --live than it counts.
func (s *packSitting) ease() float64 {
	switch {
	case s == nil:
		return 1
	case s.pack.TimeFactor == 0:
		return math.Inf(1)
	}
	return s.pack.TimeFactor
}

// ownTime says what a time factor does, "" when it is 1.
func ownTime(factor float64) string {
	switch factor {
	case 0:
		return "no limit for one person; under --live the clock stands while you think"
	case 1:
		return ""
	}
	return fmt.Sprintf("%v times for one person; under --live the clock runs %v times slower while you think", factor, factor)
}

// openPack begins the next attempt of a pack, or goes on with the one that was left.
func openPack(c *cobra.Command, given []string) (*sitting, error) {
	f := c.Flags()
	if len(given) > 0 || f.Changed("seed") || f.Changed("rulebook") || f.Changed("set") || f.Changed("continue") {
		return nil, usage("kilopond drill --pack FILE --as CODE", "--pack: the people, the rules and the attempt are the pack's")
	}
	text := func(name string) string {
		s, err := f.GetString(name)
		must(err)
		return s
	}
	path, as := text("pack"), text("as")
	if path == "" || as == "" {
		return nil, usage("kilopond drill --pack FILE --as CODE; your instructor gives you both", "--pack and --as go together")
	}
	code, err := exercises.ParseCode(as)
	if err != nil {
		return nil, usage("the code stands in what your instructor sent you, such as 7K2M-QX4P", "--as %q: %w", as, err)
	}
	again, err := f.GetInt("again")
	must(err)
	if f.Changed("again") && again < 1 {
		return nil, usage("the number of the place, from 1", "--again %d: no place of that number", again)
	}
	p, err := readPack(path)
	if err != nil {
		return nil, err
	}
	in, err := p.Open(code)
	switch {
	case errors.Is(err, exercises.ErrOtherCode):
		return nil, &hinted{fmt.Errorf("%s: %w", path, err), "take the pack that is marked like the first half of your code, and look at each sign of the code"}
	case errors.Is(err, exercises.ErrEdited):
		return nil, &hinted{fmt.Errorf("%s: %w", path, err), "take the pack again from where your course put it"}
	case err != nil:
		return nil, &hinted{fmt.Errorf("%s: %w", path, err), otherProgram}
	}
	coached, err := f.GetBool("coach")
	must(err)
	if coached && !p.Coach {
		return nil, usage("practise with it: kilopond drill --coach", "--coach: this pack is worked alone")
	}
	if err := inWindow(p, wallClock(c)); err != nil {
		return nil, err
	}
	if err := skillsShown(c, p.Skills); err != nil {
		return nil, err
	}
	s := &packSitting{file: path, code: code, pack: p, opened: wallClock(c), now: func() time.Time { return wallClock(c) }, copyTo: text("out")}
	if s.copyTo != "" {
		if info, err := os.Stat(s.copyTo); err == nil && info.IsDir() {
			s.copyIn, s.copyTo = s.copyTo, ""
		} else if !errors.Is(err, fs.ErrNotExist) {
			return nil, &hinted{fmt.Errorf("%s: exists already; nothing is overwritten", s.copyTo), "give another name to --out"}
		}
	}
	if s.own = in.Own; len(s.own) > 0 {
		if err := s.keepPack(); err != nil {
			return nil, err
		}
	}
	return s.open(c, in.People, again, coached)
}

// otherProgram is what a student does whose program does not know what a pack holds.
const otherProgram = "use the version of the program that your course uses"

// keptPack is the copy of a pack that carries cases: its attempts can be played again where no folder has them.
const keptPack = "pack.json"

// keepPack keeps the pack beside its attempts, sealed as it is.
func (s *packSitting) keepPack() error {
	folder, err := s.folder()
	if err != nil {
		return err
	}
	raw, err := s.pack.Encode()
	if err == nil {
		err = os.MkdirAll(folder, 0o700)
	}
	if err == nil {
		err = replaceFile(filepath.Join(folder, keptPack), raw, 0o600)
	}
	if err != nil {
		return &hinted{fmt.Errorf("the attempt cannot be kept: %w", err), "make the folder " + folder + " one that can be written to"}
	}
	return nil
}

// keptCases are the cases that the pack of an attempt carries, if this machine keeps the pack. What cannot be read is not there.
func keptCases(h exercises.Header) []scenarios.Case {
	if h.Pack == nil {
		return nil
	}
	folder, err := packFolder(exercises.Label(h.Pack.Code), h.Pack.Hash)
	if err != nil {
		return nil
	}
	data, err := readSmall(filepath.Join(folder, keptPack), 8<<20)
	if err != nil {
		return nil
	}
	p, err := exercises.ReadPack(data)
	if err != nil || p.Hash() != h.Pack.Hash {
		return nil
	}
	in, err := p.Open(h.Pack.Code)
	if err != nil {
		return nil
	}
	return in.Own
}

// packFolder is where the attempts of a pack are kept: another for every pack, so that none is ever mixed up.
func packFolder(label, hash string) (string, error) {
	base, err := dataFolder()
	return filepath.Join(base, "packs", label+"-"+hash[:12]), err
}

// inWindow refuses a pack outside its window, and one of another model.
func inWindow(p exercises.Pack, at time.Time) error {
	switch {
	case p.Model != scenarios.Model:
		return &hinted{fmt.Errorf("the pack is made for model %d; this program has %d, whose people differ", p.Model, scenarios.Model), otherProgram}
	case at.Before(p.From):
		return &hinted{fmt.Errorf("the pack opens on %s; this computer says %s", local(p.From), local(at)), "come back then, or set the computer's clock right"}
	case !p.Until.IsZero() && at.After(p.Until) && p.Late == exercises.LateRefuse:
		return &hinted{fmt.Errorf("the pack closed on %s; this computer says %s", local(p.Until), local(at)), "what is handed in already counts: send it; for the rest ask your instructor"}
	}
	return nil
}

// A kept is one attempt of the pack that is on the disk.
type kept struct {
	path         string
	subject, try int
	attempt      *exercises.Attempt
}

// keptName is how attempts of a pack are called.
var keptName = regexp.MustCompile(`^[0-9A-Z]{4}-place-\d+-try-\d+\.jsonl(\.continued-\d+\.jsonl)*$`)

func (s *packSitting) folder() (string, error) { return packFolder(s.pack.Label, s.pack.Hash()) }

// attempts reads what there is, the latest file of each place and try; what cannot be read at all is named and left alone.
func (s *packSitting) attempts(c *cobra.Command) ([]kept, error) {
	folder, err := s.folder()
	if err != nil {
		return nil, err
	}
	files, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, &hinted{fmt.Errorf("%s: %s", folder, plainError(err)), "this folder keeps your attempts: make it readable"}
	}
	var all []kept
	for _, file := range files {
		if !keptName.MatchString(file.Name()) {
			continue
		}
		path := filepath.Join(folder, file.Name())
		data, err := readSmall(path, 64<<20)
		if err != nil {
			return nil, err
		}
		a := exercises.Read(data)
		if len(a.Raw) == 0 || a.Header.Pack == nil || a.Header.Pack.Hash != s.pack.Hash() {
			c.PrintErrf("note: %s: no attempt of this pack that can be read; it is left as it is\n", path)
			continue
		}
		k := kept{path, a.Header.Pack.Subject, a.Header.Pack.Try, a}
		i := slices.IndexFunc(all, func(o kept) bool { return o.subject == k.subject && o.try == k.try })
		if i < 0 {
			all = append(all, k)
		} else { // the names are in order: what was continued later comes later
			all[i] = k
		}
	}
	slices.SortFunc(all, func(a, b kept) int { return (a.subject-b.subject)*1000 + a.try - b.try })
	return all, nil
}

// clockSlack is how far a computer's clock may be put back without a word: it is set right by small steps. Source: [CHOICE-PACK].
const clockSlack = 2 * time.Minute

// open finds the place to work at.
func (s *packSitting) open(c *cobra.Command, sitters [][]exercises.Sitter, again int, coached bool) (*sitting, error) {
	all, err := s.attempts(c)
	if err != nil {
		return nil, err
	}
	tries := make([]int, len(sitters))
	closed := make([]bool, len(sitters))
	var left *kept
	var last time.Time
	for i, k := range all {
		if k.subject > len(tries) || k.try > s.pack.Tries() {
			return nil, &hinted{fmt.Errorf("%s: a place that the pack has not got", k.path), "move the file away; it is none of this pack"}
		}
		tries[k.subject-1] = max(tries[k.subject-1], k.try)
		if k.attempt.Closed() {
			closed[k.subject-1] = true
		} else {
			left = &all[i]
		}
		if at := k.attempt.LastAt(); at.After(last) {
			last = at
		}
	}
	if s.opened.Before(last.Add(-clockSlack)) {
		return nil, &hinted{fmt.Errorf("this computer's clock says %s, but this pack was worked on until %s: the clock was put back", local(s.opened), local(last)),
			"set the clock right and try again; nothing is lost"}
	}
	for _, yes := range closed {
		if yes {
			s.done++
		}
	}
	switch {
	case left != nil && again > 0 && left.subject != again:
		return nil, &hinted{fmt.Errorf("place %d is not handed in yet", left.subject), "go on with it first, without --again"}
	case left != nil:
		return s.resume(c, *left, sitters)
	case again > len(sitters):
		return nil, usage(fmt.Sprintf("the pack has places 1 to %d", len(sitters)), "--again %d: no place of that number", again)
	case again > 0 && tries[again-1] == 0:
		return nil, usage("without --again it comes in its turn", "--again %d: there was no first attempt yet", again)
	case again > 0 && tries[again-1] >= s.pack.Tries():
		return nil, &hinted{fmt.Errorf("place %d: %s allowed, and made", again, howMany(s.pack.Tries(), "attempt")), "send what is handed in"}
	case again > 0:
		return s.begin(c, again, tries[again-1]+1, sitters, coached)
	}
	for i, n := range tries {
		if n == 0 {
			return s.begin(c, i+1, 1, sitters, coached)
		}
	}
	hint := "send what is handed in"
	if i := slices.IndexFunc(tries, func(n int) bool { return n < s.pack.Tries() }); i >= 0 {
		hint += fmt.Sprintf(", or take one place once more, with another person: --again %d", i+1)
	}
	folder, err := s.folder()
	return nil, &hinted{errors.Join(fmt.Errorf("all %s of this pack are handed in; they are kept in %s", howMany(len(sitters), "place"), folder), err), hint}
}

// begin makes the attempt of a place.
func (s *packSitting) begin(c *cobra.Command, subject, try int, sitters [][]exercises.Sitter, coached bool) (*sitting, error) {
	book, err := grader.FromJSON(s.pack.Rulebook)
	if err != nil {
		return nil, &hinted{fmt.Errorf("%s: its rules cannot be used here: %w", s.file, err), otherProgram}
	}
	sc, err := s.sitter(sitters[subject-1][try-1])
	if err != nil {
		return nil, err
	}
	s.place = exercises.PackPlace{
		Hash: s.pack.Hash(), Assignment: s.pack.Assignment, Code: s.code, Subject: subject, Try: try, BegunAt: s.opened.UTC().Truncate(time.Second),
		Report: s.pack.Report, ReportFrom: s.pack.ReportFrom,
	}
	mode := "pack"
	if c.Flags().Changed("live") {
		mode = live
	}
	h := exercises.NewHeader(sc, s.pack.Rulebook, s.pack.RulebookHash, mode, coached)
	h.Pack = &s.place
	folder, err := s.folder()
	if err != nil {
		return nil, err
	}
	path := filepath.Join(folder, fmt.Sprintf("%s-place-%02d-try-%d.jsonl", s.pack.Label, subject, try))
	log, err := filelog.Create(path, h)
	if errors.Is(err, fs.ErrExist) {
		return nil, &hinted{fmt.Errorf("%s: exists and cannot be used", path), "keep it for your instructor: move it to another folder, and tell"}
	}
	if err != nil {
		return nil, &hinted{fmt.Errorf("the attempt cannot be kept: %w", err), "make the folder " + folder + " one that can be written to"}
	}
	s.say(c)
	return &sitting{log: log, session: exercises.Begin(h, sc), book: book, pack: s}, nil
}

// sitter draws the person of a place, if the case is still what it was.
func (s *packSitting) sitter(x exercises.Sitter) (scenarios.Scenario, error) {
	sc, err := caseShelf{s.own}.subjectOf(exercises.Header{Case: x.Case, CaseHash: x.CaseHash, Seed: x.Seed})
	if err != nil {
		return sc, &hinted{fmt.Errorf("%s: the person of this place is not in this program as the pack means it", s.file), otherProgram}
	}
	return sc, nil
}

// resume goes on with an attempt that was left.
func (s *packSitting) resume(c *cobra.Command, k kept, sitters [][]exercises.Sitter) (*sitting, error) {
	x, h := sitters[k.subject-1][k.try-1], k.attempt.Header
	if h.Pack.Code != s.code || h.Case != x.Case || h.CaseHash != x.CaseHash || h.Seed != x.Seed {
		return nil, &hinted{fmt.Errorf("%s: not the person of this place: the file was changed", k.path), "keep it for your instructor: move it to another folder, and tell"}
	}
	sit, err := goOn(c, k.path)
	if err != nil {
		return nil, err
	}
	s.place = *h.Pack
	s.base = max(k.attempt.WallS(), int(s.opened.Sub(s.place.BegunAt)/time.Second))
	sit.pack = s
	s.say(c)
	return sit, nil
}

// say tells where in the pack this is, on the way in.
func (s *packSitting) say(c *cobra.Command) {
	line := fmt.Sprintf("%s: place %d of %d", s.pack.Title, s.place.Subject, s.pack.Subjects)
	if s.pack.Tries() > 1 {
		line += fmt.Sprintf(", attempt %d of %d", s.place.Try, s.pack.Tries())
	}
	if limit := s.pack.Limit(); limit > 0 {
		line += fmt.Sprintf("; %d minutes, until %s", int(limit.Minutes()), s.place.BegunAt.Add(limit).Local().Format("15:04"))
	}
	if !s.pack.Until.IsZero() && s.opened.After(s.pack.Until) {
		line += "; late: the pack closed on " + local(s.pack.Until)
	}
	c.PrintErrln(line)
}
