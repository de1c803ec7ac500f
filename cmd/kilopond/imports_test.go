package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// rank is how far right a package stands: an import may only go to a package further right, or stay within its own.
var rank = []string{"cmd", "grader", "exercises", "scenarios", "physiology"}

// bannedImports are not for the core; only filelog touches files.
var bannedImports = []string{"os", "net", "net/http", "database/sql", "log", "log/slog", "math/rand", "os/exec", "syscall", "bufio"}

// bannedCalls are the clock and the global generator.
var bannedCalls = map[string][]string{
	"time": {"Now", "Since", "Sleep", "After", "Tick"},
	"rand": {"Int", "IntN", "Float64", "NormFloat64", "Perm", "Shuffle", "N", "Uint64", "ExpFloat64"},
}

const root = "../.."

// sources calls f for each Go file of the module that is not a test.
func sources(t *testing.T, f func(path string, file *ast.File, set *token.FileSet)) {
	t.Helper()
	set := token.NewFileSet()
	n := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(set, path, nil, 0)
		if err != nil {
			return err
		}
		n++
		f(filepath.ToSlash(strings.TrimPrefix(path, root+string(filepath.Separator))), file, set)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if n < 50 {
		t.Fatalf("only %d files were found", n)
	}
}

func top(path string) int { return slices.Index(rank, strings.SplitN(path, "/", 2)[0]) }

func TestImportsGoOneWay(t *testing.T) {
	sources(t, func(path string, file *ast.File, set *token.FileSet) {
		from := top(path)
		if from < 0 {
			t.Errorf("%s: no Go file belongs here", path)
			return
		}
		for _, i := range file.Imports {
			target := strings.Trim(i.Path.Value, `"`)
			at := set.Position(i.Pos())
			inside, ours := strings.CutPrefix(target, "kilopond/")
			if ours && top(inside) < from {
				t.Errorf("%s: imports %s, which stands further left", at, target)
			}
			if strings.HasPrefix(path, "physiology/instrument/") && strings.HasSuffix(target, "physiology/body") {
				t.Errorf("%s: an instrument must not see the body", at)
			}
			if rank[from] == "physiology" && !ours && strings.Contains(target, ".") && !strings.HasPrefix(target, "gonum.org/") {
				t.Errorf("%s: physiology imports the standard library and gonum only, not %s", at, target)
			}
			if rank[from] != "cmd" && !strings.HasPrefix(path, "exercises/filelog/") && slices.Contains(bannedImports, target) {
				t.Errorf("%s: %s is not for the core", at, target)
			}
			if target == "math/rand" {
				t.Errorf("%s: math/rand/v2 is the one in use", at)
			}
		}
	})
}

func TestNoClockAndNoGlobalDraws(t *testing.T) {
	sources(t, func(path string, file *ast.File, set *token.FileSet) {
		if strings.HasPrefix(path, "cmd/") {
			return
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if pkg, ok := call.X.(*ast.Ident); ok && pkg.Obj == nil && slices.Contains(bannedCalls[pkg.Name], call.Sel.Name) {
				t.Errorf("%s: %s.%s is not for the core", set.Position(call.Pos()), pkg.Name, call.Sel.Name)
			}
			return true
		})
	})
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
