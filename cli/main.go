package cli

import (
	"fmt"
	"io"

	"github.com/alecthomas/kong"
)

// The exit statuses.
const (
	ExitDone      = 0 // done and nothing wrong found
	ExitAttention = 1 // done, but something needs attention
	ExitInput     = 2 // input or usage is bad
)

// commands is the grammar. Each field is one command, in a file of its own.
type commands struct {
	JSON bool `name:"json" help:"Print the result document on standard output instead of the summary."`

	Drill    drillCmd    `cmd:"" help:"Describe a drill, and check the description."`
	Plan     planCmd     `cmd:"" help:"Plan which node serves which runs, from which port."`
	Kit      kitCmd      `cmd:"" help:"List what to pick for a fit, as a table."`
	Quote    quoteCmd    `cmd:"" help:"Write a quote in the dealer's own name."`
	Map      mapCmd      `cmd:"" help:"Write the map of runs to ports as a table."`
	Fit      fitCmd      `cmd:"" help:"Look at fits and compare them."`
	Log      logCmd      `cmd:"" help:"Look at flow logs and convert them."`
	Prove    proveCmd    `cmd:"" help:"Prove from a recorded walk which port listens to which run."`
	Tune     tuneCmd     `cmd:"" help:"Design alarm rules from the drill's own flow."`
	Review   reviewCmd   `cmd:"" help:"Review a recorded field day: what went wrong, where, how much."`
	Replay   replayCmd   `cmd:"" help:"Play alarm rules over a recorded day: what they would have caught, and how often rung for nothing."`
	Season   seasonCmd   `cmd:"" help:"Put many recorded days into one report: what stands out, what grows worse, what repairs changed."`
	Cost     costCmd     `cmd:"" help:"Estimate what the skips of reviewed days may cost."`
	Catch    catchCmd    `cmd:"" help:"Tell from weighed bags how even the drill is, and calibrate its sensors."`
	Evenness evennessCmd `cmd:"" help:"Tell from a field day's counts and gains how even the drill was."`
	Export   exportCmd   `cmd:"" help:"Hand a reviewed day to maps, tables and terminals."`
	Sheets   sheetsCmd   `cmd:"" help:"Print the papers for bench and yard, and the labels."`
	Dossier  dossierCmd  `cmd:"" help:"Print the hand-over book of a fit."`
	Simulate simulateCmd `cmd:"" help:"Record a simulated drill, with the truth beside it."`
	Job      jobCmd      `cmd:"" help:"Keep a drill's file in the ledger: open it, add to it, look at it, pack it."`
	Serial   serialCmd   `cmd:"" help:"Say where a serial number has been."`
	Swap     swapCmd     `cmd:"" help:"Note that a part was exchanged; of a node, the next revision of the fit."`
	Visit    visitCmd    `cmd:"" help:"Note a visit to a drill."`
	Backup   backupCmd   `cmd:"" help:"Write the whole ledger into one file."`
	Restore  restoreCmd  `cmd:"" help:"Make a ledger from a backup."`
	Forget   forgetCmd   `cmd:"" help:"Take a customer's name and telephone number out of the ledger."`
	Demo     demoCmd     `cmd:"" help:"Go through the whole job on an invented drill."`
	Schema   schemaCmd   `cmd:"" help:"Print the JSON Schema of a document, for editors."`
}

// Main runs one command line (without the program's name) and returns the exit
// status.
func Main(args []string, in io.Reader, out, errw io.Writer) int {
	return (&Shell{In: in, Out: out, Err: errw}).main(args)
}

// main runs one command line in this shell.
func (s *Shell) main(args []string) int {
	var c commands
	status := -1
	p, err := kong.New(&c,
		kong.Name("runproof"),
		kong.Description("The workbench of the technician who fits seed-flow sensing to air seeders."),
		kong.Writers(s.Out, s.Err),
		kong.Exit(func(code int) { status = code; panic(exit{}) }),
		kong.UsageOnError(),
	)
	if err != nil {
		panic(err) // the grammar is wrong: a fault of the program
	}
	return run(p, &c, args, &status, s)
}

// exit unwinds kong's --help, which would otherwise end the process.
type exit struct{}

func run(p *kong.Kong, c *commands, args []string, status *int, s *Shell) (code int) {
	defer func() {
		if r := recover(); r != nil {
			if _, ok := r.(exit); !ok {
				panic(r)
			}
			code = *status
		}
	}()
	ctx, err := p.Parse(negatives(args))
	if err != nil {
		fmt.Fprintf(s.Err, "runproof: %v; see runproof --help\n", err)
		return ExitInput
	}
	s.JSON = c.JSON
	if err := ctx.Run(s); err != nil {
		fmt.Fprintln(s.Err, err)
		return ExitInput
	}
	if s.attention {
		return ExitAttention
	}
	return ExitDone
}
