package body

import "math/rand/v2"

// Heat is a hot room and a body that is dry already: heart rate stands higher for the same work and goes on rising, heat is stored, and late,
// when both have come together, pressure gives way.
//
// Source: [ERGONOMICS1975] 1.4 % for each degree above 21 °C; [ADAMS2014] 3 bpm for each per cent of body mass lost; [GONZALEZ1995],
// [GONZALEZ1997] 5 ± 2 % of mean pressure lost at 4–5 % of body mass and 1 °C, nothing by either alone; [GONZALEZ1999] nothing lying down; the rest
// [CHOICE-MECHANISMS].
type Heat struct {
	Room        Span `json:"room_c" yaml:"room_c"`                           // °C
	Dehydration Span `json:"dehydration_percent" yaml:"dehydration_percent"` // of body mass
}

func (Heat) name() string { return "heat" }

func (h Heat) check() []string {
	return inside(inside(nil, "room_c", h.Room, 21, 42), "dehydration_percent", h.Dehydration, 0, 5)
}

func (h Heat) start(_ Traits, r *rand.Rand) mechanism {
	m := &heat{above: h.Room.draw(r) - 21, dry: h.Dehydration.draw(r)}
	m.falls = heatFall * min(1.25, m.dry/dryFull) * min(1, m.above/heatFull)
	return m
}

type heat struct {
	healthy
	above  float64 // °C above 21
	dry    float64 // per cent
	falls  float64 // part of the pressure that gives way when as much heat is stored as can be
	stored float64 // of what a quarter of an hour of all-out work would store
}

// heatEase is exp(−1/900). Source: [CHOICE-MECHANISMS].
const heatEase = 0.9988895059442793

func (h *heat) after(b *Body) {
	if b.working() {
		h.stored += float64(b.x / 900)
		return
	}
	h.stored = float64(h.stored * heatEase)
}

// heart: half of the published rise is there from the start, the other half comes as heat is stored.
func (h *heat) heart(_ *Body, bpm float64) float64 {
	part := 0.5 + clip(float64(1.5*h.stored), 0, 0.5)
	return bpm + float64(part*(float64(0.014*h.above*bpm)+float64(3*h.dry)))
}

// hotStore is the stored heat of about 1 °C, half an hour of hard work; dryFull the loss of body mass, heatFull the degrees above 21 at which all of
// heatFall of the pressure gives way; still and upright it is heatUpright times that, as the legs no longer send blood back.
// Source: [GONZALEZ1997]; hotStore and heatUpright [CHOICE-MECHANISMS].
const (
	hotStore          = 1.2
	dryFull, heatFull = 4, 14
	heatFall          = 0.05
	heatUpright       = 2
)

func (h *heat) pressure(b *Body, sbp, dbp float64) (float64, float64) {
	if h.stored == 0 || b.last.Posture == Lying {
		return sbp, dbp
	}
	part := float64(h.falls * clip(h.stored/hotStore, 0, 1))
	if b.watts == 0 {
		part = float64(part * heatUpright)
	}
	return sbp - float64(part*sbp), dbp - float64(part*dbp)
}

func (h *heat) effort(_ *Body, rating float64) float64 {
	return rating + float64(float64(0.08*h.above+0.3*h.dry)*min(1, float64(3*h.stored)))
}

// grade: a dry person in a room of 33 °C comes to grade 1 in five or six minutes at half of their reserve.
func (h *heat) grade() int {
	return min(4, int(float64(float64(h.above/10)+float64(h.dry/4))*h.stored/0.3))
}

func (h *heat) symptoms(_ *Body, dst []Symptom) []Symptom {
	g := h.grade()
	if g >= 1 {
		dst = append(dst, Symptom{Overheated, g, Found}, Symptom{Overheated, g, Seen})
	}
	if g >= 3 {
		dst = append(dst, Symptom{Overheated, g, Unasked}, Symptom{Lightheaded, g - 2, Found}, Symptom{Nausea, g - 2, Found})
	}
	return dst
}
