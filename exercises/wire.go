package exercises

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

func (Prepared) wireName() string         { return "prepared/1" }
func (Said) wireName() string             { return "said/1" }
func (Noticed) wireName() string          { return "noticed/1" }
func (Measured) wireName() string         { return "measured/1" }
func (PulseFelt) wireName() string        { return "pulse_felt/1" }
func (BeatsTimed) wireName() string       { return "beats_timed/1" }
func (CuffFell) wireName() string         { return "cuff_fell/1" }
func (ExertionGiven) wireName() string    { return "exertion_given/1" }
func (Seated) wireName() string           { return "seated/1" }
func (Decided) wireName() string          { return "decided/1" }
func (MetronomeSet) wireName() string     { return "metronome_set/1" }
func (ResistanceSet) wireName() string    { return "resistance_set/1" }
func (PedallingStarted) wireName() string { return "pedalling_started/1" }
func (PedallingStopped) wireName() string { return "pedalling_stopped/1" }
func (StageStarted) wireName() string     { return "stage_started/1" }
func (Extended) wireName() string         { return "extended/1" }
func (Coached) wireName() string          { return "coached/1" }
func (TestEnded) wireName() string        { return "test_ended/1" }
func (HelperSent) wireName() string       { return "helper_sent/1" }
func (HelperReported) wireName() string   { return "helper_reported/1" }
func (MonitorShown) wireName() string     { return "monitor_shown/1" }
func (Called) wireName() string           { return "called/1" }
func (Left) wireName() string             { return "left/1" }
func (Released) wireName() string         { return "released/1" }
func (Written) wireName() string          { return "written/1" }
func (Struck) wireName() string           { return "struck/1" }
func (HandedIn) wireName() string         { return "handed_in/1" }

// decoders reads each kind of fact. The names are for ever; a changed fact gets a new number.
var decoders = map[string]func([]byte) (Fact, error){
	"prepared/1":          decodeFact[Prepared],
	"said/1":              decodeFact[Said],
	"noticed/1":           decodeFact[Noticed],
	"measured/1":          decodeFact[Measured],
	"pulse_felt/1":        decodeFact[PulseFelt],
	"beats_timed/1":       decodeFact[BeatsTimed],
	"cuff_fell/1":         decodeFact[CuffFell],
	"exertion_given/1":    decodeFact[ExertionGiven],
	"seated/1":            decodeFact[Seated],
	"decided/1":           decodeFact[Decided],
	"metronome_set/1":     decodeFact[MetronomeSet],
	"resistance_set/1":    decodeFact[ResistanceSet],
	"pedalling_started/1": decodeFact[PedallingStarted],
	"pedalling_stopped/1": decodeFact[PedallingStopped],
	"stage_started/1":     decodeFact[StageStarted],
	"extended/1":          decodeFact[Extended],
	"coached/1":           decodeFact[Coached],
	"test_ended/1":        decodeFact[TestEnded],
	"helper_sent/1":       decodeFact[HelperSent],
	"helper_reported/1":   decodeFact[HelperReported],
	"monitor_shown/1":     decodeFact[MonitorShown],
	"called/1":            decodeFact[Called],
	"left/1":              decodeFact[Left],
	"released/1":          decodeFact[Released],
	"written/1":           decodeFact[Written],
	"struck/1":            decodeFact[Struck],
	"handed_in/1":         decodeFact[HandedIn],
}

func decodeFact[F Fact](raw []byte) (Fact, error) {
	var f F
	if err := strict(raw, &f); err != nil {
		return nil, err
	}
	return f, nil
}

// strict decodes one JSON value and nothing after it; unknown fields are errors.
func strict(raw []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return jsonWords(err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return errors.New("something follows the value")
	}
	return nil
}

// jsonWords puts what the decoder says into words for people.
func jsonWords(err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch name, unknown := strings.CutPrefix(err.Error(), "json: unknown field "); {
	case errors.Is(err, io.EOF):
		return errors.New("the line is blank")
	case errors.As(err, &syntax), errors.Is(err, io.ErrUnexpectedEOF):
		return errors.New("it is no JSON, or only a part of it")
	case errors.As(err, &kind) && kind.Field != "":
		return fmt.Errorf("%s: %s does not belong there", kind.Field, kindWord(kind.Value))
	case errors.As(err, &kind):
		return fmt.Errorf("%s does not belong there", kindWord(kind.Value))
	case unknown:
		return fmt.Errorf("it has %s, which does not belong there", name)
	}
	return err
}

// kindWord is a kind of JSON with its article.
func kindWord(kind string) string {
	switch kind {
	case "object", "array":
		return "an " + kind
	case "bool":
		return "true or false"
	}
	return "a " + kind
}

type wireEvent struct {
	Name string          `json:"e"`
	AtS  int             `json:"at_s"`
	Fact json.RawMessage `json:"f"`
}

type wireLine struct {
	Prev    string      `json:"prev"`
	AtS     int         `json:"at_s"`
	WallS   int         `json:"wall_s,omitempty"`
	Command Command     `json:"cmd"`
	Events  []wireEvent `json:"events"`
}

// MarshalJSON writes the event under its wire name.
func (e Event) MarshalJSON() ([]byte, error) {
	raw, err := json.Marshal(e.Fact)
	if err != nil {
		return nil, err
	}
	return json.Marshal(wireEvent{e.Fact.wireName(), e.AtS, raw})
}

// UnmarshalJSON reads an event; a name that is not known is an error.
func (e *Event) UnmarshalJSON(raw []byte) error {
	var w wireEvent
	if err := strict(raw, &w); err != nil {
		return err
	}
	return e.from(w)
}

func (e *Event) from(w wireEvent) error {
	decode, ok := decoders[w.Name]
	if !ok {
		return fmt.Errorf("event %q: not a kind that this program knows", w.Name)
	}
	f, err := decode(w.Fact)
	if err != nil {
		return fmt.Errorf("event %s: %w", w.Name, err)
	}
	*e = Event{AtS: w.AtS, Fact: f}
	return nil
}

// Sum is the SHA-256 of a raw line without its newline, in hex: the next line's Prev.
func Sum(raw []byte) string {
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:])
}

// EncodeHeader writes the first line, without a newline.
func EncodeHeader(h Header) ([]byte, error) { return json.Marshal(h) }

// DecodeHeader reads the first line.
func DecodeHeader(raw []byte) (Header, error) {
	var h Header
	if err := strict(raw, &h); err != nil {
		return Header{}, fmt.Errorf("not the first line of an attempt: %w", err)
	}
	if h.Format != Format {
		return Header{}, fmt.Errorf("not the first line of an attempt: format %q, want %q", h.Format, Format)
	}
	if err := h.check(); err != nil {
		return Header{}, fmt.Errorf("not the first line of an attempt: %w", err)
	}
	return h, nil
}

// EncodeLine writes a line, without a newline. Its parts are put together by hand: each is then written once, and the bytes are those of wireLine.
func EncodeLine(l Line) ([]byte, error) {
	out := make([]byte, 0, 256)
	part := func(before string, v any) error {
		raw, err := json.Marshal(v)
		out = append(append(out, before...), raw...)
		return err
	}
	err := part(`{"prev":`, l.Prev)
	out = strconv.AppendInt(append(out, `,"at_s":`...), int64(l.AtS), 10)
	if l.WallS != 0 {
		out = strconv.AppendInt(append(out, `,"wall_s":`...), int64(l.WallS), 10)
	}
	err = errors.Join(err, part(`,"cmd":`, l.Command))
	out = append(out, beforeEvents...)
	for i, e := range l.Events {
		if i > 0 {
			out = append(out, ',')
		}
		out = append(append(out, `{"e":"`...), e.Fact.wireName()...)
		out = strconv.AppendInt(append(out, `","at_s":`...), int64(e.AtS), 10)
		err = errors.Join(err, part(`,"f":`, e.Fact))
		out = append(out, '}')
	}
	if err != nil {
		return nil, err
	}
	return append(out, ']', '}'), nil
}

// DecodeLine reads a line.
func DecodeLine(raw []byte) (Line, error) {
	var w wireLine
	if err := strict(raw, &w); err != nil {
		return Line{}, err
	}
	l := Line{Prev: w.Prev, AtS: w.AtS, WallS: w.WallS, Command: w.Command, Events: make([]Event, len(w.Events))}
	for i, x := range w.Events {
		if err := l.Events[i].from(x); err != nil {
			return Line{}, err
		}
	}
	return l, nil
}
