package cli

type logCmd struct {
	Convert logConvertCmd `cmd:"" help:"Write a flow log in another format."`
	Map     logMapCmd     `cmd:"" help:"Propose the map through which a recording of any form is read."`
	Join    logJoinCmd    `cmd:"" help:"Give a flow log the positions of another recorder, whose clock differs."`
	Info    logInfoCmd    `cmd:"" help:"Say what a flow log holds: span, interval, gaps, ports, what is missing."`
}

func (*logCmd) Help() string {
	return "A flow log is particle counts over time, one column a port. CSV, plain or packed with gzip or Zstandard, and Parquet " +
		"are read by content and written by the end of the name: .csv, .csv.gz, .csv.zst, .parquet."
}
