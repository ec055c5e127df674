package main

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/spf13/pflag"

	"diagnose.example/report"
)

// settingsOf loads the settings of a triage command line with a configuration file of the given text.
func settingsOf(t *testing.T, file string, env map[string]string, args ...string) (*settings, error) {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", dir)
	t.Setenv("HOME", dir)
	if file != "" {
		config, err := os.UserConfigDir()
		if err != nil {
			t.Fatal(err)
		}
		if err := os.MkdirAll(filepath.Join(config, "diagnose"), 0o777); err != nil {
			t.Fatal(err)
		}
		writeFile(t, filepath.Join(config, "diagnose", "config.yaml"), file)
	}
	for name, value := range env {
		t.Setenv(name, value)
	}
	a := newApp(nil, &strings.Builder{}, &strings.Builder{})
	cmd := a.triageCommand()
	flags := pflag.NewFlagSet("test", pflag.ContinueOnError)
	a.persistentFlags(flags)
	flags.AddFlagSet(cmd.Flags())
	if err := flags.Parse(args); err != nil {
		t.Fatal(err)
	}
	return loadSettings(flags)
}

func TestSettingsPrecedence(t *testing.T) {
	tests := []struct {
		name string
		file string
		env  map[string]string
		args []string
		want settings
	}{
		{"defaults", "", nil, nil, settings{paper: report.A4, colour: "auto", format: "text", top: 5}},
		{"file", "colour: never\nwidth: 100\nformat: json\ntop: 8\ndetails: true\n", nil, nil,
			settings{paper: report.A4, colour: "never", width: 100, format: "json", top: 8, details: true}},
		{"environment over file", "width: 100\ntop: 8\n", map[string]string{"DIAGNOSE_WIDTH": "120", "DIAGNOSE_DETAILS": "true"}, nil,
			settings{paper: report.A4, colour: "auto", format: "text", width: 120, top: 8, details: true}},
		{"flag over environment and file", "width: 100\n", map[string]string{"DIAGNOSE_WIDTH": "120"}, []string{"--width", "60"},
			settings{paper: report.A4, colour: "auto", format: "text", width: 60, top: 5}},
		{"flag given with its default value still wins", "top: 8\n", map[string]string{"DIAGNOSE_TOP": "9"}, []string{"--top=5"},
			settings{paper: report.A4, colour: "auto", format: "text", top: 5}},
		{"packs of the environment as in PATH", "", map[string]string{"DIAGNOSE_PACK": "a.yaml" + string(os.PathListSeparator) + "b c.yaml"}, nil,
			settings{paper: report.A4, colour: "auto", format: "text", top: 5, packs: []string{"a.yaml", "b c.yaml"}}},
		{"packs of the flag", "", nil, []string{"--pack", "a.yaml", "--pack", "b,c.yaml"},
			settings{paper: report.A4, colour: "auto", format: "text", top: 5, packs: []string{"a.yaml", "b,c.yaml"}}},
		{"other spelling of the flag", "", nil, []string{"--color", "always"}, settings{paper: report.A4, colour: "always", format: "text", top: 5}},
		{"empty variable is none", "width: 100\n", map[string]string{"DIAGNOSE_WIDTH": ""}, nil,
			settings{paper: report.A4, colour: "auto", format: "text", width: 100, top: 5}},
		{"a variable of somebody else", "", map[string]string{"DIAGNOSE_SOMETHING_ELSE": "1"}, nil, settings{paper: report.A4, colour: "auto", format: "text", top: 5}},
		{"paper of the environment", "paper: a4\n", map[string]string{"DIAGNOSE_PAPER": "Letter"}, nil,
			settings{paper: report.Letter, colour: "auto", format: "text", top: 5}},
		{"prices of the environment", "prices: other.yaml\n", map[string]string{"DIAGNOSE_PRICES": "our.yaml"}, nil,
			settings{paper: report.A4, colour: "auto", format: "text", top: 5, prices: "our.yaml"}},
		{"empty file", "# nothing\n", nil, nil, settings{paper: report.A4, colour: "auto", format: "text", top: 5}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := settingsOf(t, tt.file, tt.env, tt.args...)
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(*got, tt.want) {
				t.Errorf("settings = %+v; want %+v", *got, tt.want)
			}
		})
	}
}

func TestSettingsPackBesideFile(t *testing.T) {
	got, err := settingsOf(t, "pack: [our.yaml]\n", nil)
	if err != nil {
		t.Fatal(err)
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		t.Fatal(err)
	}
	if want := filepath.Join(dir, "diagnose", "our.yaml"); len(got.packs) != 1 || got.packs[0] != want {
		t.Errorf("packs = %q; want %q", got.packs, want)
	}
}

func TestSettingsErrors(t *testing.T) {
	tests := []struct {
		name   string
		file   string
		env    map[string]string
		args   []string
		want   string // in the message
		hint   string
		status int
	}{
		{"misspelt key", "colour: never\nwidht: 100\n", nil, nil, `config.yaml:2:1: "widht": no such setting`, "did you mean width", statusError},
		{"unknown key", "engine: big\n", nil, nil, `config.yaml:1:1: "engine": no such setting`,
			"the settings are pack, colour, width, format, top, details, units, prices, paper", statusError},
		{"bad value in file", "top: 5\nwidth: wide\n", nil, nil, `config.yaml:2:8: width: "wide" is not possible`,
			"write a number of columns from 40, or 0 for the terminal's own", statusError},
		{"narrow", "width: 12\n", nil, nil, `width: "12" is not possible`, "write a number of columns from 40, or 0 for the terminal's own", statusError},
		{"not a mapping", "- width\n", nil, nil, "config.yaml:1:1: not a list of settings", "write lines such as  width: 100", statusError},
		{"key twice", "width: 100\nwidth: 90\n", nil, nil, "config.yaml:2:1: \"width\": set twice", "", statusError},
		{"bad value in environment", "", map[string]string{"DIAGNOSE_TOP": "none"}, nil,
			`environment variable DIAGNOSE_TOP: "none" is not possible`, "write a number from 1", statusError},
		{"misspelt variable", "", map[string]string{"DIAGNOSE_COLUR": "never"}, nil,
			"environment variable DIAGNOSE_COLUR: no such setting", "did you mean DIAGNOSE_COLOUR", statusError},
		{"bad value of flag", "", nil, []string{"--colour", "red"}, `--colour: "red" is not possible`, "write auto, always or never", statusUsage},
		{"named file missing", "", nil, []string{"--config", "none.yaml"}, "none.yaml: no such file", "", statusError},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := settingsOf(t, tt.file, tt.env, tt.args...)
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Fatalf("error = %v; want %q in it", err, tt.want)
			}
			var f *failure
			if !errors.As(err, &f) {
				f = &failure{status: statusError}
			}
			if f.status != tt.status {
				t.Errorf("status = %d; want %d", f.status, tt.status)
			}
			if got := strings.Join(f.hints, "\n"); got != tt.hint {
				t.Errorf("hint = %q; want %q", got, tt.hint)
			}
		})
	}
}
