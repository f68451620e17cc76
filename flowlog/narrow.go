package flowlog

import (
	"encoding/binary"
	"math/bits"
	"slices"
)

// Narrow is a column of a batch whose values are whole numbers from 0 to 255:
// most counts of most recordings. A byte for each takes an eighth of the memory,
// and eight are added up at a time. Counts has NarrowSpare bytes of capacity
// behind its length.
type Narrow struct {
	Counts []uint8 // 0 where nothing was reported
	Absent []int32 // the samples where nothing was, ascending
}

// NarrowSpare is how many bytes behind the counts may be read without meaning.
const NarrowSpare = 8

// NarrowReader is a Reader that can give columns of ports as Narrow.
type NarrowReader interface {
	Reader
	// ReadNarrow is Read, save that a column of a port may come in b.Narrow; its
	// b.Values is then empty.
	ReadNarrow(b *Batch) error
}

// ReadNarrow reads from r with narrow columns where it can give them.
func ReadNarrow(r Reader, b *Batch) error {
	if n, ok := r.(NarrowReader); ok {
		return n.ReadNarrow(b)
	}
	return r.Read(b)
}

// NarrowColumn is column c where it is narrow, else nil.
func (b *Batch) NarrowColumn(c int) *Narrow {
	if c < len(b.Narrow) && len(b.Narrow[c].Counts) > 0 {
		return &b.Narrow[c]
	}
	return nil
}

// Widen makes all columns those of Values.
func (b *Batch) Widen() {
	for c := range b.Narrow {
		b.WidenColumn(c, b.Len())
	}
}

// WidenColumn makes column c one of Values with so many samples, of which it
// fills those that were narrow.
func (b *Batch) WidenColumn(c, samples int) {
	n := &b.Narrow[c]
	if len(n.Counts) == 0 {
		return
	}
	v := slices.Grow(b.Values[c][:0], samples)[:samples]
	for i, x := range n.Counts[:min(samples, len(n.Counts))] {
		v[i] = float64(x)
	}
	for _, i := range n.Absent {
		if int(i) < samples {
			v[i] = Missing()
		}
	}
	b.Values[c], n.Counts, n.Absent = v, n.Counts[:0], n.Absent[:0]
}

// room makes room for so many narrow counts.
func (n *Narrow) room(samples int) {
	if cap(n.Counts) < samples+NarrowSpare {
		n.Counts = make([]uint8, samples+NarrowSpare)
	}
	n.Counts, n.Absent = n.Counts[:samples], n.Absent[:0]
}

// GrowNarrow is Grow for a reader of narrow columns: those of ports get their
// room in Narrow, the others in Values.
func (b *Batch) GrowNarrow(columns []Column, samples int) {
	b.Reset(len(columns))
	b.TimeNS = slices.Grow(b.TimeNS, samples)[:samples]
	for len(b.Narrow) < len(columns) {
		b.Narrow = append(b.Narrow, Narrow{})
	}
	for c := range columns {
		if columns[c].Kind == Port {
			b.Narrow[c].room(samples)
		} else {
			b.Values[c] = slices.Grow(b.Values[c], samples)[:samples]
		}
	}
}

// Every second byte of eight.
const evenBytes = 0x00ff00ff00ff00ff

// Sum is the sum of the counts of samples from..to.
func (n *Narrow) Sum(from, to int) (total int) {
	v := n.Counts[from:to]
	for len(v) >= 8 {
		// 128 times two bytes stay below 65536
		k := min(len(v)&^7, 8*128)
		var pairs uint64
		for i := 0; i < k; i += 8 {
			w := binary.LittleEndian.Uint64(v[i:])
			pairs += w&evenBytes + w>>8&evenBytes
		}
		total += int(pairs&0xffff + pairs>>16&0xffff + pairs>>32&0xffff + pairs>>48)
		v = v[k:]
	}
	for _, x := range v {
		total += int(x)
	}
	return total
}

// AbsentIn is how many of the samples from..to have no value.
func (n *Narrow) AbsentIn(from, to int) int {
	if len(n.Absent) == 0 {
		return 0
	}
	a, _ := slices.BinarySearch(n.Absent, int32(from))
	b, _ := slices.BinarySearch(n.Absent[a:], int32(to))
	return b
}

// Rows are sums of the samples of several columns.
type Rows struct {
	sums   []uint32
	lanes  []uint64 // of each eight samples two words: those with even numbers and those with odd ones, 16 bits each
	narrow int      // columns in lanes
}

// Reset empties the sums and makes room for so many samples.
func (r *Rows) Reset(samples int) {
	r.sums = append(r.sums[:0], make([]uint32, samples)...)
	r.lanes = append(r.lanes[:0], make([]uint64, (samples+7)/8*2)...)
	r.narrow = 0
}

// Add adds a column.
func (r *Rows) Add(n *Narrow) {
	if r.narrow == 257 { // times 255 is what 16 bits hold
		r.settle()
	}
	r.narrow++
	v := n.Counts[:(len(n.Counts)+7)&^7]
	for i, lanes := 0, r.lanes; i+8 <= len(v); i += 8 {
		w := binary.LittleEndian.Uint64(v[i:])
		lanes[i/4] += w & evenBytes
		lanes[i/4+1] += w >> 8 & evenBytes
	}
}

// settle takes what the lanes hold into sums.
func (r *Rows) settle() {
	for i := range r.sums {
		r.sums[i] += uint32(r.lanes[i/8*2+i&1] >> (i % 8 / 2 * 16) & 0xffff)
	}
	clear(r.lanes)
	r.narrow = 0
}

// Sums are the sums, by sample, good until the next Reset.
func (r *Rows) Sums() []uint32 {
	if r.narrow > 0 {
		r.settle()
	}
	return r.sums
}

// AbsentFrom are the samples without a value from that one on.
func (n *Narrow) AbsentFrom(from int) []int32 {
	if len(n.Absent) == 0 {
		return nil
	}
	a, _ := slices.BinarySearch(n.Absent, int32(from))
	return n.Absent[a:]
}

// FewSamples is the most samples that Few takes at a time.
const FewSamples = 8

// fewBytes masks the first bytes of eight.
var fewBytes = [FewSamples + 1]uint64{0, 1<<8 - 1, 1<<16 - 1, 1<<24 - 1, 1<<32 - 1, 1<<40 - 1, 1<<48 - 1, 1<<56 - 1, 1<<64 - 1}

// Streak is how often the last count has come in a row.
type Streak struct {
	Last  uint8
	Times int
}

// Few sums up parts of the column that follow each other from a sample on. Each
// part ends before the sample that ends says; it has one to FewSamples samples, all
// with a value. It also tells the streak behind each part; before is that at the
// start.
func (n *Narrow) Few(from int, ends []int32, before Streak, sums []float64, times []int32) Streak {
	v := n.Counts[:cap(n.Counts)]
	last, streak := uint64(before.Last), before.Times
	sums, times = sums[:len(ends)], times[:len(ends)]
	for j, end := range ends {
		k := int(end) - from
		mask := fewBytes[k]
		w := binary.LittleEndian.Uint64(v[from:]) & mask
		pairs := w&evenBytes + w>>8&evenBytes
		sums[j] = float64(int64(pairs * 0x0001000100010001 >> 48))
		if differs := (w ^ (w<<8 | last)) & mask; differs == 0 {
			streak += k
		} else {
			streak = k - (63-bits.LeadingZeros64(differs))>>3
		}
		last = w >> (8 * uint(k-1) & 63)
		times[j] = int32(streak)
		from = int(end)
	}
	return Streak{uint8(last), streak}
}
