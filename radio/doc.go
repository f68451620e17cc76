// Package radio places the gateway and its antenna: who stands how near, whether
// the cab is seen past the cart, how much the link has to spare, and how far
// people stay away.
//
//	r, results := radio.Plan(drill, catalogue)
//
//	loss    20 log10(4 pi d f / c)                          dB   ITU-R P.525
//	link    P = P_t + G_t + G_r - losses                    dBm  Friis
//	people  R = sqrt(EIRP / (4 pi S)), S by 47 CFR 1.1310 and ICNIRP 2020
//	sight   the first Fresnel zone, r = sqrt(lambda d1 d2 / (d1 + d2))
//
// Which place is best depends on where the air cart rides: between tractor and
// drill its tanks stand in the way. Places of cab and cart are usual ones where
// nobody measured, and the results say so. The radio's own approval and the law
// of the land come first.
package radio
