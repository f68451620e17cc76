package schema

// said describes the properties whose fields have no comment, mostly because
// their name says it to a reader of Go. TestGenerated fails when a field gets a
// comment of its own: its entry goes then.
var said = map[string]string{
	"runproof/fit.Fit.Made":         "what made this revision, and from what",
	"runproof/fit.Fit.Drill":        "the drill as described, so that later steps need this one document",
	"runproof/fit.Fit.Allocation":   "what the planner says of its answer",
	"runproof/fit.Node.Serial":      "serial number, by which logs call the node",
	"runproof/fit.Node.Ports":       "how many ports it has, numbered from 1",
	"runproof/fit.Link.Run":         "id of the run: head and outlet",
	"runproof/fit.Link.Node":        "serial of the node that listens to it",
	"runproof/fit.Link.Port":        "port of that node",
	"runproof/fit.Allocation.Nodes": "nodes used",
	"runproof/parts.Kit.Lines":      "one line for each part",
	"runproof/parts.Line.Kind":      "what the part is for",
	"runproof/parts.Line.Name":      "what a person calls the part",
}
