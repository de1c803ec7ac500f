package main

import (
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v4"

	"kilopond/grader"
	"kilopond/physiology/body"
	"kilopond/scenarios"
)

// newCaseArgs are a whole case by flags.
func newCaseArgs(path, wrong string, more ...string) []string {
	return append([]string{"case", "new", path, "--wrong", wrong, "--ages", "20:60", "--sexes", "both", "--about", "About: \"it\".", "--teaches", "To look # twice.",
		"--difficulty", "2", "--greeting", "Hello, 'you'.", "--looks", "Walks in: slowly.", "--names", "Ada Quill, F, binds books / Ben Quill, M, tunes: pianos"}, more...)
}

// Whatever can go wrong with a body can be asked for, and makes a file that can be read, holds to the schema, and is played to the right act of the
// case whose ranges it took.
func TestNewCaseOfEveryMechanism(t *testing.T) {
	var all []string
	ill := reflect.TypeFor[body.Ill]()
	for f := range ill.Fields() {
		key, _, _ := strings.Cut(f.Tag.Get("yaml"), ",")
		all = append(all, key)
	}
	if len(all) < 20 {
		t.Fatalf("only %v", all)
	}
	for _, wrong := range append(all, "nothing") {
		if wrong != "nothing" && !slices.Contains(mechanisms(), wrong) {
			t.Errorf("%s: no case of the library shows it alone", wrong)
			continue
		}
		path := filepath.Join(t.TempDir(), "my-case.yaml")
		d := caseDraft{}
		if err := d.takeWrong(wrong); err != nil {
			t.Fatal(err)
		}
		more := []string{"--act", string(d.model.RightAct)}
		if d.model.RightAct == scenarios.DoNotTest {
			more = append(more, "--question", "ill", "--says", "Hot and cold since Sunday.")
		}
		if out, errs, code := kilopond(t, "", newCaseArgs(path, wrong, more...)...); code != 0 {
			t.Errorf("%s: exit %d: %s%s", wrong, code, out, errs)
			continue
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		one, err := scenarios.DecodeCase(path, data)
		if err != nil {
			t.Errorf("%s: %v", wrong, err)
			continue
		}
		var v any
		if err := yaml.Load(data, &v); err != nil {
			t.Fatal(err)
		}
		raw, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		holds(t, "case", string(raw))
		if one.ID != "my-case" || one.Spoiler != "About: \"it\"." || one.Names[1].Work != "tunes: pianos" || !reflect.DeepEqual(one.Ills, d.illsOrNone()) {
			t.Errorf("%s: %+v is not what was answered", wrong, one)
		}
		study, err := grader.StudyCase(grader.Default(), one, 0, 10)
		if err != nil {
			t.Fatal(err)
		}
		done := 0
		for _, a := range study.Acts {
			if a.What == string(one.RightAct) {
				done = a.People
			}
		}
		if done == 0 && one.RightAct != scenarios.EndTest { // what ends in good order may end at once instead
			t.Errorf("%s: the right act %s never comes out: %v", wrong, one.RightAct, study.Acts)
		}
	}
}

func (d *caseDraft) illsOrNone() []body.Ill {
	if d.wrong == "nothing" {
		return nil
	}
	return d.model.Ills
}

// Whatever is typed and passes for answers makes a file that can be read.
func FuzzNewCase(f *testing.F) {
	f.Add("knee\n\n20:50\nboth\nA knee.\nStop.\n\nHello.\nWalks in.\nAda Quill, F, binds books / Ben Quill, M, tunes pianos\n")
	f.Add("nothing\ndo_not_test\n18:79\nF\n\\\n\"\n5\n- :\n# x\nill\n|\nA, F, b\n")
	f.Add("x\n\xff\n\x00\n")
	f.Fuzz(func(t *testing.T, typed string) {
		d := caseDraft{id: "my-case"}
		if err := d.fill(newAsker(strings.NewReader(typed), io.Discard), func(string) (string, bool) { return "", false }); err != nil {
			return // nothing is written then
		}
		text, err := d.text()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := scenarios.DecodeCase("my-case.yaml", []byte(text)); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
	})
}
