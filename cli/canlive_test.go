package cli

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"runproof/flowlog"
	"runproof/flowlog/can"
	"runproof/flowlog/formats"
)

// replay gives the frames of a recording as a raw CAN socket would, and then
// silence or a failure.
type replay struct {
	frames []canFrame
	at     int
	end    error
	over   func()
}

func (r *replay) close() error { return nil }

func (r *replay) next() (canFrame, error) {
	if r.at == len(r.frames) {
		r.over()
		return canFrame{}, r.end
	}
	r.at++
	return r.frames[r.at-1], nil
}

// socketFrames makes struct can_frame and struct canfd_frame (linux/can.h) of a
// recording's lines.
func socketFrames(t *testing.T, log string) []canFrame {
	t.Helper()
	var frames []canFrame
	for line := range strings.Lines(log) {
		part := strings.Fields(line)
		id, data, _ := strings.Cut(part[2], "#")
		ns, _, err := flowlog.ParseTime(strings.Trim(part[0], "()"))
		if err != nil {
			t.Fatal(err)
		}
		raw := make([]byte, can.SocketFrame)
		number, err := hex.DecodeString(strings.Repeat("0", 8-len(id)) + id)
		if err != nil {
			t.Fatal(err)
		}
		flags := binary.BigEndian.Uint32(number)
		if len(id) == 8 && flags < 1<<29 {
			flags |= 1 << 31
		}
		switch {
		case data == "R8":
			flags |= 1 << 30
			raw[4], data = 8, ""
		case strings.HasPrefix(data, "#"):
			raw = make([]byte, can.SocketFrameFD)
			raw[5], data = data[1]-'0', data[2:]
		}
		bytes, err := hex.DecodeString(data)
		if err != nil {
			t.Fatal(err)
		}
		binary.NativeEndian.PutUint32(raw, flags)
		if len(bytes) > 0 {
			raw[4] = byte(len(bytes))
		}
		copy(raw[8:], bytes)
		frames = append(frames, canFrame{raw: raw, ns: ns, bus: part[1]})
	}
	return frames
}

func sampleDatabase(t *testing.T) []formats.Option {
	t.Helper()
	s := &Shell{Out: &bytes.Buffer{}, Err: &bytes.Buffer{}}
	opts, err := (&meaning{DBC: canSample + "runcounts.dbc"}).options(s)
	if err != nil {
		t.Fatal(err)
	}
	return opts
}

// What comes live is what a recording of it holds.
func TestLiveCANIsTheRecording(t *testing.T) {
	text, err := os.ReadFile(canSample + "runcounts.log")
	if err != nil {
		t.Fatal(err)
	}
	src := &replay{frames: socketFrames(t, string(text))}
	if len(src.frames) != 1102 {
		t.Fatalf("%d frames", len(src.frames))
	}
	opts := sampleDatabase(t)
	var errs bytes.Buffer
	s := &Shell{Out: &bytes.Buffer{}, Err: &errs}
	ctx, cancel := context.WithCancel(context.Background())
	src.over = cancel
	r, closeLog, err := s.openHeard(ctx, "can:can0", "can0", src, opts)
	if err != nil {
		t.Fatal(err)
	}
	live, err := flowlog.ReadAll(r)
	if err := errors.Join(err, closeLog()); err != nil {
		t.Fatal(err)
	}
	r, _, closeLog, err = s.OpenLog(canSample+"runcounts.log", opts...)
	if err != nil {
		t.Fatal(err)
	}
	recorded, err := flowlog.ReadAll(r)
	if err := errors.Join(err, closeLog()); err != nil {
		t.Fatal(err)
	}
	if a, b := csvOf(t, live), csvOf(t, recorded); a != b || live.Len() != 1095 {
		t.Errorf("%d records live, %d recorded; same text: %v", live.Len(), recorded.Len(), a == b)
	}
	if errs.Len() > 0 {
		t.Error(errs.String())
	}
}

func csvOf(t *testing.T, l *flowlog.Log) string {
	t.Helper()
	var b bytes.Buffer
	w, err := formats.Create("-", &b, l.Schema)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(w.Write(&l.Batch), w.Close()); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// An adapter pulled out in the middle leaves what came before; lost frames are
// told.
func TestLiveCANBreaksOff(t *testing.T) {
	frames := socketFrames(t, "(1778577330.003000) can0 18FF4091#E8BBBFB4D5196EA7\n(1778577330.203000) can0 18FF4091#ECCB3FB8E51ABEA7\n")
	frames[1].drops = 7
	src := &replay{frames: frames, end: noCAN("can0", "it fell silent: network is down", "check the adapter")}
	src.over = func() {}
	var errs bytes.Buffer
	s := &Shell{Out: &bytes.Buffer{}, Err: &errs}
	r, closeLog, err := s.openHeard(context.Background(), "can:can0", "can0", src, sampleDatabase(t))
	if err != nil {
		t.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil || l.Len() != 2 || !s.attention || !strings.Contains(errs.String(), "network is down") || !strings.Contains(errs.String(), "the 2 frames before are kept") {
		t.Errorf("%v, %d records, %s", err, l.Len(), errs.String())
	}
	remarks := s.remarksOf(r)
	if len(remarks) != 1 || !remarks[0].Lost || !strings.Contains(remarks[0].What, "DROPCOUNT: dropped 7 CAN frames on 'can0' socket (total drops 7)") {
		t.Errorf("%+v", remarks)
	}
	if err := closeLog(); err != nil {
		t.Error(err)
	}
}

func TestLiveCANOfASilentBus(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Millisecond)
	defer cancel()
	s := &Shell{Out: &bytes.Buffer{}, Err: &bytes.Buffer{}}
	_, _, err := s.openHeard(ctx, "can:can0", "can0", &replay{over: func() {}}, nil)
	if err == nil || !strings.Contains(err.Error(), "can:can0: no frame came; check that the bus is powered") {
		t.Error(err)
	}
}

// What was heard outlives a DBC of another bus.
func TestLiveCANOfAnotherBus(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	src := &replay{frames: socketFrames(t, "(1778577330.003000) can0 7E8#E8BBBFB4D5196EA7\n")}
	ctx, cancel := context.WithCancel(context.Background())
	src.over = cancel
	s := &Shell{Out: &bytes.Buffer{}, Err: &bytes.Buffer{}}
	_, _, err := s.openHeard(ctx, "can:can0", "can0", src, sampleDatabase(t))
	if err == nil || !strings.Contains(err.Error(), "can:can0: none of its frames is in the DBC; it has 7E8 (1)") {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(err.Error(), "what was heard is kept in ")
	name, _, _ := strings.Cut(rest, ",")
	if text, err := os.ReadFile(name); err != nil || string(text) != "(1778577330.003000000) can0 7E8#E8BBBFB4D5196EA7\n" {
		t.Errorf("%q, %v", text, err)
	}
}

func TestLogConvertCAN(t *testing.T) {
	dir := t.TempDir()
	out, dbc := filepath.Join(dir, "out.csv"), canSample+"runcounts-pgn.dbc"
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{canSample + "runcounts.log"}, "this is a CAN recording, and its frames do not say what they hold; CAN needs --dbc FILE"},
		{[]string{"can:can0"}, "can:can0: frames do not say what they hold; CAN needs --dbc FILE"},
		{[]string{"can:nosuch9", "--dbc", dbc}, "can:nosuch9: "},
		{[]string{canSample + "runcounts.log", "--dbc", dbc, "--for", "2s"}, "take out --for"},
		{[]string{canSample + "runcounts.log", "--dbc", canSample + "truth.csv"}, "truth.csv: no message is described in it"},
		{[]string{canSample + "runcounts.log#can7", "--dbc", dbc}, "it has no frames of interface can7; did you mean can0?"},
	} {
		status, _, errw := runproof(t, "", append(append([]string{"log", "convert"}, c.args...), "-o", out)...)
		if status != ExitInput || !strings.Contains(errw, c.want) {
			t.Errorf("%v: %d, %s", c.args, status, errw)
		}
		if _, err := os.Stat(out); err == nil {
			t.Errorf("%v: a file was written", c.args)
		}
	}
	status, summary, errw := runproof(t, "", "log", "convert", canSample+"runcounts.log#can0", "--dbc", dbc, "-o", out)
	// One frame of the sample is short: that wants attention.
	if status != ExitAttention || errw != "1 frame of RunCounts@91 left out: too short for the message\n" || !strings.HasSuffix(summary, "1094 samples of 41 columns in "+out+"\n") {
		t.Errorf("%d, %s, %s", status, summary, errw)
	}
}
