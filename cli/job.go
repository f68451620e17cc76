package cli

type jobCmd struct {
	New     jobNewCmd     `cmd:"" help:"Open a job: one drill's file."`
	List    jobListCmd    `cmd:"" help:"List jobs, all or those that hold some words."`
	Show    jobShowCmd    `cmd:"" help:"Say what stands of a job: its fit, its nodes, what was there last."`
	History jobHistoryCmd `cmd:"" help:"List all that happened to a drill."`
	Add     jobAddCmd     `cmd:"" help:"Add documents, pictures or a note to a job."`
	AddLog  jobAddLogCmd  `cmd:"" help:"Add a recording to a job."`
	Export  jobExportCmd  `cmd:"" help:"Pack a job into one zip that anybody can read."`
	Import  jobImportCmd  `cmd:"" help:"Bring a packed job into this ledger."`
	Get     jobGetCmd     `cmd:"" help:"Write a file of a job: the fit that stands, or any other."`
}
