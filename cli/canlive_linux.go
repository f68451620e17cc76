package cli

import (
	"encoding/binary"
	"errors"
	"fmt"
	"net"
	"strings"
	"time"

	"golang.org/x/sys/unix"

	"runproof/flowlog/can"
	"runproof/input"
)

// canSocket is a raw CAN socket (linux/can/raw.h).
type canSocket struct {
	fd      int
	iface   string
	names   map[int]string // interfaces by index
	raw     [can.SocketFrameFD]byte
	control [128]byte
}

// anyCAN is the name under which all interfaces are listened to.
const anyCAN = "any"

// openCAN listens to an interface, or to any.
func openCAN(iface string) (canSource, error) {
	index := 0
	if iface != anyCAN {
		at, err := net.InterfaceByName(iface)
		if err != nil {
			return nil, noCAN(iface, "there is no interface "+iface, otherInterfaces(iface))
		}
		index = at.Index
	}
	fd, err := unix.Socket(unix.AF_CAN, unix.SOCK_RAW|unix.SOCK_CLOEXEC, unix.CAN_RAW)
	if err != nil {
		return nil, noCAN(iface, "the system gives no CAN socket: "+err.Error(), "load its driver (modprobe can_raw)")
	}
	s := &canSocket{fd: fd, iface: iface, names: map[int]string{}}
	if err := errors.Join(s.options(), unix.Bind(fd, &unix.SockaddrCAN{Ifindex: index})); err != nil {
		s.close()
		return nil, noCAN(iface, "cannot be listened to: "+err.Error(), "name a CAN interface that is up (ip link set "+iface+" up type can bitrate 250000)")
	}
	return s, nil
}

// otherInterfaces names those that look like CAN.
func otherInterfaces(iface string) string {
	all, _ := net.Interfaces()
	var names []string
	for _, i := range all {
		if strings.Contains(i.Name, "can") {
			names = append(names, i.Name)
		}
	}
	if len(names) == 0 {
		return "this machine has none that looks like CAN; plug the adapter in and load its driver"
	}
	return input.DidYouMean(iface, names)
}

// options: FD frames too, errors as frames, the kernel's stamps and its count of
// frames thrown away, and a wait that ends so that Ctrl-C is heard.
func (s *canSocket) options() error {
	wait := unix.NsecToTimeval((200 * time.Millisecond).Nanoseconds())
	// The kernel gives less than asked where its limit is lower; that is no fault.
	_ = unix.SetsockoptInt(s.fd, unix.SOL_SOCKET, unix.SO_RCVBUF, 4<<20)
	return errors.Join(
		unix.SetsockoptInt(s.fd, unix.SOL_CAN_RAW, unix.CAN_RAW_FD_FRAMES, 1),
		unix.SetsockoptInt(s.fd, unix.SOL_CAN_RAW, unix.CAN_RAW_ERR_FILTER, unix.CAN_ERR_MASK),
		unix.SetsockoptInt(s.fd, unix.SOL_SOCKET, unix.SO_TIMESTAMPNS, 1),
		unix.SetsockoptInt(s.fd, unix.SOL_SOCKET, unix.SO_RXQ_OVFL, 1),
		unix.SetsockoptTimeval(s.fd, unix.SOL_SOCKET, unix.SO_RCVTIMEO, &wait),
	)
}

func (s *canSocket) close() error { return unix.Close(s.fd) }

func (s *canSocket) next() (f canFrame, err error) {
	n, oob, _, from, err := unix.Recvmsg(s.fd, s.raw[:], s.control[:], 0)
	switch {
	case errors.Is(err, unix.EAGAIN), errors.Is(err, unix.EINTR):
		return canFrame{}, nil
	case err != nil:
		return canFrame{}, noCAN(s.iface, "it fell silent: "+err.Error(), "check the adapter, and that the interface is up")
	}
	f.raw, f.bus = s.raw[:n], s.iface
	if at, ok := from.(*unix.SockaddrCAN); ok && s.iface == anyCAN {
		f.bus = s.name(at.Ifindex)
	}
	f.ns, f.drops, err = stampOf(s.control[:oob])
	return f, err
}

// name is the interface of that index.
func (s *canSocket) name(index int) string {
	if name, ok := s.names[index]; ok {
		return name
	}
	name := fmt.Sprintf("if%d", index)
	if i, err := net.InterfaceByIndex(index); err == nil {
		name = i.Name
	}
	s.names[index] = name
	return name
}

// stampOf reads the kernel's time and count of drops beside a frame. A drop count
// that never came is 0.
func stampOf(control []byte) (ns int64, drops uint32, err error) {
	messages, err := unix.ParseSocketControlMessage(control)
	if err != nil {
		return 0, 0, err
	}
	for _, m := range messages {
		switch {
		case m.Header.Level != unix.SOL_SOCKET:
		case m.Header.Type == unix.SCM_TIMESTAMPNS && len(m.Data) >= 16:
			ns = int64(binary.NativeEndian.Uint64(m.Data))*1e9 + int64(binary.NativeEndian.Uint64(m.Data[8:]))
		case m.Header.Type == unix.SCM_TIMESTAMPNS && len(m.Data) >= 8: // 32-bit machines
			ns = int64(binary.NativeEndian.Uint32(m.Data))*1e9 + int64(binary.NativeEndian.Uint32(m.Data[4:]))
		case m.Header.Type == unix.SO_RXQ_OVFL && len(m.Data) >= 4:
			drops = binary.NativeEndian.Uint32(m.Data)
		}
	}
	if ns == 0 {
		return 0, 0, errors.New("the kernel gave a frame without its time")
	}
	return ns, drops, nil
}
