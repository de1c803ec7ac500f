package paper

import (
	"strings"
	"unicode"

	"codeberg.org/go-fonts/dejavu/dejavusanscondensed"
	"codeberg.org/go-fonts/dejavu/dejavusanscondensedbold"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/norm"
)

// box stands for what the typeface lacks, so that nothing is lost unseen.
const box = '□'

// ownWay are scripts that letter by letter from left to right come out wrong: they run the other way, or their letters join.
var ownWay = []*unicode.RangeTable{unicode.Arabic, unicode.Hebrew, unicode.Syriac, unicode.Thaana, unicode.Nko, unicode.Mandaic, unicode.Samaritan, unicode.Mongolian}

func typefaces(files ...[]byte) ([]*sfnt.Font, error) {
	var all []*sfnt.Font
	for _, ttf := range files {
		f, err := opentype.Parse(ttf)
		if err != nil {
			return nil, err
		}
		all = append(all, f)
	}
	return all, nil
}

// Unset returns which of the texts paper cannot set as they are written, because a letter is not in its typeface or needs to be set in a way of
// its own. They would stand as boxes.
func Unset(texts ...string) ([]string, error) {
	all, err := typefaces(dejavusanscondensed.TTF, dejavusanscondensedbold.TTF)
	if err != nil {
		return nil, err
	}
	var no []string
	for _, s := range texts {
		for _, f := range all {
			if strings.ContainsRune(settable(f, s), box) {
				no = append(no, s)
				break
			}
		}
	}
	return no, nil
}

// settable is a text as it can be set in a typeface, letters with their accents in one.
func settable(face *sfnt.Font, s string) string {
	var buf sfnt.Buffer
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\u00a0':
			return ' '
		case unicode.IsControl(r):
			return -1
		case r > 0xffff || unicode.In(r, ownWay...) || unicode.In(r, unicode.Mn, unicode.Mc): // a mark that is left alone would stand beside its letter
			return box
		}
		if i, err := face.GlyphIndex(&buf, r); err != nil || i == 0 {
			return box
		}
		return r
	}, norm.NFC.String(s))
}
