package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"runproof/flowlog"
	"runproof/flowlog/can"
	"runproof/flowlog/formats"
	"runproof/input"
)

// liveCAN is the interface that a name such as can:can0 means.
func liveCAN(name string) (iface string, ok bool) {
	iface, ok = strings.CutPrefix(name, "can:")
	if _, err := os.Stat(name); err == nil {
		return "", false
	}
	return iface, ok
}

// canSource gives frames as a raw CAN socket does.
type canSource interface {
	// next waits for a frame, for a fraction of a second at most: frame is empty
	// when none came.
	next() (canFrame, error)
	close() error
}

// canFrame is a frame from a socket; what it holds is good until the next one.
type canFrame struct {
	raw   []byte // struct can_frame or canfd_frame
	ns    int64  // when the kernel got it, since 1970
	bus   string
	drops uint32 // frames that the kernel has thrown away so far
}

// OpenLive listens to a CAN interface until length is over (0 is without end) or
// the person presses Ctrl-C, and then opens what came as a log.
func (s *Shell) OpenLive(name, iface string, length time.Duration, opts []formats.Option) (r flowlog.Reader, closeLog func() error, err error) {
	src, err := openCAN(iface)
	if err != nil {
		return nil, nil, err
	}
	defer src.close()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if length > 0 {
		var cancel func()
		ctx, cancel = context.WithTimeout(ctx, length)
		defer cancel()
	}
	return s.openHeard(ctx, name, iface, src, opts)
}

// openHeard opens what src gives until ctx is done. It waits on disk, as text:
// only at the end is it known which messages there are.
func (s *Shell) openHeard(ctx context.Context, name, iface string, src canSource, opts []formats.Option) (r flowlog.Reader, closeLog func() error, err error) {
	f, done, err := spool(name, strings.NewReader(""))
	if err != nil {
		return nil, nil, err
	}
	kept := false
	defer func() {
		if err != nil && !kept {
			done()
		}
	}()
	progress := s.Progress("frames heard on " + iface)
	frames, broke, err := listenCAN(ctx, src, f, progress)
	progress.Done()
	switch {
	case err != nil:
		return nil, nil, err
	case frames == 0:
		return nil, nil, noCAN(iface, "no frame came", "check that the bus is powered and the interface has its bit rate (ip -details link show "+iface+")")
	case broke != nil:
		s.Warn("%v; the %s before are kept", broke, plural(frames, "frame"))
		s.Attention()
	}
	size, err := f.Seek(0, io.SeekCurrent)
	if err == nil {
		_, err = f.Seek(0, io.SeekStart)
	}
	if err != nil {
		return nil, nil, missingFile(name, err)
	}
	r, closeReader, openErr := formats.Open(formats.Source{Name: name, Stream: f, At: f, Size: size}, opts...)
	if openErr != nil {
		// Hours of listening must not be lost to a wrong DBC.
		kept = true
		return nil, nil, errors.Join(openErr, fmt.Errorf("what was heard is kept in %s, to be converted with another DBC", f.Name()), f.Close())
	}
	ahead, stop := flowlog.Ahead(r)
	return ahead, func() error {
		stop()
		closeReader()
		return done()
	}, nil
}

// listenCAN writes what src gives until ctx is done. When the source fails after
// frames have come, these count: broke is what ended them.
func listenCAN(ctx context.Context, src canSource, w io.Writer, progress *Progress) (frames int, broke, err error) {
	out := bufio.NewWriterSize(w, 64<<10)
	var line []byte
	drops := uint32(0)
	shown := time.Now()
	for ctx.Err() == nil {
		if time.Since(shown) > time.Second {
			progress.Show(frames)
			shown = time.Now()
		}
		f, err := src.next()
		if err != nil && frames == 0 {
			return 0, nil, err
		}
		if err != nil {
			broke = err
			break
		}
		if len(f.raw) == 0 {
			continue
		}
		line = line[:0]
		if f.drops != drops {
			line = can.AppendDrops(line, f.drops-drops, f.drops, f.bus)
			drops = f.drops
		}
		if line, err = can.AppendSocketFrame(line, f.raw, f.ns, f.bus); err != nil {
			return frames, nil, err
		}
		if _, err := out.Write(line); err != nil {
			return frames, nil, err
		}
		frames++
	}
	return frames, broke, out.Flush()
}

// noCAN is the fault of an interface that cannot be listened to.
func noCAN(iface, what, remedy string) error {
	return input.Fault{Place: input.Place{File: "can:" + iface}, What: what, Remedy: remedy}
}
