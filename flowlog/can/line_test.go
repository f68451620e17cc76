package can

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestLines: the forms of text that candump, log2long and asc2log of can-utils
// write (2020.11, lib.h and candump's manual; trailing direction and raw length
// by later versions, from memory), and what is none of them.
func TestLines(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"(1778577330.003000) can0 18FF4091#E8BBBFB4D5196EA7", "can0 1778577330003000000 18FF4091 data e8bbbfb4d5196ea7"},
		{"(1778577330.003000)  can0  18FF4091   [8]  E8 BB BF B4 D5 19 6E A7", "can0 1778577330003000000 18FF4091 data e8bbbfb4d5196ea7"},
		{"  can0  18FF4091   [8]  E8 BB BF B4 D5 19 6E A7", "can0 - 18FF4091 data e8bbbfb4d5196ea7"},
		{" (2026-05-12 09:15:30.003000)  can0  123   [2]  01 02", "can0 1778577330003000000 123 data 0102"},
		{" (000.003700)  can0  123   [0]", "can0 3700000 123 data "},
		{"(1.5) vcan12 00000123#DEADBEEF R", "vcan12 1500000000 00000123 data deadbeef"},
		{"(1.5) vcan12 00000123#DEADBEEF T", "vcan12 1500000000 00000123 data deadbeef"},
		{"(1.5) can0 123#1122334455667788_E", "can0 1500000000 123 data 1122334455667788"},
		{"(1) can0 123#", "can0 1000000000 123 data "},
		{"(1.5) can0 18FF4091#R", "can0 1500000000 18FF4091 remote "},
		{"(1.5) can0 18FF4091#R8", "can0 1500000000 18FF4091 remote "},
		{"  can0  18FF4091   [8]  remote request", "can0 - 18FF4091 remote "},
		{"(1.5) can0 18FF4091##1000102030405060708090A0B", "can0 1500000000 18FF4091 data fd 000102030405060708090a0b"},
		{"(1.5)  can0  18FF4091  [12]  00 01 02 03 04 05 06 07 08 09 0A 0B", "can0 1500000000 18FF4091 data fd 000102030405060708090a0b"},
		{"(1.5)  can0  18FF4091  [08]  01 02 03 04 05 06 07 08", "can0 1500000000 18FF4091 data fd 0102030405060708"},
		{"(1.5) can0 20000080#0000000000000000", "can0 1500000000 00000080 error 0000000000000000"},
		{"  can0  20000080   [8]  00 00 00 00 00 00 00 00   ERRORFRAME", "can0 - 00000080 error 0000000000000000"},
		{"  can0  123   [4]  2E 41 42 2E               '.AB.'", "can0 - 123 data 2e41422e"},
		{"  can0  RX - -  18FF4091   [1]  0A", "can0 - 18FF4091 data 0a"},
		{" (1.5)  can0  TX B E  123  [12]  00 01 02 03 04 05 06 07 08 09 0A 0B", "can0 1500000000 123 data fd 000102030405060708090a0b"},
		{"", "blank"},
		{"   ", "blank"},
		{"DROPCOUNT: dropped 1 CAN frame on 'can0' socket (total drops 1)", "drops"},
		{"\tcontroller-problem{rx-error-passive}", "detail"},
		{"(1.5) can0 18FF409#00", "strange"},             // 7 digits
		{"(1.5) can0 800#00", "strange"},                 // more than 11 bits
		{"(1.5) can0 98FF4091#00", "strange"},            // bit 31, which a DBC has
		{"(1.5) can0 123#112233445566778899", "strange"}, // 9 bytes
		{"(1.5) can0 123##0" + strings.Repeat("00", 13), "strange"},
		{"(1.5) can0 123##0" + strings.Repeat("00", 65), "strange"},
		{"(1.5) can0 123#0", "strange"},
		{"(1.5) can0 123#00 X", "strange"},
		{"(1.5 can0 123#00", "strange"},
		{"(12345678901.5) can0 123#00", "strange"},
		{"(1.5x) can0 123#00", "strange"},
		{"(2026-13-12 09:15:30.003) can0 123#00", "strange"},
		{"(1.5)  can0  123   [2]  01", "strange"},
		{"(1.5)  can0  123   [9]  01 02 03 04 05 06 07 08 09", "strange"},
		{"(1.5)  can0  123   [2]  01`02", "strange"}, // candump -S: bytes swapped
		{"(1.5)", "strange"},
		{"time,4103:1", "strange"},
		{"(1.5) " + strings.Repeat("c", 16) + " 123#00", "strange"},
	} {
		var f frame
		if got := describe(&f, f.read([]byte(c.line))); got != c.want {
			t.Errorf("%q: %s, want %s", c.line, got, c.want)
		}
	}
}

func describe(f *frame, k lineKind) string {
	if k != frameLine {
		return map[lineKind]string{blankLine: "blank", dropLine: "drops", detailLine: "detail", strangeLine: "strange"}[k]
	}
	stamp := "-"
	if f.timed {
		stamp = fmt.Sprint(f.ns)
	}
	id := f.id
	if f.kind == errorFrame {
		id |= extended
	}
	kind := [...]string{"data", "remote", "error"}[f.kind]
	if f.fd {
		kind += " fd"
	}
	return fmt.Sprintf("%s %s %s %s %x", f.bus, stamp, id, kind, f.data[:f.n])
}

// A frame from a socket comes back from its line as it was.
func TestSocketFramesComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ns := rapid.Int64Range(0, 9e18).Draw(t, "ns")
		raw := drawSocketFrame(t)
		line, err := AppendSocketFrame(nil, raw, ns, "can0")
		if err != nil {
			t.Fatal(err)
		}
		var f frame
		if f.read(bytes.TrimSuffix(line, []byte("\n"))) != frameLine || f.ns != ns || string(f.bus) != "can0" {
			t.Fatalf("%q", line)
		}
		id := ident(raw[0]) | ident(raw[1])<<8 | ident(raw[2])<<16 | ident(raw[3]&0x1f)<<24
		remote := f.kind == remoteFrame
		switch {
		case f.id&id29Mask != id, f.fd != (len(raw) == SocketFrameFD), remote != (raw[3]&0x40 != 0):
			t.Fatalf("%q: %v", line, f.id)
		case !remote && !bytes.Equal(f.data[:f.n], raw[8:8+int(raw[4])]):
			t.Fatalf("%q: % X", line, f.data[:f.n])
		case f.kind == dataFrame && f.id.isExtended() != (raw[3]&0x80 != 0):
			t.Fatalf("%q: %v", line, f.id)
		}
	})
}

// drawSocketFrame makes struct can_frame or canfd_frame of linux/can.h, for a
// machine whose lowest byte comes first.
func drawSocketFrame(t *rapid.T) []byte {
	size, lengths := SocketFrame, []byte{0, 1, 2, 3, 4, 5, 6, 7, 8}
	fd := rapid.Bool().Draw(t, "fd")
	if fd {
		size, lengths = SocketFrameFD, append(lengths, 12, 16, 20, 24, 32, 48, 64)
	}
	raw := rapid.SliceOfN(rapid.Byte(), size, size).Draw(t, "bytes")
	raw[4] = rapid.SampledFrom(lengths).Draw(t, "length")
	switch flag := rapid.SampledFrom([]byte{0, 0x80, 0xc0, 0x40, 0x20}).Draw(t, "flags"); {
	case flag == 0 || flag == 0x40: // 11 bits
		raw[1], raw[2], raw[3] = raw[1]&7, 0, flag
	default:
		raw[3] = raw[3]&0x1f | flag
	}
	if fd {
		raw[3] &^= 0x40 // FD has no remote requests
	}
	return raw
}

func TestSocketFramesThatAreNone(t *testing.T) {
	for _, raw := range [][]byte{nil, make([]byte, 15), make([]byte, 71), {4: 9, 15: 0}, {4: 65, 71: 0}} {
		if line, err := AppendSocketFrame(nil, raw, 0, "can0"); err == nil {
			t.Errorf("% X: %q", raw, line)
		}
	}
	if _, err := AppendSocketFrame(nil, make([]byte, 16), -1, "can0"); err == nil {
		t.Error("a time before 1970 was taken")
	}
}

// J1939-21: PGN 65344 is broadcast, 0xEA00 (request) is addressed, with its
// destination outside the number; the data page is bit 16 of it.
func TestParameterGroups(t *testing.T) {
	for _, c := range []struct {
		id  ident
		pgn uint32
		sa  uint8
	}{
		{0x18FF4091, 65344, 0x91},
		{0x0CFF4092, 65344, 0x92},
		{0x18EA91FE, 0xEA00, 0xFE},
		{0x18EAFF03, 0xEA00, 0x03},
		{0x19F80110, 0x1F801, 0x10}, // 129025, data page 1
		{0x1AF00400, 0x2F004, 0x00}, // extended data page
	} {
		if c.id.pgn() != c.pgn || c.id.source() != c.sa {
			t.Errorf("%v: %d from %#x, want %d from %#x", c.id|extended, c.id.pgn(), c.id.source(), c.pgn, c.sa)
		}
	}
}

// Lines come out alike however the stream is cut, whatever their length.
func TestLinesOfAnyStream(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var text strings.Builder
		var want []string
		for range rapid.IntRange(0, 20).Draw(t, "lines") {
			n := rapid.SampledFrom([]int{0, 1, 50, maxLine, maxLine + 1, 300 << 10}).Draw(t, "length")
			end := rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "end")
			line := strings.Repeat("x", n)
			text.WriteString(line + end)
			want = append(want, line)
		}
		if rapid.Bool().Draw(t, "open end") {
			text.WriteString("last")
			want = append(want, "last")
		}
		l := newLines(&pieces{[]byte(text.String()), rapid.IntRange(1, 100<<10).Draw(t, "piece")})
		for i, w := range want {
			got, err := l.next()
			if err != nil || l.number != i+1 {
				t.Fatalf("line %d: number %d, %v", i+1, l.number, err)
			}
			if len(w) <= maxLine && string(got) != w || len(w) > maxLine && !strings.HasPrefix(w, string(bytes.TrimSuffix(got, []byte("\r")))) {
				t.Fatalf("line %d of %d bytes: %d", i+1, len(w), len(got))
			}
		}
		if got, err := l.next(); err == nil || l.broken() != nil {
			t.Fatalf("%q, %v behind the end", got, err)
		}
	})
}

// pieces gives a few bytes at a time.
type pieces struct {
	left []byte
	most int
}

func (p *pieces) Read(b []byte) (int, error) {
	if len(p.left) == 0 {
		return 0, io.EOF
	}
	n := copy(b[:min(len(b), p.most)], p.left)
	p.left = p.left[n:]
	return n, nil
}
