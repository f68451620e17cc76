package dossier

import "runproof/fit"

// NodeNames returns what each node is called on paper and in the monitor, by
// serial: numbered from left to right, with its head, so that a list sorted by
// name runs across the drill.
func NodeNames(f *fit.Fit) map[string]string {
	names := make(map[string]string, len(f.Nodes))
	for _, n := range nameNodes(f) {
		names[n.Serial] = n.Name
	}
	return names
}
