package cli

import (
	"bytes"
	"io"
	"path/filepath"
	"strings"
	"time"

	"runproof/dossier"
	"runproof/drawing"
	"runproof/drawing/svg"
	"runproof/drill"
	"runproof/evenness"
	"runproof/fit"
	"runproof/flowlog"
	"runproof/input"
)

type catchCmd struct {
	Fit          string        `arg:"" help:"Fit document."`
	Bags         string        `arg:"" optional:"" help:"Weighed bags: CSV with the columns run,repeat,grams; a mass that is empty was not weighed."`
	Form         string        `placeholder:"FILE" help:"Write an empty form to take to the yard, .pdf or .csv, and do nothing else."`
	Product      []string      `placeholder:"ID" help:"Products on the form; absent = all."`
	Repeats      int           `default:"3" placeholder:"N" help:"Repeats on the form."`
	Log          []string      `placeholder:"LOG" help:"Flow log recorded during the catch: one of all repeats with standstill between them, or one for each repeat in order."`
	Gains        string        `placeholder:"FILE" help:"Gains document to write: what each sensor counts; needs --log."`
	Day          string        `placeholder:"DATE" help:"Day of the test, year-month-day."`
	OpenerSpread float64       `placeholder:"M" help:"Width over which the opener spreads seed and fertiliser together, m; absent = fertiliser rates are not judged."`
	Scales       string        `placeholder:"FILE" help:"Published scales in place of the built-in ones; see runproof schema scales."`
	SafeRates    string        `placeholder:"FILE" help:"Published safe rates in place of the built-in ones; see runproof schema saferates."`
	PDF          string        `name:"pdf" placeholder:"FILE" help:"Pages to write."`
	SVG          string        `name:"svg" placeholder:"FILE" help:"Picture of the runs across the width to write; of several products one each, FILE-product.svg."`
	Paper        drawing.Paper `default:"a4" help:"Paper of pages and form: a4 or letter."`
	Out          string        `short:"o" placeholder:"FILE" help:"Catch document to write."`

	meaning
}

func (*catchCmd) Help() string {
	return "Tells from weighed bags how evenly a drill divides its product over its width, and calibrates the sensors where the counts were recorded. " +
		"Bags of one repeat hang at the same time; three repeats tell unevenness from scatter.\n\n" +
		"Example: runproof catch fit.json --form bags.pdf\n" +
		"Example: runproof catch fit.json bags.csv --log catch.csv --gains gains.json --day 2026-04-20 --pdf catch.pdf -o catch.json\n\n" +
		"Exit status 1 when a run is out of line, bags are missing or odd, a sensor got no gain, or one blocked fertiliser run takes the others past a published rate."
}

func (c *catchCmd) Run(s *Shell) error {
	f, fitSrc, err := s.ReadFit(c.Fit)
	if err != nil {
		return err
	}
	if err := c.usage(&f.Drill); err != nil {
		return err
	}
	if c.Form != "" {
		return c.form(s, f)
	}
	made := fit.Provenance{By: "runproof catch", From: []fit.Source{fitSrc}}
	doc, err := c.judge(s, f, &made)
	if err != nil {
		return err
	}
	gains, err := c.calibrate(s, f, doc, &made)
	if err != nil {
		return err
	}
	doc.Made = made
	if err := c.write(s, f, doc, gains); err != nil {
		return err
	}
	if doc.Attention() || gains != nil && gains.Attention() {
		s.Attention()
	}
	if c.Out != "-" {
		summariseCatch(s, doc, gains)
	}
	return s.EmitJSON(doc)
}

// usage checks what flags say together.
func (c *catchCmd) usage(d *drill.Drill) error {
	fault := func(what, remedy string) error { return input.Fault{What: what, Remedy: remedy} }
	switch {
	case c.Form != "" && c.Bags != "":
		return fault("--form writes an empty form and reads no bags", "leave out the one or the other")
	case c.Form == "" && (c.Bags == "" || c.Out == ""):
		return fault("a file of bags and --out are needed, or --form", "runproof catch fit.json bags.csv -o catch.json")
	case c.Gains != "" && len(c.Log) == 0:
		return fault("--gains needs the counts of the catch", "record while the bags fill, and name the recording with --log")
	case c.Repeats < 1 || c.Repeats > 50:
		return fault("--repeats must be 1 to 50", "three are usual")
	}
	if err := checkSpread(c.OpenerSpread); err != nil {
		return err
	}
	if _, err := time.Parse(time.DateOnly, c.Day); c.Day != "" && err != nil {
		return fault("--day "+c.Day+" is no day", "write it as year-month-day, like 2026-04-20")
	}
	for _, p := range c.Product {
		if _, ok := d.Product(drill.ProductID(p)); !ok {
			var ids []string
			for _, q := range d.Products {
				ids = append(ids, string(q.ID))
			}
			return fault("the drill has no product "+p, input.DidYouMean(p, ids))
		}
	}
	return nil
}

// form writes the empty form.
func (c *catchCmd) form(s *Shell, f *fit.Fit) error {
	var products []drill.ProductID
	for _, p := range c.Product {
		products = append(products, drill.ProductID(p))
	}
	write := func(w io.Writer) error { return evenness.WriteForm(w, &f.Drill, products, c.Repeats) }
	switch ext := strings.ToLower(filepath.Ext(c.Form)); {
	case ext == ".pdf":
		form := dossier.CatchForm{Fit: f, Products: products, Repeats: c.Repeats, Paper: c.Paper}
		write = func(w io.Writer) error { return dossier.WriteCatchForm(w, form) }
	case ext != ".csv" && c.Form != "-":
		return input.Fault{Place: input.Place{File: c.Form}, What: "is neither .pdf nor .csv", Remedy: "name a file like bags.pdf or bags.csv"}
	}
	if err := s.WriteFile(c.Form, write); err != nil {
		return err
	}
	runs := len(evenness.FormRuns(&f.Drill, products))
	if c.Form != "-" {
		s.Summary("form of %s in %s for %s", plural(runs, "run"), plural(c.Repeats, "repeat"), c.Form)
	}
	return s.EmitJSON(struct {
		Form    string `json:"form"`
		Runs    int    `json:"runs"`
		Repeats int    `json:"repeats"`
	}{c.Form, runs, c.Repeats})
}

// judge reads bags and tables.
func (c *catchCmd) judge(s *Shell, f *fit.Fit, made *fit.Provenance) (*evenness.Catch, error) {
	opt := evenness.Options{Day: c.Day, OpenerSpreadM: c.OpenerSpread}
	var err error
	if opt.Scales, err = tableOr(s, c.Scales, evenness.DefaultScales, evenness.ReadScales, made); err != nil {
		return nil, err
	}
	if opt.SafeRates, err = tableOr(s, c.SafeRates, evenness.DefaultSafeRates, evenness.ReadSafeRates, made); err != nil {
		return nil, err
	}
	text, src, err := s.ReadInput(c.Bags)
	if err != nil {
		return nil, err
	}
	made.From = append(made.From, src)
	bags, err := evenness.ReadBags(bytes.NewReader(text), c.Bags, &f.Drill)
	if err != nil {
		return nil, err
	}
	doc, err := evenness.Judge(&f.Drill, bags, opt)
	return doc, inFile(err, c.Bags)
}

// tableOr is the built-in table, or that of the file where one is named.
func tableOr[T any](s *Shell, name string, builtIn func() T, read func(io.Reader, string) (T, error), made *fit.Provenance) (T, error) {
	if name == "" {
		return builtIn(), nil
	}
	text, src, err := s.ReadInput(name)
	if err != nil {
		return *new(T), err
	}
	made.From = append(made.From, src)
	return read(bytes.NewReader(text), name)
}

// calibrate is nil where no log was named.
func (c *catchCmd) calibrate(s *Shell, f *fit.Fit, doc *evenness.Catch, made *fit.Provenance) (*evenness.Gains, error) {
	if len(c.Log) == 0 {
		return nil, nil
	}
	var logs []*flowlog.Log
	for _, name := range c.Log {
		l, src, err := c.wholeLog(s, name, f)
		if err != nil {
			return nil, err
		}
		made.From = append(made.From, src)
		logs = append(logs, l)
	}
	gains, err := evenness.Calibrate(f, doc, logs)
	if err != nil {
		return nil, inFile(err, c.Log[0])
	}
	gains.Made = *made
	return gains, nil
}

// wholeLog reads the ports of a log that a fit can use.
func (c *catchCmd) wholeLog(s *Shell, name string, f *fit.Fit) (*flowlog.Log, fit.Source, error) {
	r, src, done, err := c.open(s, name, flowlog.Needs(f))
	if err != nil {
		return nil, src, err
	}
	defer done()
	l, err := flowlog.ReadAll(r)
	s.warnOfLoss(r)
	return l, src, inFile(err, name)
}

func (c *catchCmd) write(s *Shell, f *fit.Fit, doc *evenness.Catch, gains *evenness.Gains) error {
	if c.PDF != "" {
		day := dossier.CatchDay{Fit: f, Catch: doc, Gains: gains, Paper: c.Paper}
		if err := s.WriteFile(c.PDF, func(w io.Writer) error { return dossier.WriteCatch(w, day) }); err != nil {
			return err
		}
	}
	if c.SVG != "" {
		for i := range doc.Products {
			p := &doc.Products[i]
			name := c.SVG
			if len(doc.Products) > 1 {
				ext := filepath.Ext(name)
				name = strings.TrimSuffix(name, ext) + "-" + string(p.Product) + ext
			}
			page := dossier.CatchBars(f, p, drawing.Size{WMM: 240, HMM: 90})
			if err := s.WriteFile(name, func(w io.Writer) error { return svg.Write(w, page, svg.Options{Font: svg.Embedded}) }); err != nil {
				return err
			}
		}
	}
	if c.Gains != "" {
		if err := s.WriteFile(c.Gains, gains.Write); err != nil {
			return err
		}
	}
	return s.WriteFile(c.Out, doc.Write)
}

func summariseCatch(s *Shell, doc *evenness.Catch, gains *evenness.Gains) {
	for _, p := range doc.Products {
		s.summariseProduct(p.Product, p.Says, p.Bands, p.Remarks)
	}
	for _, r := range doc.Siblings {
		s.Summary("%s", r.Words)
	}
	if gains == nil {
		return
	}
	for _, p := range gains.Products {
		s.Summary("gains of %s: %s, %s without", p.Product, plural(len(p.Runs), "run"), plural(len(p.Without), "run"))
		if p.SpreadCV != nil {
			s.Summary("  sensors differ by %.1f %% (CV) in what they count of the same product", 100**p.SpreadCV)
		}
		for _, w := range p.Without {
			s.Summary("  %s: %s", w.Run, w.Why)
		}
		for _, r := range p.Remarks {
			s.Summary("  note: %s", r)
		}
	}
}
