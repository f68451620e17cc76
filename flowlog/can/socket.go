package can

import (
	"encoding/binary"
	"fmt"
	"strconv"
)

// The sizes and bits of a frame as a raw CAN socket of Linux gives it
// (linux/can.h: struct can_frame and struct canfd_frame).
const (
	SocketFrame   = 16 // bytes of a classic frame
	SocketFrameFD = 72 // bytes of an FD frame

	socketExtended = 1 << 31
	socketRemote   = 1 << 30
	socketData     = 8 // where data begin
)

// AppendSocketFrame appends a frame from a raw CAN socket to dst as a line of a
// recording, with its end. ns is the time since 1970, bus the interface's name.
// What comes live is so read by the same reader as what was recorded.
func AppendSocketFrame(dst, raw []byte, ns int64, bus string) ([]byte, error) {
	if len(raw) != SocketFrame && len(raw) != SocketFrameFD {
		return dst, fmt.Errorf("a frame of %d bytes is neither a classic one of %d nor an FD one of %d", len(raw), SocketFrame, SocketFrameFD)
	}
	id, length := binary.NativeEndian.Uint32(raw), int(raw[4])
	if length > len(raw)-socketData {
		return dst, fmt.Errorf("a frame says that it has %d data bytes, more than the %d that fit", length, len(raw)-socketData)
	}
	if ns < 0 || ns/1e9 > maxSeconds {
		return dst, fmt.Errorf("a frame is stamped %d ns, which is no time since 1970", ns)
	}
	dst = append(dst, '(')
	dst = strconv.AppendInt(dst, ns/1e9, 10)
	dst = append(dst, '.')
	for unit, rest := int64(1e8), ns%1e9; unit > 0; unit /= 10 {
		dst = append(dst, '0'+byte(rest/unit%10))
	}
	dst = append(append(append(dst, ") "...), bus...), ' ')
	switch {
	case id&errorFlag != 0:
		dst = appendHex(dst, id&(2*errorFlag-1), 8)
	case id&socketExtended != 0:
		dst = appendHex(dst, id&uint32(id29Mask), 8)
	default:
		dst = appendHex(dst, id&maxID11, 3)
	}
	dst = append(dst, '#')
	switch {
	case len(raw) == SocketFrameFD:
		dst = append(dst, '#', upperHex[raw[5]&15])
	case id&socketRemote != 0:
		return append(dst, 'R', upperHex[length], '\n'), nil
	}
	for _, b := range raw[socketData : socketData+length] {
		dst = append(dst, upperHex[b>>4], upperHex[b&15])
	}
	return append(dst, '\n'), nil
}

// AppendDrops appends the line by which a recording tells that its recorder lost
// frames.
func AppendDrops(dst []byte, lost, total uint32, bus string) []byte {
	return fmt.Appendf(dst, "DROPCOUNT: dropped %d CAN frames on '%s' socket (total drops %d)\n", lost, bus, total)
}
