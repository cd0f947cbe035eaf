package audit

import (
	"strings"

	"chargehand/charge"
)

func chainBroken(v *view, say say) {
	for _, b := range v.Chain.Breaks {
		say(v.atLine(b.Line), "line %d: %s. Nothing from here on can be shown to be as it was written.", b.Line, clean(b.Says))
	}
	numbersMissing(v, say)
}

// atLine finds the event of a line of the file: one event a line.
func (v *view) atLine(line int) int {
	if line >= 1 && line <= len(v.Events) {
		return line - 1
	}
	return -1
}

// numbersMissing serves events that came without their file.
func numbersMissing(v *view, say say) {
	last := 0
	for i, e := range v.Events {
		if e.N == 0 {
			continue
		}
		switch {
		case last == 0 && e.N > 1:
			say(i, "the journal begins at event %d: %s before it.", e.N, lines(e.N-1))
		case last > 0 && e.N > last+1:
			say(i, "event %d follows event %d: %s between them.", e.N, last, lines(e.N-last-1))
		case last > 0 && e.N <= last:
			say(i, "event %d follows event %d: a line was repeated or moved.", e.N, last)
		}
		last = e.N
	}
}

func lines(n int) string {
	if n == 1 {
		return "one line is missing"
	}
	return itoa(n) + " lines are missing"
}

func tornLine(v *view, say say) {
	if v.Chain.Torn != "" {
		say(-1, "the last line breaks off (%s): the event it held was never acknowledged.", v.Chain.Torn)
	}
}

func clockBack(v *view, say say) {
	for i := 1; i < len(v.Events); i++ {
		back := v.Events[i-1].At.Sub(v.Events[i].At)
		if back > clockSlack {
			say(i, "its time is %s before the event in front of it: waits cannot be judged across this point.", span(back))
		}
	}
}

func notClosed(v *view, say say) {
	if v.closed < 0 && len(v.Events) > 0 {
		say(-1, "the job was never closed: no cylinder reading at the end and no reason for stopping.")
	}
}

func unknownFields(v *view, say say) {
	for i, e := range v.Events {
		if len(e.Extra) == 0 {
			continue
		}
		names := make([]string, len(e.Extra))
		for k, x := range e.Extra {
			names[k] = clean(x.Name)
		}
		say(i, "carries fields this version does not know (%s): they were kept and not judged.", strings.Join(names, ", "))
	}
}

func weighingVoided(v *view, say say) {
	for i, e := range v.Events {
		if w, ok := e.Body.(*charge.Weighing); ok && v.void[i] {
			say(i, "%s was entered and taken back%s: ask whether it was a slip of the hand or refrigerant that went in.",
				w.Amount, v.whyVoided(i))
		}
	}
}

func (v *view) whyVoided(i int) string {
	for _, e := range v.Events {
		if b, ok := e.Body.(*charge.Void); ok && int(b.Voids) == v.number(i) && b.Why != "" {
			return " (“" + clean(string(b.Why)) + "”)"
		}
	}
	return ""
}

func ruleOverridden(v *view, say say) {
	for i, e := range v.Events {
		if o, ok := e.Body.(*charge.Override); ok && !v.void[i] {
			say(i, "%s set aside by %s: “%s”.%s", clean(string(o.Rule)), clean(string(o.By)), clean(string(o.Why)), v.outcomeAfter(i))
		}
	}
}

func refusedEvent(v *view, say say) {
	for _, r := range v.Refused {
		say(r.Index, "the fold refuses it (%s): it was left out of everything told after it.", clean(r.Why))
	}
}
