package review

import (
	"fmt"
	"strings"
)

// sentence says the event as one would on the phone, with what it rests on.
func sentence(ev *Event, s *spell, rows int) string {
	var b strings.Builder
	switch ev.Kind {
	case Blocked:
		fmt.Fprintf(&b, "%s fell to %.0f %% of its flow over %.0f m", ev.Run, 100*(1-ev.Lost), ev.Metres)
	case Restricted:
		fmt.Fprintf(&b, "%s lost %.0f %% of its flow over %.0f m", ev.Run, 100*ev.Lost, ev.Metres)
	case SensorLost:
		if ev.Evidence.ExpectedCount == 0 {
			fmt.Fprintf(&b, "%s did not report, or repeated one reading, over %.0f m, while its node's other ports went on", ev.Run, ev.Metres)
		} else {
			fmt.Fprintf(&b, "%s read %.0f %% of what it should over %.0f m", ev.Run, 100*(1-ev.Lost), ev.Metres)
		}
	case Noisy:
		fmt.Fprintf(&b, "%s counted without flow", ev.Run)
	case HeadStarved:
		fmt.Fprintf(&b, "all %d rows of head %s lost %.0f %% of their flow over %.0f m while the other heads went on", rows, ev.Head, 100*ev.Lost, ev.Metres)
	case ProductOut:
		fmt.Fprintf(&b, "%s ran out or was cut off: every head low over %.0f m", ev.Product, ev.Metres)
	case NoData:
		fmt.Fprintf(&b, "node %s was silent over %.0f m: nothing is known of its %d rows", ev.Node, ev.Metres, rows)
	}
	if i := ev.Intermittent; i != nil {
		fmt.Fprintf(&b, ", coming and going: %d times, %.0f s at a time about every %.0f s, %.0f %% of the way", i.Spells, i.MeanS, i.EveryS, 100*i.Duty)
	}
	b.WriteString(siblings(ev))
	if ev.Evidence.Assumed != "" {
		b.WriteString("; " + ev.Evidence.Assumed)
	}
	b.WriteString(".")
	return b.String()
}

// siblings says what the siblings' rise adds.
func siblings(ev *Event) string {
	e := ev.Evidence
	if e.SiblingRise == nil {
		return ""
	}
	said := fmt.Sprintf("; its siblings changed by %+.1f %% (95 %% interval %+.1f to %+.1f; a blocked hose would give %+.1f %%, a dead sensor none)", 100**e.SiblingRise, 100**e.SiblingRiseLow, 100**e.SiblingRiseHigh, 100**e.ExpectedRise)
	if ev.Kind == SensorLost {
		return said + ": look at sensor, tube and port first"
	}
	return said + ": look at hose and opener first"
}
