package evenness

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"runproof/drill"
	"runproof/input"
)

func small() *drill.Drill {
	d := &madeFit(1).Drill
	d.Closed = []drill.RunID{"A-12"}
	return d
}

func TestReadBags(t *testing.T) {
	for name, text := range map[string]string{
		"plain":                      "run,repeat,grams\nA-1,1,153.2\nA-2,1,0\nA-3,1,\n",
		"any order, others, case":    "Grams,note,RUN,repeat\n153.2,x,a-1,1\n0,,A-2,1\n,,A-3,1\n",
		"byte order mark and spaces": "\ufeffrun, repeat, grams\n A-1 , 1, 153.2\nA-2,1,0\n\n,,\nA-3,1,\n",
		"semicolons and commas":      "run;repeat;grams\nA-1;1;153,2\nA-2;1;0\nA-3;1;\n",
		"short line":                 "run,repeat,grams\nA-1,1,153.2\nA-2,1,0\nA-3,1\n",
		"line ends of another kind":  "run,repeat,grams\r\nA-1,1,153.2\r\nA-2,1,0\r\nA-3,1,\r\n",
	} {
		b, err := ReadBags(strings.NewReader(text), "bags.csv", small())
		if err != nil || len(b.Bags) != 2 || b.Bags[0] != (Bag{"A-1", 1, 153.2}) || b.Bags[1] != (Bag{"A-2", 1, 0}) || len(b.Empty) != 1 || b.Empty[0].Run != "A-3" {
			t.Errorf("%s: %+v, %v", name, b, err)
		}
	}
}

func TestReadBagsFaults(t *testing.T) {
	for text, want := range map[string]string{
		"":                                         "bags.csv: the file of bags is empty; begin with the line run,repeat,grams and write one line for each bag",
		"run,repeat\nA-1,1\n":                      "bags.csv:1:1: the first line has no column grams; begin with the line run,repeat,grams",
		"run,repeat,grams\nA-1,1,\n":               "bags.csv: no bag has a mass; write the mass of each bag in grams",
		"run,repeat,grams\nA-13,1,5\n":             `bags.csv:2:1: the drill has no run "A-13"; did you mean A-1?`,
		"run,repeat,grams\nA-1,0,5\n":              `bags.csv:2:5: "0" is no repeat; number the repeats 1, 2, ... up to 50`,
		"run,repeat,grams\nA-1,1,-5\n":             "bags.csv:2:7: the mass -5 g is negative; take off the bag's own mass once only; write 0 for an empty bag",
		"run,repeat,grams\nA-1,1,12g\n":            `bags.csv:2:7: "12g" is no mass; write grams as a plain number, such as 153.2; leave it empty where the bag was not weighed`,
		"run,repeat,grams\nA-1,1,NaN\n":            `bags.csv:2:7: "NaN" is no mass; write grams as a plain number, such as 153.2; leave it empty where the bag was not weighed`,
		"run,repeat,grams\nA-1,1,1e9\n":            "bags.csv:2:7: the mass 1e+09 g is that of no bag; write grams",
		"run,repeat,grams\nA-1,1,5\nA-1,1,6\n":     "bags.csv:3:1: run A-1, repeat 1 stands on line 2 already; weigh again, and keep the right one",
		"run,repeat,grams\n\"A-1,1,5\n":            "bags.csv:2:10: not CSV: extraneous or missing \" in quoted-field; write plain lines such as A-7,1,153.2",
		"run,repeat,grams\nX,1,5\nA-1,y,5\n,1,5\n": "bags.csv:2:1: ",
	} {
		_, err := ReadBags(strings.NewReader(text), "bags.csv", small())
		if err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
	_, err := ReadBags(strings.NewReader("run,repeat,grams\n"+strings.Repeat("Q-9,1,5\n", 500)), "bags.csv", small())
	if faults, ok := err.(input.Faults); !ok || len(faults) != mostFaults {
		t.Errorf("%d faults of a wrong file", len(faults))
	}
	if _, err := ReadBags(strings.NewReader(strings.Repeat("x", largestBags+1)), "b.csv", small()); err == nil || !strings.Contains(err.Error(), "larger than 4 MB") {
		t.Error(err)
	}
}

// A form filled in is read: every open run in every repeat, and no closed one.
func TestFormIsRead(t *testing.T) {
	var b bytes.Buffer
	if err := WriteForm(&b, small(), nil, 2); err != nil {
		t.Fatal(err)
	}
	filled := strings.ReplaceAll(b.String(), ",\n", ",50\n")
	bags, err := ReadBags(strings.NewReader(filled), "form.csv", small())
	if err != nil || len(bags.Bags) != 22 || strings.Contains(filled, "A-12") {
		t.Errorf("%d bags, %v", len(bags.Bags), err)
	}
	if n := len(FormRuns(small(), []drill.ProductID{"fert"})); n != 0 {
		t.Errorf("%d runs of a product that there is not", n)
	}
}

// Whatever is read can be judged or is refused, without a panic and with finite
// figures.
func FuzzReadBags(f *testing.F) {
	for _, s := range []string{
		"run,repeat,grams\nA-1,1,153.2\nA-2,1,150\nA-3,1,0\n", "run;repeat;grams\nA-1;1;1,5\nA-2;2;2\n", "run,repeat,grams\nA-1,1,1\nA-2,1,1\nA-1,2,1\nA-2,2,1\nA-12,1,4\n",
		"run,repeat,grams\nA-1,1,0\nA-2,1,0\n", "grams\n", "\"", "run,repeat,grams\nA-1,1,1e-300\nA-2,1,1e5\nA-3,50,3\n",
	} {
		f.Add(s)
	}
	d := small()
	f.Fuzz(func(t *testing.T, text string) {
		bags, err := ReadBags(strings.NewReader(text), "bags.csv", d)
		if err != nil {
			return
		}
		c, err := Judge(d, bags, Options{Scales: DefaultScales()})
		if err != nil {
			return
		}
		var out bytes.Buffer
		if err := c.Write(&out); err != nil {
			t.Fatalf("%v of %q", err, text)
		}
		if cv := c.Products[0].CV.Value; cv < 0 || math.IsNaN(cv) {
			t.Fatalf("CV %g of %q", cv, text)
		}
	})
}
