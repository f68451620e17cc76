package cli

import (
	"bytes"
	"errors"
	"io"
	"path/filepath"

	"runproof/fit"
	"runproof/flowlog"
	"runproof/flowlog/formats"
	"runproof/simulate"
	"runproof/simulate/recorder"
)

type simulateCmd struct {
	Scenario string  `arg:"" help:"Scenario (YAML; see runproof schema scenario)."`
	Fit      string  `required:"" placeholder:"FILE" help:"Fit document of the drill."`
	Out      string  `short:"o" required:"" placeholder:"DIR" help:"Folder for the log, truth.json and, of a walk, marks.csv, of a catch test, bags.csv."`
	Seed     *uint64 `help:"Seed that replaces the scenario's."`
	As       string  `enum:"flow,recorders" default:"flow" help:"flow writes a flow log; recorders also writes what other machines would have recorded: the counts as CAN frames with their DBC, the positions as NMEA 0183."`
	ClockOff float64 `placeholder:"S" help:"Seconds that the receiver's clock is ahead of the flow log's, with --as recorders."`
	Format   string  `enum:"csv,csv.gz,csv.zst,parquet" default:"csv.gz" help:"Form of the log: csv, csv.gz, csv.zst or parquet."`
}

func (*simulateCmd) Help() string {
	return "Records a simulated drill: a yard walk, a catch test with its bags, a baseline or a field day, with the truth beside it.\n\n" +
		"Examples: runproof simulate day.yaml --fit fit.json -o day/ --format parquet\n" +
		"          runproof simulate day.yaml --fit fit.json -o day/ --as recorders --clock-off 432.4"
}

func (c *simulateCmd) Run(s *Shell) error {
	f, _, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	b, _, err := s.ReadInput(c.Scenario)
	if err != nil {
		return err
	}
	sc, err := simulate.Read(bytes.NewReader(b), c.Scenario)
	if err != nil {
		return err
	}
	if c.Seed != nil {
		sc.Seed = *c.Seed
	}
	if err := sc.Check(f, c.Scenario); err != nil {
		return err
	}
	truth, files, err := s.record(sc, f, c.Out, c.Format)
	if err != nil {
		return err
	}
	if c.As == "recorders" {
		more, err := s.recorders(files[0], c.Out, recorder.Clock{OffsetS: c.ClockOff})
		if err != nil {
			return err
		}
		files = append(files, more...)
	}
	s.Summary("%s of %s, seed %d: %d faults", sc.Kind, f.Drill.Name, sc.Seed, len(truth.Events))
	for _, name := range files {
		s.Summary("  %s", name)
	}
	return s.EmitJSON(truth)
}

// record writes a scenario's log, truth and marks into dir, and returns the
// truth and the files' names.
func (s *Shell) record(sc *simulate.Scenario, f *fit.Fit, dir, format string) (*simulate.Truth, []string, error) {
	rec, err := simulate.New(sc, f)
	if err != nil {
		return nil, nil, err
	}
	if err := s.makeDir(dir); err != nil {
		return nil, nil, err
	}
	log := filepath.Join(dir, sc.Kind.String()+"."+format)
	if err := s.WriteFile(log, func(w io.Writer) error { return copyLog(log, w, rec) }); err != nil {
		return nil, nil, err
	}
	truth := rec.Truth()
	files := []string{log, filepath.Join(dir, "truth.json")}
	if err := s.WriteFile(files[1], truth.Write); err != nil {
		return nil, nil, err
	}
	more := map[simulate.Kind]struct {
		name  string
		write func(io.Writer) error
	}{simulate.Yard: {"marks.csv", rec.WriteMarks}, simulate.Caught: {"bags.csv", rec.WriteBags}}
	if m, ok := more[sc.Kind]; ok {
		files = append(files, filepath.Join(dir, m.name))
		if err := s.WriteFile(files[2], m.write); err != nil {
			return nil, nil, err
		}
	}
	return truth, files, nil
}

// recorders writes a flow log the way other machines would have recorded it, and
// returns the files' names.
func (s *Shell) recorders(log, dir string, clock recorder.Clock) ([]string, error) {
	frames, dbc, fixes := filepath.Join(dir, "bus.log"), filepath.Join(dir, "bus.dbc"), filepath.Join(dir, "positions.nmea")
	read := func(fn func(flowlog.Reader) error) error {
		r, _, closeLog, err := s.OpenLog(log)
		if err != nil {
			return err
		}
		defer closeLog()
		return fn(r)
	}
	var base bytes.Buffer
	err := read(func(r flowlog.Reader) error {
		return s.WriteFile(frames, func(w io.Writer) error { return recorder.WriteCAN(r, w, &base) })
	})
	if err != nil {
		return nil, err
	}
	if err := s.WriteFile(dbc, func(w io.Writer) error { _, err := base.WriteTo(w); return err }); err != nil {
		return nil, err
	}
	return []string{frames, dbc, fixes}, read(func(r flowlog.Reader) error {
		return s.WriteFile(fixes, func(w io.Writer) error { return recorder.WriteNMEA(r, w, clock) })
	})
}

// copyLog writes the rest of r in the format that name asks for.
func copyLog(name string, w io.Writer, r flowlog.Reader) error {
	out, err := formats.Create(name, w, r.Schema())
	if err != nil {
		return err
	}
	var b flowlog.Batch
	for {
		err := r.Read(&b)
		if errors.Is(err, io.EOF) {
			return out.Close()
		}
		if err != nil {
			return err
		}
		if err := out.Write(&b); err != nil {
			return err
		}
	}
}
