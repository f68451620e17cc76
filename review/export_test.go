package review

// RunByRun is the options with every frame judged run by run.
func RunByRun(o Options) Options {
	o.runByRun = true
	return o
}
