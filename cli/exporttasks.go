package cli

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"runproof/export/tasks"
	"runproof/input"
)

// taskSet makes ISO 11783-10 task data of the skips.
func (j *exportJob) taskSet() (tasks.Set, error) {
	if j.drill == nil {
		return tasks.Set{}, input.Fault{Place: input.Place{File: j.Out}, What: "task data describe the drill, and none is named", Remedy: "add --fit fit.json or --drill drill.yaml"}
	}
	if j.What != "" && j.What != "skips" {
		return tasks.Set{}, input.Fault{Place: input.Place{File: j.Out}, What: "task data hold skips, not " + j.What, Remedy: "leave out --what, or name another form"}
	}
	if err := j.rates(); err != nil {
		return tasks.Set{}, err
	}
	in := tasks.Input{Day: j.day, Drill: j.drill, Field: j.Field, GridM: j.Grid, FullRate: j.FullRate, Units: j.Units}
	if j.ClientName != "" {
		var err error
		if in.Client, err = tasks.ParseClient(j.ClientName); err != nil {
			return tasks.Set{}, inFile(err, "--client-name")
		}
	}
	set, err := tasks.Make(in)
	if err != nil {
		return set, inFile(err, j.machineFile())
	}
	j.held(j.day.Skips())
	j.doc.Tasks = set.Tasks
	for _, t := range set.Tasks {
		j.doc.Notes = append(j.doc.Notes, fmt.Sprintf("task for %s: %s in %s, %.0f m2, %.1f kg", t.Product, plural(t.Polygons, "polygon"), plural(t.Zones, "zone"), t.AreaM2, t.Kg))
	}
	j.doc.Notes = append(j.doc.Notes, set.Notes...)
	if _, told := j.drill.Frame.Point("hitch"); !told {
		at := j.drill.Places().Tractor.Forward
		j.doc.Notes = append(j.doc.Notes, fmt.Sprintf("the hitch is taken to be %.2f m ahead of the front rank: measure it and describe it as frame point hitch", at))
	}
	if j.ClientName == "" {
		j.doc.Notes = append(j.doc.Notes, "the drill's NAME is invented; give the real one with --client-name where the terminal has met the drill")
	}
	return set, nil
}

// rates takes the rates that were given in place of the drill's own.
func (j *exportJob) rates() error {
	var ids []string
	d := *j.drill
	d.Products = slices.Clone(d.Products)
	for i, p := range d.Products {
		ids = append(ids, string(p.ID))
		if r, given := j.Rate[string(p.ID)]; given {
			d.Products[i].RateKgHa = r
		}
	}
	for _, name := range slices.Sorted(maps.Keys(j.Rate)) {
		switch r := j.Rate[name]; {
		case !slices.Contains(ids, name):
			return input.Fault{What: fmt.Sprintf("--rate: the drill has no product %.40q", name), Remedy: input.DidYouMean(name, ids)}
		case !(r > 0 && r <= 5000):
			return input.Fault{What: fmt.Sprintf("--rate %s=%g: a rate is more than 0 and at most 5000 kg/ha", name, r), Remedy: "write the rate in kg/ha"}
		}
	}
	j.drill = &d
	return nil
}

// machineFile is the document that the drill came from.
func (j *exportJob) machineFile() string {
	if j.Fit != "" {
		return j.Fit
	}
	return j.Drill
}

// ownMark stands in every TASKDATA.XML that this program wrote.
const ownMark = `ManagementSoftwareManufacturer="Runproof"`

// mayWrite keeps a terminal's own data, which only it can make anew.
func mayWrite(folder string) error {
	name := filepath.Join(folder, "TASKDATA.XML")
	text, err := os.ReadFile(name)
	if err != nil || bytes.Contains(text[:min(len(text), 4096)], []byte(ownMark)) {
		return nil
	}
	return input.Fault{Place: input.Place{File: name}, What: "is there already, and another program wrote it", Remedy: "name another folder, and leave the terminal's data as they are"}
}

func (j *exportJob) taskFolder() error {
	if err := mayWrite(j.Out); err != nil {
		return err
	}
	set, err := j.taskSet()
	for _, f := range set.Files {
		j.files = append(j.files, madeFile{filepath.Join(j.Out, f.Name), f.Bytes})
	}
	j.folder = j.Out
	return err
}

func (j *exportJob) taskZip() error {
	set, err := j.taskSet()
	if err != nil {
		return err
	}
	return j.add(j.Out, func(w io.Writer) error {
		z := zip.NewWriter(w)
		for _, f := range set.Files {
			part, err := z.CreateHeader(&zip.FileHeader{Name: "TASKDATA/" + f.Name, Method: zip.Deflate})
			if err != nil {
				return err
			}
			if _, err := part.Write(f.Bytes); err != nil {
				return err
			}
		}
		return z.Close()
	})
}
