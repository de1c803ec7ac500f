package protocol

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Each function that the package's table of steps names is one of this package, or of unit.
func TestTableOfSteps(t *testing.T) {
	known := map[string]bool{}
	for dir, prefix := range map[string]string{".": "", "../unit": "unit."} {
		files, err := filepath.Glob(dir + "/*.go")
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			for _, d := range f.Decls {
				fn, ok := d.(*ast.FuncDecl)
				if !ok {
					continue
				}
				name := fn.Name.Name
				if fn.Recv != nil {
					if of, ok := fn.Recv.List[0].Type.(*ast.Ident); ok {
						name = of.Name + "." + name
					}
				}
				known[prefix+name] = true
			}
		}
	}
	text, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	steps := 0
	for _, m := range regexp.MustCompile(`(?m)^//\t.*?  +([A-Za-z0-9., ]+?)  +\[`).FindAllStringSubmatch(string(text), -1) {
		steps++
		for _, name := range strings.Split(m[1], ", ") {
			if !known[name] {
				t.Errorf("doc.go names %s, and there is no such function", name)
			}
		}
	}
	if steps < 10 {
		t.Errorf("%d steps were read from doc.go", steps)
	}
}
