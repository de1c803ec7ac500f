package page

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"kilopond/cmd/internal/picture"
)

// A picture in a file of its own is whole XML, says in words what it shows, and takes nobody's name for markup.
func TestSVGFile(t *testing.T) {
	var b bytes.Buffer
	evil := `</desc><script>alert(1)</script>"&`
	d := picture.Margins{Which: "M", Students: []picture.StudentMargins{{Student: evil, Margins: []float64{1, 2}}}}
	if err := WriteSVG(&b, d); err != nil {
		t.Fatal(err)
	}
	names := map[string]int{}
	said := ""
	r := xml.NewDecoder(&b)
	inside := ""
	for {
		token, err := r.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch x := token.(type) {
		case xml.StartElement:
			names[x.Name.Local]++
			inside = x.Name.Local
			if x.Name.Local == "svg" && x.Name.Space != "http://www.w3.org/2000/svg" {
				t.Errorf("svg is of %q", x.Name.Space)
			}
		case xml.CharData:
			if inside == "desc" {
				said += string(x)
			}
		case xml.EndElement:
			inside = ""
		}
	}
	if names["script"] != 0 || names["title"] != 1 || names["desc"] != 1 || names["path"] < 3 {
		t.Errorf("elements %v", names)
	}
	if !strings.Contains(said, evil+": 2, from 1 to 2") {
		t.Errorf("said: %s", said)
	}
}
