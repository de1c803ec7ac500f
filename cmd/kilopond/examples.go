package main

import (
	"strings"

	"github.com/spf13/cobra"
)

// shownLines are command lines as they can be typed, those of a course in their order; each stands as an example in the help of its command. A test
// types them all.
var shownLines = []string{
	"kilopond drill uneventful --seed 7 --out monday.jsonl",
	"kilopond drill --redo monday.jsonl --at 14:00 --out again.jsonl",
	"kilopond drill --continue again.jsonl",
	"kilopond drill uneventful --live --speed 4",
	"kilopond demo uneventful --seed 7",
	"kilopond demo --pause",
	"kilopond skill",
	"kilopond skill pulse --beats list",
	"kilopond skill list",
	"kilopond verify monday.jsonl",
	"kilopond grade monday.jsonl --html monday.html --pdf monday.pdf",

	"kilopond estimate --age-y 40 --sex F --mass-kg 70 --stage 300:112 --stage 450:127",
	"kilopond branch --hr-bpm 92 --rulebook three-band",
	"kilopond formula list",
	"kilopond formula show mets",
	"kilopond formula max_hr max_hr=208-0.7age age_y=40",
	`kilopond formula estimate stages_kgm_min="300:112 450:127" max_hr=220-age age_y=40 mass_kg=70 fit=two_last want=vo2max_ml_kg_min`,

	"kilopond case list --spoil",
	"kilopond case show uneventful --spoil",
	"kilopond case new my-case.yaml",
	"kilopond case check my-case.yaml --people 50",
	"kilopond case preview my-case.yaml --seed 7",
	"kilopond rulebook list",
	"kilopond rulebook show --set steady=lt5",
	"kilopond rulebook new our-rules.yaml",
	"kilopond rulebook check our-rules.yaml",
	"kilopond rulebook diff four-band our-rules.yaml",

	"kilopond assign new --mix graded --roster class.csv --until 2026-12-04 --out week-9",
	"kilopond assign show week-9/packs/pack-7K2M.json --key week-9/assignment.json",
	"kilopond assign retest week-9/assignment.json --decision stop --student 7K2M-QX4P --until 2026-12-11 --out week-9-again",
	"kilopond assign add week-9/assignment.json --roster class-now.csv",
	"kilopond worksheet --roster class.csv --out sheets.pdf --keys keys.pdf",

	"kilopond grade handed-in --record",
	`kilopond grade note handed-in/anna.1.jsonl --mark 4 --because "calm and clear; counted late twice"`,
	"kilopond grade sheet --age-y 40 --sex F --mass-kg 70 --stage 300:112 --stage 450:127 --vo2max-ml-kg-min 32.2",
	"kilopond grade sheet sheets.csv",
	"kilopond board handed-in --settings board.yaml",
	"kilopond class statistics handed-in",
	"kilopond class gradebook handed-in --out marks.csv",
	"kilopond class roster class.csv --db class.db",
	"kilopond class import handed-in --db class.db",
	"kilopond class export --out copy --db class.db",
	"kilopond class backup --out class-backup.db --db class.db",
	"kilopond class erase s01 --yes --db class.db",

	"kilopond population --n 100 --mix students",
	"kilopond trace --profile restx5,150x3,450x3,0x5 --every 60",
	"kilopond trials --n 100 --pulse count15",
	"kilopond trials --n 1000 --by-decade --format table",
	"kilopond fidelity --quick --row A01 --row V01",
	"kilopond agreement pairs.csv",
	"kilopond schema case",
	"kilopond version",
}

// addExamples puts each line into the help of its command.
func addExamples(root *cobra.Command) {
	for _, line := range shownLines {
		c, _, err := root.Find(strings.Fields(line)[1:])
		must(err)
		c.Example += line + "\n"
	}
}
