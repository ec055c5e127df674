package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"
	"github.com/spf13/viper"
	"go.yaml.in/yaml/v3"

	"diagnose.example/report"
	"diagnose.example/symptoms"
)

// envPrefix starts the name of every environment variable of ours: DIAGNOSE_WIDTH for width.
const envPrefix = "DIAGNOSE"

// settings are the values in force after flag, environment, configuration file and default, the first that is given.
type settings struct {
	packs   []string
	colour  string
	width   int // 0: as the terminal tells
	format  string
	top     int
	details bool
	units   []symptoms.Unit
	prices  string // file; empty for the invented ones
	paper   report.Paper
}

// setting is one thing that can be configured.
type setting struct {
	key      string
	fallback any
	values   string // what may be written, for texts
	about    string
	// set checks a value and puts it into s.
	set func(s *settings, value any) error
}

// settingTable lists all settings in the order in which they are documented. Names of settings, of flags and, after
// DIAGNOSE_ and in capitals, of environment variables are the same.
func settingTable() []setting {
	return []setting{
		{"pack", []string(nil), "files", "knowledge packs to read besides the built-in ones",
			func(s *settings, v any) error { return setPacks(s, v) }},
		{"colour", "auto", "auto, always or never", "colour on the screen",
			func(s *settings, v any) error { return setWord(&s.colour, v, "auto", "always", "never") }},
		{"width", 0, "a number of columns, or 0", "width of the text; 0 is as wide as the terminal",
			func(s *settings, v any) error { return setWidth(s, v) }},
		{"format", "text", "text, json, jsonl or markdown", "what triage writes",
			func(s *settings, v any) error { return setWord(&s.format, v, "text", "json", "jsonl", "markdown") }},
		{"top", 5, "a number from 1", "how many causes triage shows",
			func(s *settings, v any) error { return setTop(s, v) }},
		{"details", false, "true or false", "everything triage knows, not only the first screen",
			func(s *settings, v any) error { return setDetails(s, v) }},
		{"units", []string(nil), "names of units, such as in, psi", "units in which numbers are asked for and limits shown",
			func(s *settings, v any) error { return setUnits(s, v) }},
		{"prices", "", "a file", "the shop's prices, for quote",
			func(s *settings, v any) error { s.prices = fmt.Sprint(v); return nil }},
		{"paper", "a4", "a4 or letter", "size of printed pages",
			func(s *settings, v any) error { return setPaper(s, v) }},
	}
}

func settingKeys() []string {
	var keys []string
	for _, s := range settingTable() {
		keys = append(keys, s.key)
	}
	return keys
}

func setPacks(s *settings, value any) error {
	switch v := value.(type) {
	case string: // the environment: a list as in PATH
		s.packs = filepath.SplitList(v)
	case []string:
		s.packs = v
	case []any:
		for _, item := range v {
			s.packs = append(s.packs, fmt.Sprint(item))
		}
	default:
		return errors.New("write a file name or a list of them")
	}
	return nil
}

func setWord(to *string, value any, allowed ...string) error {
	*to = fmt.Sprint(value)
	if !slices.Contains(allowed, *to) {
		return fmt.Errorf("write %s or %s", strings.Join(allowed[:len(allowed)-1], ", "), allowed[len(allowed)-1])
	}
	return nil
}

func setWidth(s *settings, value any) (err error) {
	s.width, err = strconv.Atoi(fmt.Sprint(value))
	if err != nil || s.width != 0 && s.width < minWidth {
		return fmt.Errorf("write a number of columns from %d, or 0 for the terminal's own", minWidth)
	}
	return nil
}

func setTop(s *settings, value any) (err error) {
	s.top, err = strconv.Atoi(fmt.Sprint(value))
	if err != nil || s.top < 1 {
		return errors.New("write a number from 1")
	}
	return nil
}

func setDetails(s *settings, value any) (err error) {
	s.details, err = strconv.ParseBool(fmt.Sprint(value))
	if err != nil {
		return errors.New("write true or false")
	}
	return nil
}

func setPaper(s *settings, value any) error {
	paper, ok := report.PaperNamed(fmt.Sprint(value))
	if !ok {
		return errors.New("write a4 or letter")
	}
	s.paper = paper
	return nil
}

// setUnits takes a list, or names with commas between.
func setUnits(s *settings, value any) error {
	var names []string
	switch v := value.(type) {
	case string:
		names = strings.Split(v, ",")
	case []string:
		names = v
	case []any:
		for _, item := range v {
			names = append(names, fmt.Sprint(item))
		}
	default:
		return errors.New("write the name of a unit or a list of them")
	}
	for _, name := range names {
		if name = strings.TrimSpace(name); name == "" {
			continue
		}
		u, ok := symptoms.LookupUnit(name)
		if !ok {
			return fmt.Errorf("%q is no unit known here; write for example in, psi, °F", name)
		}
		s.units = append(s.units, u)
	}
	return nil
}

// loadSettings works out the settings for a command with the given flags.
func loadSettings(flags *pflag.FlagSet) (*settings, error) {
	if err := checkEnvironment(os.Environ()); err != nil {
		return nil, err
	}
	v := viper.New()
	v.SetEnvPrefix(envPrefix)
	file, err := readConfiguration(v, flags)
	if err != nil {
		return nil, err
	}
	s := &settings{}
	for _, row := range settingTable() {
		v.SetDefault(row.key, row.fallback)
		if err := v.BindEnv(row.key); err != nil {
			return nil, err
		}
		flag := flags.Lookup(row.key)
		if flag != nil {
			if err := v.BindPFlag(row.key, flag); err != nil {
				return nil, err
			}
		}
		value := v.Get(row.key)
		if err := row.set(s, value); err != nil {
			return nil, badSetting(row, originOf(row.key, flag, file), file, fmt.Sprint(value), err)
		}
		if row.key == "pack" && originOf(row.key, flag, file) == inFile {
			file.findPacks(s.packs)
		}
		if row.key == "prices" && s.prices != "" && originOf(row.key, flag, file) == inFile {
			s.prices = file.beside(s.prices)
		}
	}
	return s, nil
}

// findPacks makes the paths in the file's list of packs relative to the file.
func (c configuration) findPacks(packs []string) {
	for i, pack := range packs {
		packs[i] = c.beside(pack)
	}
}

// beside makes a path in the file relative to the file.
func (c configuration) beside(path string) string {
	if filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(filepath.Dir(c.path), path)
}

// origin is where a setting was given.
type origin int

const (
	byDefault origin = iota
	inFile
	inEnvironment
	onCommandLine
)

// originOf repeats viper's own order, which it does not tell.
func originOf(key string, flag *pflag.Flag, file configuration) origin {
	switch {
	case flag != nil && flag.Changed:
		return onCommandLine
	case os.Getenv(envName(key)) != "":
		return inEnvironment
	case file.keys[key] != nil:
		return inFile
	}
	return byDefault
}

// badSetting says where a bad value was written. A flag is a mistake on the command line, the others are errors.
func badSetting(row setting, from origin, file configuration, value string, problem error) error {
	switch from {
	case onCommandLine:
		return usage(problem.Error(), "--%s: %q is not possible", row.key, value)
	case inEnvironment:
		return trouble(fmt.Errorf("environment variable %s: %q is not possible", envName(row.key), value), problem.Error())
	}
	return trouble(fmt.Errorf("%s: %s: %q is not possible", file.position(row.key), row.key, value), problem.Error())
}

func envName(key string) string { return envPrefix + "_" + strings.ToUpper(key) }

// checkEnvironment refuses a variable that is nearly one of ours. Others that begin with DIAGNOSE_ may belong to some
// other program and are left alone.
func checkEnvironment(environ []string) error {
	known := []string{"CONFIG"}
	for _, key := range settingKeys() {
		known = append(known, strings.ToUpper(key))
	}
	for _, entry := range environ {
		variable, _, _ := strings.Cut(entry, "=")
		name, ours := strings.CutPrefix(variable, envPrefix+"_")
		if !ours || slices.Contains(known, name) {
			continue
		}
		if meant := nearest(name, known); meant != "" {
			return trouble(fmt.Errorf("environment variable %s: no such setting", variable), "did you mean "+envName(meant))
		}
	}
	return nil
}

// configuration is the configuration file that was read; the zero value is none.
type configuration struct {
	path string
	keys map[string]*yaml.Node
}

func (c configuration) position(key string) string {
	if node := c.keys[key]; node != nil {
		return fmt.Sprintf("%s:%d:%d", c.path, node.Line, node.Column)
	}
	return c.path
}

// readConfiguration finds the configuration file, checks its keys and gives it to v. A file that was asked for must be
// there; the usual one need not.
func readConfiguration(v *viper.Viper, flags *pflag.FlagSet) (configuration, error) {
	path, asked := configurationPath(flags)
	if path == "" {
		return configuration{}, nil
	}
	data, err := readFile(path)
	if errors.Is(err, fs.ErrNotExist) && !asked {
		return configuration{}, nil
	}
	if err != nil {
		return configuration{}, err
	}
	file, err := checkConfiguration(path, data)
	if err != nil {
		return configuration{}, err
	}
	v.SetConfigType("yaml")
	if err := v.ReadConfig(bytes.NewReader(data)); err != nil {
		return configuration{}, fmt.Errorf("%s: %w", path, err)
	}
	return file, nil
}

// configurationPath returns the file to read and whether it was asked for by --config or DIAGNOSE_CONFIG.
func configurationPath(flags *pflag.FlagSet) (path string, asked bool) {
	if flag := flags.Lookup("config"); flag != nil && flag.Value.String() != "" {
		return flag.Value.String(), true
	}
	if path := os.Getenv(envPrefix + "_CONFIG"); path != "" {
		return path, true
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", false
	}
	return filepath.Join(dir, "diagnose", "config.yaml"), false
}

// checkConfiguration finds the keys of the file and refuses those that no setting has.
func checkConfiguration(path string, data []byte) (configuration, error) {
	c := configuration{path: path, keys: map[string]*yaml.Node{}}
	var doc yaml.Node
	if err := yaml.Unmarshal(data, &doc); err != nil {
		return c, fmt.Errorf("%s: %s", path, strings.TrimPrefix(err.Error(), "yaml: "))
	}
	if len(doc.Content) == 0 {
		return c, nil
	}
	root := doc.Content[0]
	if root.Kind != yaml.MappingNode {
		return c, trouble(fmt.Errorf("%s:%d:%d: not a list of settings", path, root.Line, root.Column), "write lines such as  width: 100")
	}
	var problems []error
	for i := 0; i+1 < len(root.Content); i += 2 {
		key, value := root.Content[i], root.Content[i+1]
		switch {
		case !slices.Contains(settingKeys(), key.Value):
			problems = append(problems, unknownSetting(path, key))
		case c.keys[key.Value] != nil:
			problems = append(problems, fmt.Errorf("%s:%d:%d: %q: set twice", path, key.Line, key.Column, key.Value))
		}
		c.keys[key.Value] = value
	}
	return c, errors.Join(problems...)
}

func unknownSetting(path string, key *yaml.Node) error {
	hint := "the settings are " + strings.Join(settingKeys(), ", ")
	if meant := nearest(key.Value, settingKeys()); meant != "" {
		hint = "did you mean " + meant
	}
	return trouble(fmt.Errorf("%s:%d:%d: %q: no such setting", path, key.Line, key.Column, key.Value), hint)
}
