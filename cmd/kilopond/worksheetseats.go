package main

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"time"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/grader/inorder"
	"kilopond/scenarios"
)

// A seat is one sheet's person and code.
type seat struct {
	code string
	one  scenarios.Case
	seed scenarios.Seed
}

// worksheetSeats draws n people from the draft of packs: each pack's people are dealt out to as many students, so that every ten sheets are as
// balanced as one pack. Everything follows from the seed. People of paper are in the domain of packs: no --seed brings one at the prompt.
func worksheetSeats(ctx context.Context, plan exercises.Plan, book grader.Rulebook, s scenarios.Seed, n int) ([]seat, error) {
	each := len(plan.Cases)
	if plan.Mix != "" {
		if each = plan.Mix.Size(); n < each && plan.Mix != scenarios.Graded {
			each = n
		}
		plan.Subjects = each
	}
	plan.Rules = book.Rules
	plan.Terms = exercises.Terms{
		Assignment: "new", Title: "worksheets", Model: scenarios.Model, RulebookHash: book.Hash(), Rulebook: book.JSON(), Attempts: 1,
		From: time.Unix(0, 0), Report: exercises.ReportHeld, Late: exercises.LateAccept,
	}
	packs := make([]exercises.Entrant, (n+each-1)/each)
	for i := range packs {
		packs[i] = exercises.Entrant{Name: fmt.Sprint(i), Key: fmt.Sprint(i), TimeFactor: 1}
	}
	secret := sha256.Sum256(binary.LittleEndian.AppendUint64([]byte("worksheet/"), uint64(s)))
	draft, err := exercises.NewDraft(plan, packs, secret, time.Unix(0, 0))
	if err != nil {
		return nil, usage("kilopond worksheet --help lists what can be asked for", "%w", err)
	}
	byID := map[string]scenarios.Case{}
	for _, c := range plan.Cases {
		byID[c.ID] = c
	}
	codes := rand.New(rand.NewChaCha8(sha256.Sum256(append(secret[:], "/codes"...))))
	taken := map[string]bool{}
	var seats []seat
	err = inorder.Each(ctx, draft.Len(), draft.Student, func(_ int, m exercises.Made) error {
		for _, p := range m.Student.Subjects {
			if len(seats) == n {
				return nil
			}
			code := exercises.Label(exercises.CodeOf(codes.Uint64()))
			for taken[code] {
				code = exercises.Label(exercises.CodeOf(codes.Uint64()))
			}
			taken[code] = true
			seats = append(seats, seat{code, byID[p.Tries[0].Case], p.Tries[0].Seed})
		}
		return nil
	})
	return seats, err
}
