//go:build !linux

package cli

func openCAN(iface string) (canSource, error) {
	return nil, noCAN(iface, "live CAN is there on Linux only", "record on a Linux machine with candump -l, and convert the file")
}
