package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// rank is how far right a package stands: an import may only go to a package further right, or stay within its own.
var rank = []string{"cmd", "grader", "exercises", "scenarios", "physiology"}

// bannedImports are not for the core; only an exercises log touches what lies outside.
var bannedImports = []string{
	"bufio", "database/sql", "flag", "log", "log/slog", "net", "net/http", "os", "os/exec", "os/signal", "path/filepath", "plugin", "runtime",
	"syscall", "unsafe", "C", "crypto/rand", "math/rand",
}

// bannedEverywhere has a better successor.
var bannedEverywhere = []string{"math/rand", "io/ioutil", "gopkg.in/yaml.v2", "gopkg.in/yaml.v3", "github.com/pkg/errors"}

// bannedCalls are the clock and everything that draws from the generator nobody handed in: of math/rand/v2 only these may be called.
var (
	bannedTime  = []string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker"}
	allowedRand = []string{"New", "NewChaCha8", "NewPCG", "Rand", "Source", "ChaCha8", "PCG"}
)

// outside are the packages of the core that may touch files, and the one that may know how many cores there are.
var outside = []string{"exercises/filelog", "exercises/sqllog", "exercises/sqllog/servertest", "exercises/logtest", "grader/inorder"}

const root = "../.."

// faultsOf returns what one Go file breaks of the rules on imports and calls. The path is from the root of the module, with slashes.
func faultsOf(name string, file *ast.File) []string {
	var faults []string
	say := func(what string) { faults = append(faults, name+": "+what) }
	from := slices.Index(rank, strings.SplitN(name, "/", 2)[0])
	if from < 0 || !strings.Contains(name, "/") {
		return []string{name + ": no Go file belongs here"}
	}
	dir := path.Dir(name)
	inCore := rank[from] != "cmd" && !slices.Contains(outside, dir)
	called := map[string]string{} // local name → import path
	for _, i := range file.Imports {
		target, _ := strconv.Unquote(i.Path.Value)
		local := strings.TrimSuffix(path.Base(target), "/v2")
		if target == "math/rand/v2" {
			local = "rand"
		}
		if i.Name != nil {
			local = i.Name.Name
		}
		called[local] = target
		inside, ours := strings.CutPrefix(target, "kilopond/")
		switch {
		case local == ".":
			say("imports all names of " + target)
		case ours && slices.Index(rank, strings.SplitN(inside, "/", 2)[0]) < from:
			say("imports " + target + ", which stands further left")
		case dir == "physiology/instrument" && target == "kilopond/physiology/body":
			say("an instrument must not see the body")
		case dir == "physiology/unit" && ours:
			say("quantities stand on nothing of ours")
		case rank[from] == "physiology" && !ours && strings.Contains(target, ".") && !strings.HasPrefix(target, "gonum.org/"):
			say("physiology imports the standard library and gonum only, not " + target)
		case slices.Contains(bannedEverywhere, target), inCore && slices.Contains(bannedImports, target):
			say(target + " is not for this place")
		}
	}
	if !inCore {
		return faults
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch x := n.(type) {
		case *ast.SelectorExpr:
			pkg, ok := x.X.(*ast.Ident)
			if !ok || pkg.Obj != nil { // a local variable of that name
				break
			}
			switch called[pkg.Name] {
			case "time":
				if slices.Contains(bannedTime, x.Sel.Name) {
					say("time." + x.Sel.Name + " is not for the core")
				}
			case "math/rand/v2":
				if !slices.Contains(allowedRand, x.Sel.Name) {
					say("rand." + x.Sel.Name + " draws from a generator that nobody handed in")
				}
			}
		case *ast.FuncDecl:
			if x.Recv == nil && x.Name.Name == "init" {
				say("init runs before anybody asked")
			}
		}
		return true
	})
	return faults
}

func TestImportsGoOneWay(t *testing.T) {
	set := token.NewFileSet()
	n := map[string]int{}
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(set, name, nil, 0)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(strings.TrimPrefix(name, root+string(filepath.Separator)))
		n[strings.SplitN(name, "/", 2)[0]]++
		for _, fault := range faultsOf(name, file) {
			t.Error(fault)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, top := range rank {
		if n[top] < 10 {
			t.Errorf("only %d files of %s were looked at", n[top], top)
		}
	}
}

// Each rule is broken once, and must be found.
func TestBrokenImportsAreFound(t *testing.T) {
	for _, c := range []struct{ path, source, want string }{
		{"main.go", `package main`, "no Go file belongs here"},
		{"tools/x.go", `package tools`, "no Go file belongs here"},
		{"physiology/body/x.go", `package body; import _ "kilopond/scenarios"`, "further left"},
		{"scenarios/x.go", `package scenarios; import _ "kilopond/exercises"`, "further left"},
		{"exercises/x.go", `package exercises; import _ "kilopond/grader"`, "further left"},
		{"grader/x.go", `package grader; import _ "kilopond/cmd/internal/render"`, "further left"},
		{"physiology/instrument/x.go", `package instrument; import _ "kilopond/physiology/body"`, "must not see the body"},
		{"physiology/unit/x.go", `package unit; import _ "kilopond/physiology/protocol"`, "nothing of ours"},
		{"physiology/body/x.go", `package body; import _ "go.yaml.in/yaml/v4"`, "standard library and gonum only"},
		{"scenarios/x.go", `package scenarios; import _ "os"`, "os is not for this place"},
		{"grader/x.go", `package grader; import _ "net/http"`, "net/http is not for this place"},
		{"exercises/x.go", `package exercises; import _ "database/sql"`, "database/sql is not for this place"},
		{"cmd/kilopond/x.go", `package main; import _ "math/rand"`, "math/rand is not for this place"},
		{"grader/x.go", `package grader; import . "fmt"`, "all names of fmt"},
		{"grader/x.go", `package grader; import "time"; var _ = time.Now()`, "time.Now is not for the core"},
		{"grader/x.go", `package grader; import clock "time"; var _ = clock.Now()`, "time.Now is not for the core"},
		{"grader/x.go", `package grader; import "time"; var now = time.Now`, "time.Now is not for the core"},
		{"scenarios/x.go", `package scenarios; import "math/rand/v2"; var _ = rand.IntN(3)`, "rand.IntN draws"},
		{"scenarios/x.go", `package scenarios; import r "math/rand/v2"; var _ = r.Int64N(3)`, "rand.Int64N draws"},
		{"scenarios/x.go", `package scenarios; func init() {}`, "init runs"},
	} {
		file, err := parser.ParseFile(token.NewFileSet(), c.path, c.source, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := faultsOf(c.path, file); len(got) != 1 || !strings.Contains(got[0], c.want) {
			t.Errorf("%s: %s: found %q, want one fault: %s", c.path, c.source, got, c.want)
		}
	}
	for _, c := range []struct{ path, source string }{
		{"exercises/filelog/x.go", `package filelog; import ("os"; "time"); var _, _ = os.Args, time.Now()`},
		{"cmd/kilopond/x.go", `package main; import "time"; var _ = time.Now()`},
		{"scenarios/x.go", `package scenarios; import ("math/rand/v2"; "time"); func f(rand *rand.Rand) (int, time.Duration) { return rand.IntN(3), time.Second }`},
		{"scenarios/x.go", `package scenarios; import "math/rand/v2"; var _ = rand.New(rand.NewPCG(1, 2))`},
		{"scenarios/x.go", `package scenarios; import _ "kilopond/physiology/body"`},
	} {
		file, err := parser.ParseFile(token.NewFileSet(), c.path, c.source, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := faultsOf(c.path, file); len(got) != 0 {
			t.Errorf("%s: %s: found %q, want nothing", c.path, c.source, got)
		}
	}
}

func TestTopLevelOfTheRepository(t *testing.T) {
	allowed := []string{"cmd", "physiology", "scenarios", "grader", "exercises", "testdata", "go.mod", "go.sum", "README.md", "DEVELOPERS.md", "LICENSE", "CHANGELOG.md"}
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, e := range entries {
		seen[e.Name()] = true
		if !strings.HasPrefix(e.Name(), ".") && !slices.Contains(allowed, e.Name()) {
			t.Errorf("%s does not belong at the top level", e.Name())
		}
	}
	for _, name := range allowed {
		if !seen[name] {
			t.Errorf("%s is missing at the top level", name)
		}
	}
}
