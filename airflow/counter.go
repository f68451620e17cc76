package airflow

// DeadS is how long a particle is in a counter's window: (window + d) / speed.
// Another that enters meanwhile is not told apart.
func DeadS(windowM, diameterM, particleMPS float64) float64 {
	return (windowM + diameterM) / particleMPS
}

// SeenHz is the count that a counter with a dead time shows of particles that
// arrive at random at rateHz (non-paralysable): n / (1 + n tau).
func SeenHz(rateHz, deadS float64) float64 { return rateHz / (1 + rateHz*deadS) }

// LossSeen is the loss of count that a counter shows when the flow, rateHz
// before, loses the fraction lost: less than lost, since fewer particles merge.
func LossSeen(rateHz, deadS, lost float64) float64 {
	return 1 - SeenHz(rateHz*(1-lost), deadS)/SeenHz(rateHz, deadS)
}
