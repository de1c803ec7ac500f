// Package skill holds short drills on one decision: a question drawn by a seed, judged by the same rules as a whole test, and explained at once.
//
// A question is fixed by (skill, seed, level, rulebook). Which level, and when a skill is due again, follow from the answers alone. Never here:
// a rule or tolerance of its own, a file, a clock, the layout of a page.
package skill
