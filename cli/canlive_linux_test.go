package cli

import (
	"encoding/binary"
	"os/exec"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// TestVirtualCAN listens to a virtual bus, where the kernel has one and lets this
// user make it.
func TestVirtualCAN(t *testing.T) {
	const name = "vcanrun0"
	if out, err := exec.Command("ip", "link", "add", "dev", name, "type", "vcan").CombinedOutput(); err != nil {
		t.Skipf("no virtual CAN here: %s", strings.TrimSpace(string(out)))
	}
	defer exec.Command("ip", "link", "del", name).Run()
	if out, err := exec.Command("ip", "link", "set", name, "mtu", "72", "up").CombinedOutput(); err != nil {
		t.Fatalf("%s", out)
	}
	listener, err := openCAN(name)
	if err != nil {
		t.Fatal(err)
	}
	defer listener.close()
	sender, err := openCAN(name)
	if err != nil {
		t.Fatal(err)
	}
	defer sender.close()
	for _, want := range socketFrames(t, "(1.5) can0 18FF4091#E8BBBFB4D5196EA7\n(1.6) can0 123#R8\n(1.7) can0 18FF4091##1000102030405060708090A0B\n") {
		before := time.Now().UnixNano()
		if _, err := unix.Write(sender.(*canSocket).fd, want.raw); err != nil {
			t.Fatal(err)
		}
		got, err := listener.next()
		if err != nil || string(got.raw) != string(want.raw) || got.bus != name || got.ns < before-1e9 || got.ns > time.Now().UnixNano() {
			t.Errorf("%+v, %v, want %x", got, err, want.raw)
		}
	}
	if got, err := listener.next(); err != nil || len(got.raw) > 0 {
		t.Errorf("%+v, %v on a silent bus", got, err)
	}
}

// The kernel's message beside a frame, by socket(7) and its headers: 64-bit time
// and count of drops.
func TestStamps(t *testing.T) {
	put := func(b []byte, kind int32, data ...uint64) []byte {
		m := make([]byte, unix.CmsgSpace(8*len(data)))
		binary.NativeEndian.PutUint64(m, uint64(unix.CmsgLen(8*len(data))))
		binary.NativeEndian.PutUint32(m[8:], unix.SOL_SOCKET)
		binary.NativeEndian.PutUint32(m[12:], uint32(kind))
		for i, d := range data {
			binary.NativeEndian.PutUint64(m[16+8*i:], d)
		}
		return append(b, m...)
	}
	if unix.CmsgLen(0) != 16 {
		t.Skip("a machine of 32 bits")
	}
	control := put(put(nil, unix.SCM_TIMESTAMPNS, 1778577330, 3000123), unix.SO_RXQ_OVFL, 7)
	if ns, drops, err := stampOf(control); ns != 1778577330_003000123 || drops != 7 || err != nil {
		t.Errorf("%d, %d, %v", ns, drops, err)
	}
	if _, _, err := stampOf(nil); err == nil {
		t.Error("a frame without a time was taken")
	}
}
