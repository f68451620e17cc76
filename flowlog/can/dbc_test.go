package can_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"runproof/flowlog/can"
	"runproof/input"
)

func readDBC(text string) (*can.Database, error) {
	return can.ReadDBC(strings.NewReader(text), "x.dbc")
}

func TestDBC(t *testing.T) {
	db := database(t, "sample/runcounts.dbc")
	if len(db.Messages) != 5 {
		t.Fatalf("%d messages", len(db.Messages))
	}
	m := db.Messages[0]
	if m.Name != "RunCountsA" || m.ID != 0x18FF4091 || !m.Is29Bit || m.J1939 || m.Size != 8 || len(m.Signals) != 14 {
		t.Errorf("%+v", m)
	}
	if s := m.Signals[0]; s.Name != "Mux" || !s.IsSwitch || s.Switch != "" || s.Max != 2 {
		t.Errorf("%+v", s)
	}
	if s := m.Signals[6]; s.Name != "Run05" || s.Switch != "Mux" || len(s.SwitchedBy) != 1 || s.SwitchedBy[0] != (can.Span{From: 1, To: 1}) || s.Unit != "count" {
		t.Errorf("%+v", s)
	}
	if s := db.Messages[1].Signals[3]; s.Name != "Gain" || !s.Motorola || s.Form != can.Signed || s.Start != 39 || s.Bits != 12 || s.Factor != 0.005 || s.Min != -10.24 {
		t.Errorf("%+v", s)
	}
	if m := database(t, "sample/runcounts-pgn.dbc").Messages[0]; !m.J1939 {
		t.Errorf("%+v", m)
	}
}

// What some DBCs leave out, and what others have besides.
func TestDBCsAsTheyCome(t *testing.T) {
	for _, text := range []string{
		"BO_ 256 Plain: 8 Node\n SG_ A : 0|8@1+ (1,0) [0|0] \"\" Node\n",
		"BO_ 256 Plain:8\n SG_ A:0|8@1+(1,0)[0|0]\"\"\n",                                           // nobody sends, nobody receives
		"\ufeffVERSION \"\"\r\n\r\nBO_ 256 Plain: 8 Node\r\n SG_ A : 0|8@1+ (1,0) [0|0] \"\" \r\n", // byte order mark
		"BO_ 256 Plain: 8 Node\n SG_ A : 0|8@1+ (1,0) [0|0] \"\xb0C\" Node\n",                      // Windows-1252
		"NS_ :\n\tCM_\n\tBA_\n\tVAL_\nBO_ 256 Plain: 8 N\n SG_ A : 0|8@1+ (1.0E+000,0) [-1e3|1e3] \"\" N\n",
		"CM_ \"a; BO_ 1 x\nBO_ 2 Fake: 8 N\n\";\nBO_ 256 Plain: 8 N\n SG_ A : 0|8@1+ (1,0) [0|0] \"\" N",
		"CM_ \"ends with a \\\";\nBO_ 256 Plain: 8 N\n SG_ A : 0|8@1+ (1,0) [0|0] \"\" N",
		"CM_ \"says \\\"so\\\"; often\";\nBO_ 256 Plain: 8 N\n SG_ A : 0|8@1+ (1,0) [0|0] \"\" N",
		"BO_ 3221225472 VECTOR__INDEPENDENT_SIG_MSG: 0 Vector__XXX\n SG_ B : 0|8@1+ (1,0) [0|0] \"\" Vector__XXX\n" +
			"BO_ 256 Plain: 8 N\n SG_ A : 0|8@1+ (1,0) [0|0] \"\" N\nSG_MUL_VAL_ 3221225472 B A 1-1;\nSIG_VALTYPE_ 3221225472 B : 1;\n",
		"BA_DEF_REL_ BU_SG_REL_ \"Time\" INT 0 100;\nSOMETHING_ new\nBO_ 256 Plain: 8 N\n SG_ A : 0|8@1+ (1,0) [0|0] \"\" N\nSIG_GROUP_ 256 G 1 : A;\nEV_ e: 0 [0|1] \"\" 0 1 DUMMY_NODE_VECTOR0 Vector__XXX;\n",
	} {
		db, err := readDBC(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if len(db.Messages) != 1 || db.Messages[0].Name != "Plain" || len(db.Messages[0].Signals) != 1 || db.Messages[0].Signals[0].Name != "A" {
			t.Errorf("%q: %+v", text, db.Messages)
		}
	}
}

func TestDBCFaults(t *testing.T) {
	const message = "BO_ 256 M: 8 N\n"
	signal := func(marks string) string { return " SG_ " + marks + " : 0|8@1+ (1,0) [0|0] \"\" N\n" }
	for _, c := range []struct{ text, want string }{
		{"", "x.dbc: no message is described in it; name a DBC"},
		{"time,4103:1\n1,2\n", "x.dbc: no message is described in it"},
		{"\n  BO_ 2048 M: 8 N\n", "x.dbc:2:7: BO_ cannot be read: invalid standard ID"},
		{"BO_ 2684354560 M: 8 N\n", "x.dbc:1:5: BO_ cannot be read: invalid extended ID"},
		{"BO_ x M: 8 N\n", "x.dbc:1:5: BO_ cannot be read: expected int"},
		{message + " SG_ A : 0|8@2+ (1,0) [0|0] \"\" N\n", "x.dbc:2:14: SG_ cannot be read: invalid value"},
		{message + " SG_ A : 0|8@1+ (1,0 [0|0] \"\" N\n", "x.dbc:2:23: SG_ cannot be read: expected token: \")\", found"},
		{message + " SG_ A : 0|0@1+ (1,0) [0|0] \"\" N\n", "x.dbc:2:2: signal M.A has no bits"},
		{message + " SG_ A : 0|8@1+ (1e999,0) [0|0] \"\" N\n", "invalid float"},
		{message + signal("A") + signal("A"), "x.dbc:3:2: two signals of M are called A; rename one of them"},
		{message + "BO_ 256 O: 8 N\n", "x.dbc:2:1: messages O and M, line 1, have the same id"},
		{message + "BO_ 257 M: 8 N\n", "x.dbc:2:1: two messages are called M, the other in line 1"},
		{message + signal("A m0"), "x.dbc:2:2: signal M.A is multiplexed, but no single signal is its switch"},
		{message + signal("A M") + signal("B M") + signal("C m1"), "x.dbc:4:2: signal M.C is multiplexed, but no single"},
		{message + signal("A m0M") + signal("B m0M") + "SG_MUL_VAL_ 256 A B 0-0;\nSG_MUL_VAL_ 256 B A 0-0;\n", "x.dbc:2:2: the switches of signal M.A go in a circle"},
		{message + signal("A") + "SG_MUL_VAL_ 256 A B 0-0;\n", "x.dbc:3:1: message M has no signal B"},
		{message + signal("A") + signal("B M") + "SG_MUL_VAL_ 256 A B 3-1;\n", `x.dbc:4:1: "3-1" is no range of values; write it like SG_MUL_VAL_`},
		{message + signal("A") + signal("B M") + "SG_MUL_VAL_ 256 A B;\n", "x.dbc:4:1: the statement lacks"},
		{message + signal("A") + "SIG_VALTYPE_ 256 A : 1;\n", "x.dbc:3:1: a float has 32 bits, but signal A, line 2, has 8"},
		{message + signal("A") + "SIG_VALTYPE_ 256 A : 7;\n", "x.dbc:3:22: SIG_VALTYPE_ cannot be read: invalid signal value type"},
		{message + " SG_ A : 0|8@1+ (1,0) [0|0] \"\nBO_ 1 X: 8 N\n", "x.dbc:2:2: a quote in this statement is opened and never closed"},
		{message + signal("A M") + " SG_ W m1 : 0|100@1+ (1,0) [0|0] \"\" N\n SG_ B m2M : 0|100@1+ (1,0) [0|0] \"\" N\n" + signal("C") + "SG_MUL_VAL_ 256 C B 1-1;\n", "signal M.B is a switch of 100 bits"},
	} {
		_, err := readDBC(c.text)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q:\n got %v\nwant %s", c.text, err, c.want)
			continue
		}
		checkFault(t, err)
	}
	_, err := readDBC(message + " SG_ A\n SG_ B\nBO_ 256 M: 8 N\n")
	var faults input.Faults
	if !errors.As(err, &faults) || len(faults) != 3 {
		t.Errorf("not all faults at once: %v", err)
	}
}

// checkFault wants an error that a person can act on.
func checkFault(t *testing.T, err error) {
	t.Helper()
	var one input.Fault
	var all input.Faults
	switch {
	case errors.As(err, &one):
		all = input.Faults{one}
	case !errors.As(err, &all):
		t.Errorf("%T is no fault: %v", err, err)
	}
	for _, f := range all {
		if f.Place.File == "" || f.What == "" || f.Remedy == "" {
			t.Errorf("no place, no words or no remedy: %+v", f)
		}
	}
}

func TestGiantDBC(t *testing.T) {
	_, err := readDBC("BO_ 256 M: 8 N\n" + strings.Repeat("CM_ \"x\";\n", 4<<20))
	if err == nil || !strings.Contains(err.Error(), "longer than 32 MiB") {
		t.Error(err)
	}
}

// A file whose every switch waits for another range must not make much work.
func TestDBCOfManyRanges(t *testing.T) {
	var b strings.Builder
	b.WriteString("BO_ 256 M: 8 N\n SG_ S M : 0|32@1+ (1,0) [0|0] \"\" N\n")
	for i := range 3000 {
		fmt.Fprintf(&b, " SG_ A%d m%d : 0|8@1+ (1,0) [0|0] \"\" N\n", i, i)
	}
	if _, err := readDBC(b.String()); err == nil || !strings.Contains(err.Error(), "hardly one message") {
		t.Error(err)
	}
}
