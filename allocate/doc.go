// Package allocate decides which sensing node serves which runs, and from
// which port: the allocation rule of the contract, solved exactly or with a
// proved gap.
//
// A node is mounted at a head, any head of the drill. It may serve a run of
// head g from head h if the distance between g and h plus sensor_from_head_m is
// at most tube_max_m. Every node leaves spare_ports free. Every run of a sensed
// product is served, a closed one too: it may be opened again. The best
// allocation has
//
//	(1) fewest nodes, then
//	(2) fewest pairs of a node and a head that it serves, then
//	(3) least total tube: the sum over runs of the distance from node to
//	    head plus sensor_from_head_m. The second part is the same for every
//	    allocation and decides nothing.
//
// Solve answers this in plain numbers (Problem, Solution); Plan deals the answer
// out to serial numbers and ports; Fit makes the whole document.
//
// Serials ascend from the front rank of heads to the back, left to right within
// a rank; nodes at one head follow the leftmost head and outlet that they
// serve. Ports ascend by head from left to right, then by outlet. Where a head
// is shared by several nodes, each gets neighbouring outlets.
package allocate
