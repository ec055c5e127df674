package main

import (
	"github.com/spf13/pflag"

	"diagnose.example/rules"
)

// prepare returns the settings of a command with the given flags, and the knowledge that they ask for.
func (a *app) prepare(flags *pflag.FlagSet) (*settings, *rules.Set, error) {
	s, err := loadSettings(flags)
	if err != nil {
		return nil, nil, err
	}
	k, err := a.knowledge(s)
	return s, k, err
}

// knowledge returns the built-in knowledge with the extra packs of the settings on top.
func (a *app) knowledge(s *settings) (*rules.Set, error) {
	if len(s.packs) == 0 {
		return rules.Default()
	}
	files, err := packFiles(s.packs)
	if err != nil {
		return nil, err
	}
	return rules.Overlay(files)
}

// packFiles reads pack files.
func packFiles(paths []string) ([]rules.File, error) {
	var files []rules.File
	for _, path := range paths {
		data, err := readFile(path)
		if err != nil {
			return nil, err
		}
		files = append(files, rules.File{Name: path, Data: data})
	}
	return files, nil
}
