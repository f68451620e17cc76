package power

import (
	"bytes"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// drawTree draws a harness of any shape with loads of both kinds.
func drawTree(t *rapid.T) Tree {
	tree := Tree{SupplyV: rapid.Float64Range(6, 32).Draw(t, "supply")}
	for i := range rapid.IntRange(1, 24).Draw(t, "sections") {
		tree.Sections = append(tree.Sections, Section{
			From:  rapid.IntRange(0, i).Draw(t, "from"),
			Ohm:   rapid.Float64Range(0, 0.3).Draw(t, "ohm"),
			Amps:  rapid.Float64Range(0, 0.4).Draw(t, "amps"),
			Watts: rapid.SampledFrom([]float64{0, 0, 1, 3, 6}).Draw(t, "watts"),
		})
	}
	return tree
}

// Kirchhoff's laws and the balance of energy, whatever the tree: what is fed in
// is what the loads take and the wires burn. The sum of 24 voltages within
// 1e-9 V, at currents under 40 A, bounds the balance by 1e-6 W.
func TestKirchhoffAndEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tree := drawTree(t)
		s, err := Solve(tree)
		if err != nil {
			var none NoOperatingPoint
			if !errors.As(err, &none) || none.At < 1 || none.At > len(tree.Sections) {
				t.Fatalf("error %v names no point", err)
			}
			return
		}
		beyond := make([]float64, len(tree.Sections)+1)
		taken := 0.0
		for i := len(tree.Sections) - 1; i >= 0; i-- {
			sec, v := tree.Sections[i], s.Volts[i+1]
			drawn := sec.Amps + sec.Watts/v
			if off := s.Amps[i] - beyond[i+1] - drawn; math.Abs(off) > 1e-8 {
				t.Fatalf("point %d: %g A appear from nowhere", i+1, off)
			}
			if off := s.Volts[sec.From] - v - sec.Ohm*s.Amps[i]; math.Abs(off) > 1e-9 {
				t.Fatalf("section %d: %g V are lost", i, off)
			}
			beyond[sec.From] += s.Amps[i]
			taken += drawn*v + sec.Ohm*s.Amps[i]*s.Amps[i]
		}
		if fed := tree.SupplyV * s.SupplyA(tree); math.Abs(fed-taken) > 1e-6 {
			t.Fatalf("fed %.9f W, taken %.9f W", fed, taken)
		}
	})
}

// Boxes that are off draw nothing, and no box that is on gets less than it
// needs: the state is consistent, and the same when asked again.
func TestSettledIsConsistent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tree := drawTree(t)
		least := make([]float64, len(tree.Sections))
		for i := range least {
			least[i] = rapid.SampledFrom([]float64{0, 7, 9, 10.5}).Draw(t, "least")
		}
		before := slices.Clone(tree.Sections)
		s, off := Settle(tree, least)
		if again, o := Settle(tree, least); !slices.Equal(off, o) || !slices.Equal(s.Volts, again.Volts) {
			t.Fatal("settles otherwise the second time")
		}
		if !slices.Equal(before, tree.Sections) {
			t.Fatal("the tree was changed")
		}
		for i := range tree.Sections {
			if slices.Contains(off, i) {
				tree.Sections[i].Amps, tree.Sections[i].Watts = 0, 0
			} else if s.Volts[i+1] < least[i] {
				t.Fatalf("box %d is on at %g V and needs %g", i, s.Volts[i+1], least[i])
			}
		}
		if want, err := Solve(tree); err != nil || !slices.Equal(want.Volts, s.Volts) {
			t.Fatalf("volts are not those of the boxes that are on: %v", err)
		}
	})
}

// FuzzReadTables: any text is read or refused with a place, never a panic, and
// tables that are read can be looked up in.
func FuzzReadTables(f *testing.F) {
	f.Add(string(builtin))
	f.Add("runproof: power/1\nfuse: {gates: [{multiple: 2}, {multiple: 1}]}\n")
	f.Add(strings.Replace(string(builtin), "amps: [10, 10, 15", "amps: [10, 15", 1))
	f.Fuzz(func(t *testing.T, text string) {
		tables, err := ReadTables(bytes.NewReader([]byte(text)), "tables.yaml")
		if err != nil {
			if !strings.HasPrefix(err.Error(), "tables.yaml") {
				t.Errorf("the error has no place: %v", err)
			}
			return
		}
		tables.Resistance[0].OhmPerM(2.5)
		tables.Ampacity.Amps(2.5, 80, Surroundings{Warm: true, Conductors: 4})
		tables.Fuse.LetThrough(5, 50, 5)
		tables.Fuse.Ohm(3)
	})
}
