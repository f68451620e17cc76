package parcel

import (
	"fmt"
	"html/template"
	"io"
	"net/url"
	"path"
	"strings"

	"runproof/ledger"
)

// page is index.html.
type page struct {
	Title, Handle   string
	Customer, Reach string
	Conflict        int // fits that stand side by side, where more than one
	Beside          []link
	Lines           []pageLine
	Serials         []pageSerial
}

type link struct{ Href, Name, Says string }

type pageLine struct {
	At, Kind, By, Why string
	Says              []string
	Files             []link
}

type pageSerial struct{ Serial, Where, Since, Until, Doubt string }

var pageTemplate = template.Must(template.New("index").Parse(`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{.Title}}</title>
<style>
body{font:16px/1.45 Georgia,serif;color:#1d2430;background:#faf7f0;max-width:60rem;margin:2rem auto;padding:0 1rem;font-variant-numeric:tabular-nums}
h1{font-size:1.6rem;margin-bottom:.2rem}h2{font-size:1.15rem;margin-top:2rem;border-bottom:1px solid #c9c2b2}
table{border-collapse:collapse;width:100%}td,th{text-align:left;vertical-align:top;padding:.35rem .7rem .35rem 0;border-bottom:1px solid #e4dece}
td:first-child{white-space:nowrap}a{color:#005a8c}.quiet{color:#5c6370}.warn{border-left:.3rem solid #b24a00;padding-left:.7rem}
</style></head><body>
<h1>{{.Title}}</h1>
<p class="quiet">Job {{.Handle}}{{if .Customer}} of {{.Customer}}{{if .Reach}}, {{.Reach}}{{end}}{{end}}</p>
{{if .Conflict}}<p class="warn">Attention: {{.Conflict}} fits stand side by side, changed apart. Nobody has decided yet which holds; fit.json is the last of them.</p>{{end}}
{{if .Beside}}<h2>To begin with</h2>
<table>{{range .Beside}}<tr><td><a href="{{.Href}}">{{.Name}}</a></td><td>{{.Says}}</td></tr>
{{end}}</table>{{end}}
<h2>History</h2>
<table><tr><th>When (UTC)</th><th>What</th><th></th></tr>
{{range .Lines}}<tr><td>{{.At}}</td><td>{{.Kind}}</td><td>{{range .Says}}{{.}}<br>{{end}}{{if .Why}}Why: {{.Why}}<br>{{end}}{{range .Files}}{{if .Href}}<a href="{{.Href}}">{{.Name}}</a>{{else}}{{.Name}} (erased){{end}} {{end}}<span class="quiet">{{.By}}</span></td></tr>
{{end}}</table>
{{if .Serials}}<h2>Serial numbers on this drill</h2>
<table><tr><th>Serial</th><th>Where</th><th>Since</th><th>Until</th><th></th></tr>
{{range .Serials}}<tr><td>{{.Serial}}</td><td>{{.Where}}</td><td>{{.Since}}</td><td>{{.Until}}</td><td>{{.Doubt}}</td></tr>
{{end}}</table>{{end}}
<p class="quiet">job.json holds all of this for programs. Counts in Parquet: one column for time, one for each port (node:port), particles since the line before.</p>
</body></html>
`))

func writePage(w io.Writer, doc Document, beside []Beside) error {
	p := page{Title: doc.Job.Title, Handle: doc.Job.Handle}
	if doc.Customer != nil {
		p.Customer, p.Reach = doc.Customer.Name, doc.Customer.Reach
	}
	if n := len(ledger.Tips(doc.Entries)); n > 1 {
		p.Conflict = n
	}
	for _, b := range beside {
		p.Beside = append(p.Beside, link{Href: href(b.Path), Name: b.Path, Says: b.Says})
	}
	for _, e := range doc.Entries {
		l := pageLine{At: strings.TrimSuffix(e.At.Format("2006-01-02 15:04"), " 00:00"), Kind: e.Kind.String(), By: e.By, Why: e.Why, Says: e.Says()}
		for _, pl := range doc.Places {
			if pl.entry == e.ID {
				l.Files = append(l.Files, link{Href: href(pl.Path), Name: path.Base(pl.file.Name)})
			}
		}
		p.Lines = append(p.Lines, l)
	}
	p.Serials = serialsOf(doc)
	return pageTemplate.Execute(w, p)
}

// href is the path as a link from the page.
func href(p string) string {
	if p == "" {
		return ""
	}
	return "./" + (&url.URL{Path: p}).EscapedPath()
}

func serialsOf(doc Document) (out []pageSerial) {
	moves := map[string][]ledger.Move{}
	var order []string
	for _, e := range doc.Entries {
		for _, m := range e.Moves() {
			if len(moves[m.Serial]) == 0 {
				order = append(order, m.Serial)
			}
			moves[m.Serial] = append(moves[m.Serial], m)
		}
	}
	for _, s := range order {
		for _, st := range ledger.Stays(moves[s]) {
			p := pageSerial{Serial: s, Where: st.Fate.String(), Since: st.Since.Format("2006-01-02"), Doubt: st.Doubt}
			if st.On {
				p.Where = fmt.Sprintf("at %s", st.Place)
			}
			if !st.Until.IsZero() {
				p.Until = st.Until.Format("2006-01-02")
			}
			out = append(out, p)
		}
	}
	return out
}
