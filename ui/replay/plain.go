package replay

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"time"

	"chargehand/charge"
	"chargehand/ui/live"
	"chargehand/ui/part"
	"chargehand/ui/say"
)

// Plain writes the whole replay as text of at most width columns, for pipes
// and files.
func Plain(w io.Writer, r *Record, zone *time.Location, width int) error {
	b := bufio.NewWriter(w)
	l := look(r.Units)
	l.Zone = zone
	line := func(indent int, text string) {
		for i, s := range part.Wrap(text, width-indent) {
			if i == 0 {
				fmt.Fprintf(b, "%s%s\n", strings.Repeat(" ", indent), s)
			} else {
				fmt.Fprintf(b, "%s%s\n", strings.Repeat(" ", min(indent+2, width/2)), part.Clip(s, width-indent-2))
			}
		}
	}
	line(0, "record of "+r.Title())
	line(0, fmt.Sprintf("%d entries, %s", len(r.Steps), chainWords(r)))
	if r.Torn != "" {
		line(0, r.Torn)
	}
	for _, x := range r.Refused {
		line(0, x)
	}
	for _, f := range r.Findings[0] {
		line(0, fmt.Sprintf("%s, %s: %s", f.Severity, f.Title, f.Says))
	}
	for i, st := range r.Steps {
		fmt.Fprintln(b)
		at := st.Event.At
		if zone != nil {
			at = at.In(zone)
		}
		head := fmt.Sprintf("%3d  %s  %s", st.Event.N, at.Format("2006-01-02 15:04:05"), st.Event.Kind())
		if st.Voided {
			head += " (taken back later)"
		}
		fmt.Fprintln(b, head)
		for _, f := range entered(st.Event) {
			line(5, f[0]+": "+f[1])
		}
		if d := derived(st.Told, r.Units); d != "" && st.Event.Kind() == charge.KindReading {
			line(5, "→ "+d)
		}
		if t := r.against(i); t != "" {
			line(5, "done: "+t)
		}
		a := st.Told
		line(5, "told: "+say.Headline(a, a.At, r.Units))
		if why := strings.Join(a.Why, " "); why != "" {
			line(11, why)
		}
		for _, m := range live.Minds(l, &a, width-11, 1000) {
			fmt.Fprintln(b, "           "+m)
		}
		for _, m := range live.Cautions(l, &a, width-11, 100) {
			fmt.Fprintln(b, "           "+m)
		}
		if a.Derived.N > 0 {
			line(5, "inside: "+say.Belief(a.Belief))
			line(5, "weighed in: "+say.Total(a, r.Setup, r.Units))
		}
		if land := r.Fork(i).Land(); land != "" && st.Event.Kind() == charge.KindReading {
			line(5, land)
		}
		for _, f := range r.Findings[st.Event.N] {
			line(5, fmt.Sprintf("%s, %s: %s", f.Severity, f.Title, f.Says))
		}
	}
	if r.Broken != "" {
		fmt.Fprintln(b)
		line(0, "THE CHAIN BREAKS HERE: "+r.Broken)
	}
	return b.Flush()
}

func chainWords(r *Record) string {
	if r.Broken != "" {
		return "the chain of hashes breaks at " + r.Broken
	}
	head := r.Head
	if len(head) > 16 {
		head = head[:16] + "…"
	}
	return "the chain of hashes is whole, head " + head
}
