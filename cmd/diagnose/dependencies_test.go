package main

import (
	_ "github.com/expr-lang/expr"
	_ "github.com/olekukonko/tablewriter"
	_ "github.com/rogpeppe/go-internal/testscript"
	_ "github.com/spf13/cobra"
	_ "github.com/spf13/viper"
	_ "go.yaml.in/yaml/v3"
	_ "pgregory.net/rapid"
)
