// Command runproof is the workbench of the technician who fits seed-flow
// sensing to air seeders: see README.md.
package main

import (
	"os"

	"runproof/cli"
)

func main() { os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
