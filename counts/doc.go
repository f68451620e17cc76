// Package counts holds the law of counts and shares: what a sensor in a seed
// hose can be expected to count, how sure a share of a head's flow is, and how
// often a row of unlucky samples looks like a blocked run. It is pure
// mathematics: walk, alarm, review and simulate all ask it.
//
// Particles arrive at random. A count in one sample is [Poisson]; swirling air
// and pulsing rollers make it [NegativeBinomial]. Given the total of its head
// a run's count depends on its share alone, so speed and rate cancel: it is
// [Binomial], or [BetaBinomial] where the share itself wavers, and all runs of
// a head together are [DirichletMultinomial]. [FitNegativeBinomial],
// [FitShare] and [FitShares] find the laws that made the counts seen, by
// maximum likelihood; counts that are less spread than the plain law falls
// back to it and say so.
//
// An alarm "d low samples in a row" with P(low) = q on a sound run takes
//
//	E N = q^-1 + ... + q^-d   samples  (Feller 1968, XIII.7)
//
// and sounds p q^d times a sample in the long run; RunLength has the whole
// law, [Lows] the case in which lows cling together. [CUSUM] and
// [NormalCUSUM] give the mean run length of the best sequential test, by an
// elimination without subtraction that keeps its digits at 1e15 samples and
// more. [DeadTime] and [PulsingFano] say what sensors and rollers do to the
// counts.
//
// The package fits no alarm rule and reads no file: see alarm and flowlog.
package counts
