package scenarios

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"
)

//go:embed library/*.yaml
var library embed.FS

// ErrNoCase says that the library has no case of that name.
var ErrNoCase = errors.New("no such case")

// IDs returns the names of the cases in the library, in alphabetical order.
func IDs() []string {
	files, err := library.ReadDir("library")
	if err != nil {
		panic("scenarios: " + err.Error()) // embedded: cannot be missing
	}
	var ids []string
	for _, f := range files {
		ids = append(ids, strings.TrimSuffix(f.Name(), ".yaml"))
	}
	return ids
}

// Library returns every case that ships.
func Library() ([]Case, error) {
	var all []Case
	for _, id := range IDs() {
		c, err := Load(id)
		if err != nil {
			return nil, err
		}
		all = append(all, c)
	}
	return all, nil
}

// Load reads one case of the library and no other. It returns ErrNoCase, with the nearest name, for one that is not there.
func Load(id string) (Case, error) {
	if !slices.Contains(IDs(), id) {
		if near := Nearest(id, IDs()); near != "" {
			return Case{}, fmt.Errorf("%w: %q; did you mean %s?", ErrNoCase, id, near)
		}
		return Case{}, fmt.Errorf("%w: %q", ErrNoCase, id)
	}
	data, err := library.ReadFile(path.Join("library", id+".yaml"))
	if err != nil {
		return Case{}, err
	}
	return DecodeCase(id+".yaml", data)
}

// DecodeCase reads a case. The error is Faults: everything that is wrong, each with its place.
func DecodeCase(file string, data []byte) (Case, error) {
	var c Case
	err := DecodeStrict(file, data, &c, func(d *Decoded) { c.check(d) })
	if err != nil {
		return Case{}, err
	}
	c.Hash, c.File = sum(data), string(data)
	return c, nil
}

func sum(data []byte) string {
	s := sha256.Sum256(data)
	return hex.EncodeToString(s[:])
}

// Shipped reports whether a case of the library has this id, and whether it is this very one, byte by byte.
func Shipped(id, hash string) (known, same bool) {
	data, err := library.ReadFile(path.Join("library", id+".yaml"))
	return err == nil, err == nil && sum(data) == hash
}
