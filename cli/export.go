package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"runproof/drill"
	"runproof/export"
	"runproof/export/tasks"
	"runproof/flowlog/formats"
	"runproof/input"
)

type exportCmd struct {
	Day string `arg:"" help:"Folder that runproof review wrote."`
	Out string `short:"o" required:"" placeholder:"FILE" help:"What to write; the end of the name says the form: .geojson .gpkg .kml .shp .zip .csv .xlsx, and TASKDATA (a folder) or .taskdata.zip for ISO 11783-10."`

	What string `enum:",events,runs,skips,track" default:"" placeholder:"LAYER" help:"events, runs, skips or (with --log) track, where the form holds one of them; a form that holds several holds all unless this is said."`

	Log  string `placeholder:"FILE" help:"The recording that was reviewed: adds the track, and the places of events that left no ground."`
	Form string `placeholder:"END" help:"The form where the name does not say it, as the end of a name: geojson, kml, csv, xlsx, gpkg, zip. With -o - it goes to standard output."`

	Drill string `placeholder:"FILE" xor:"drill" help:"Description of the drill (drill.yaml), for ISO 11783-10."`
	Fit   string `placeholder:"FILE" xor:"drill" help:"Fit document that holds it, for ISO 11783-10."`

	Rate       map[string]float64 `placeholder:"PRODUCT=KG_HA" help:"ISO 11783-10: rate of a product, kg/ha, instead of the drill's."`
	Grid       float64            `placeholder:"CELL_M" help:"ISO 11783-10: a grid of cells of so many metres instead of polygons."`
	FullRate   bool               `help:"ISO 11783-10: the product's whole rate everywhere, also where a part of it was sown."`
	Units      bool               `help:"ISO 11783-10: describe each row of the drill as a unit, not sections alone."`
	Field      string             `placeholder:"NAME" help:"ISO 11783-10: name of the field."`
	ClientName string             `placeholder:"HEX" help:"ISO 11783-10: the NAME of the drill's controller, 16 hex digits, so that a terminal knows it again."`
}

func (*exportCmd) Help() string {
	return "Hands a reviewed day to maps, tables and terminals.\n\n" +
		"Examples:\n  runproof export review/ -o skips.gpkg\n  runproof export review/ -o card/TASKDATA --fit fit.json --field \"Heron Flat\"\n\n" +
		"The columns stand in docs/exports.md. A task file is a proposal: the operator checks product, rates, field and boundaries before it is loaded.\n\n" +
		"Exit status 1 when ground was short of product but the recording has no positions."
}

// exportDoc is the result document.
type exportDoc struct {
	Runproof string        `json:"runproof"` // "export/1"
	Form     string        `json:"form"`
	Files    []exportFile  `json:"files"`
	Layers   []exportLayer `json:"layers"`
	Tasks    []tasks.Task  `json:"tasks,omitempty"` // of ISO 11783-10
	Notes    []string      `json:"notes"`
}

type exportFile struct {
	Name  string `json:"name"`
	Bytes int    `json:"bytes"`
}

type exportLayer struct {
	Name     string `json:"name"`
	Geometry string `json:"geometry"` // none, Point or MultiPolygon
	Features int    `json:"features"`
	Unplaced int    `json:"without_place"`
}

// exportFormat is one form of output.
type exportFormat struct {
	name string
	ends string
	one  bool   // holds one layer
	none bool   // holds layers without geometry
	what string // the layer where none is asked for and the form holds one
	make func(*exportJob) error
}

var exportFormats = []exportFormat{
	{"ISO 11783-10", ".taskdata.zip", false, false, "", (*exportJob).taskZip},
	{"GeoJSON", ".geojson", true, false, "skips", (*exportJob).geoJSON},
	{"GeoPackage", ".gpkg", false, true, "", (*exportJob).geoPackage},
	{"KML", ".kml", false, false, "", (*exportJob).kml},
	{"Shapefile", ".shp", true, false, "skips", (*exportJob).shapefile},
	{"Shapefile", ".zip", false, true, "", (*exportJob).shapefileZip},
	{"CSV", ".csv", true, true, "events", (*exportJob).csv},
	{"XLSX", ".xlsx", false, true, "", (*exportJob).workbook},
}

var taskFolder = exportFormat{"ISO 11783-10", "TASKDATA", false, false, "", (*exportJob).taskFolder}

// formatOf is the form that the end of a name says.
func formatOf(out, form string) (exportFormat, error) {
	if form != "" {
		out = "." + strings.TrimPrefix(form, ".")
	}
	if strings.EqualFold(filepath.Base(out), "TASKDATA") {
		return taskFolder, nil
	}
	for _, f := range exportFormats {
		if name := strings.ToLower(out); strings.HasSuffix(name, f.ends) || "."+filepath.Base(name) == f.ends {
			return f, nil
		}
	}
	return exportFormat{}, input.Fault{
		Place: input.Place{File: out}, What: "the end of the name says no form",
		Remedy: "end it in .geojson, .gpkg, .kml, .shp, .zip, .csv, .xlsx, .taskdata.zip or /TASKDATA, or add --form",
	}
}

func (c *exportCmd) Run(s *Shell) error {
	form, err := formatOf(c.Out, c.Form)
	if err != nil {
		return err
	}
	day, err := export.Read(os.DirFS(c.Day), c.Day)
	if err != nil {
		return err
	}
	if err := c.follow(s, day); err != nil {
		return err
	}
	job := &exportJob{exportCmd: c, day: day, doc: exportDoc{Runproof: "export/1", Form: form.name, Notes: append([]string{}, day.Notes...)}}
	if job.layers, err = c.layers(day, form); err != nil {
		return err
	}
	if job.drill, err = c.machine(s); err != nil {
		return err
	}
	if err := form.make(job); err != nil {
		return err
	}
	if err := job.write(s); err != nil {
		return err
	}
	if day.Placeless() && form.name != "CSV" && form.name != "XLSX" {
		s.Attention()
	}
	job.summarise(s)
	return s.EmitJSON(job.doc)
}

// layers are those that the form holds and the person asked for.
func (c *exportCmd) layers(day *export.Day, form exportFormat) ([]export.Layer, error) {
	what := c.What
	if what == "" {
		what = form.what
	}
	all := []export.Layer{day.Skips(), day.Events()}
	if len(day.Passes) > 0 {
		all = append(all, day.Track())
	}
	all = append(all, day.Runs())
	at := slices.IndexFunc(all, func(l export.Layer) bool { return l.Name == what })
	switch {
	case at >= 0 && all[at].Geometry == export.None && !form.none:
		return nil, input.Fault{Place: input.Place{File: c.Out}, What: form.name + " holds places, and runs have none", Remedy: "write runs as .csv, .xlsx, .gpkg or .zip"}
	case at >= 0:
		return all[at : at+1], nil
	case what == "track":
		return nil, input.Fault{Place: input.Place{File: c.Out}, What: "there is no track to write", Remedy: "name the recording that was reviewed, with its positions: --log day.parquet"}
	case !form.none:
		return all[:len(all)-1], nil
	}
	return all, nil
}

// follow reads the recording's positions, if one is named.
func (c *exportCmd) follow(s *Shell, day *export.Day) error {
	if c.Log == "" {
		return nil
	}
	r, _, done, err := s.OpenLog(c.Log, formats.Only(export.Followed))
	if err != nil {
		return err
	}
	defer done()
	return inFile(day.Follow(r), c.Log)
}

// machine is the drill that was named, or nil.
func (c *exportCmd) machine(s *Shell) (*drill.Drill, error) {
	switch {
	case c.Drill != "":
		d, _, err := s.ReadDrill(c.Drill)
		return d, err
	case c.Fit != "":
		f, _, err := s.ReadFit(c.Fit)
		if err != nil {
			return nil, err
		}
		return &f.Drill, nil
	}
	return nil, nil
}

func (j *exportJob) summarise(s *Shell) {
	if j.Out == "-" {
		return
	}
	for _, l := range j.doc.Layers {
		line := fmt.Sprintf("%s: %s", l.Name, plural(l.Features, "feature"))
		if l.Unplaced > 0 {
			line += fmt.Sprintf(", %d without a place", l.Unplaced)
		}
		s.Summary("%s", line)
	}
	for _, n := range j.doc.Notes {
		s.Summary("note: %s", n)
	}
	for _, f := range j.doc.Files {
		s.Summary("wrote %s (%d bytes)", f.Name, f.Bytes)
	}
	if j.doc.Form == "ISO 11783-10" {
		s.Summary("%s", export.Safety)
	}
}
