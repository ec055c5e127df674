package main

import (
	"diagnose.example/rules"
)

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
