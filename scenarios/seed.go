package scenarios

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"strconv"
)

// A Seed fixes a subject of a case. Seeds are integers from 0 to MaxSeed, so that they are exact as JSON numbers.
type Seed uint64

// MaxSeed is the largest seed a person may type.
const MaxSeed Seed = 1_000_000_000_000_000 - 1

// ParseSeed reads a seed as a person types it.
func ParseSeed(s string) (Seed, error) {
	n, err := strconv.ParseUint(s, 10, 64)
	if err != nil || Seed(n) > MaxSeed {
		return 0, fmt.Errorf("seed %q: a whole number from 0 to %d", s, MaxSeed)
	}
	return Seed(n), nil
}

// maxPackSeed is the largest whole number up to which every one is exact as a JSON number everywhere: 2^53 − 1. Source: [IEEE754].
const maxPackSeed Seed = 1<<53 - 1

// PackSeed returns the seed that 64 random bits stand for in a pack: above MaxSeed, so that nobody can type it and no row of a population has it.
func PackSeed(bits uint64) Seed {
	return MaxSeed + 1 + Seed(bits)%(maxPackSeed-MaxSeed) // the remainder favours no seed by more than 1 in 2000: 2^64 / 8·10^15 = 2304
}

// OfPack reports whether the seed is one that only a pack can hold.
func (s Seed) OfPack() bool { return s > MaxSeed && s <= maxPackSeed }

// Row returns the seed of row i, from 0, of a population that begins with s. Row 0 is s itself; a row does not depend on how many are asked for,
// and each is a seed that can be typed.
func (s Seed) Row(i int) Seed {
	if i == 0 {
		return s
	}
	key := binary.LittleEndian.AppendUint64([]byte("row/"), uint64(s))
	sum := sha256.Sum256(binary.LittleEndian.AppendUint64(key, uint64(i)))
	return Seed(binary.LittleEndian.Uint64(sum[:])) % (MaxSeed + 1) // the remainder favours no seed by more than 1 in 10^4: 2^64 / 10^15 = 18446
}

// Stream returns the generator reserved for label. Draws on one stream never move another.
func (s Seed) Stream(label string) *rand.Rand {
	key := binary.LittleEndian.AppendUint64(nil, uint64(s))
	return rand.New(rand.NewChaCha8(sha256.Sum256(append(key, label...))))
}
