package scenario

import (
	"embed"
	"fmt"
	"path"
	"strings"
	"sync"
)

//go:embed lessons/*.json
var lessons embed.FS

//go:embed scenario.schema.json
var schema []byte

// Schema is the JSON Schema (2020-12) of a scenario file.
func Schema() []byte { return append([]byte(nil), schema...) }

var canned = sync.OnceValue(func() []*Scenario {
	files, err := lessons.ReadDir("lessons")
	if err != nil {
		panic(err) // embedded
	}
	list := make([]*Scenario, 0, len(files))
	for _, f := range files {
		data, err := lessons.ReadFile(path.Join("lessons", f.Name()))
		if err != nil {
			panic(err)
		}
		s, err := Parse(data)
		if err != nil {
			panic(fmt.Sprintf("%s: %v", f.Name(), err)) // a test parses every file
		}
		list = append(list, s)
	}
	return list
})

// All lists the canned lessons in the order to take them in.
func All() []*Scenario { return append([]*Scenario(nil), canned()...) }

// Find gives the canned lesson of that name.
func Find(name string) (*Scenario, error) {
	var names []string
	for _, s := range canned() {
		if s.Name == name {
			return s, nil
		}
		names = append(names, s.Name)
	}
	return nil, fmt.Errorf("no lesson %q: there are %s", clip(name), strings.Join(names, ", "))
}

// Source is the file of a canned lesson, to copy and change.
func Source(name string) ([]byte, error) {
	files, err := lessons.ReadDir("lessons")
	if err != nil {
		return nil, err
	}
	for _, f := range files {
		_, rest, _ := strings.Cut(f.Name(), "-")
		if rest == name+".json" {
			return lessons.ReadFile(path.Join("lessons", f.Name()))
		}
	}
	_, err = Find(name)
	return nil, err
}
