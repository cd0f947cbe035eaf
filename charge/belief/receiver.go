package belief

// planReceiver charges by the sight glass: to a clear glass, and a little more to stay clear.
func (b *Belief) planReceiver(g Goal) Plan {
	r := b.readings[len(b.readings)-1]
	if b.headPressure() >= correctAt {
		return Plan{Move: Correct, Cause: HeadPressure}
	}
	var needs []string
	if r.SightGlass == GlassNotGiven {
		needs = append(needs, "sight_glass")
	}
	if given(r.OutdoorK) && r.OutdoorK < zeroF+75*degF && !given(r.DropLegK) {
		needs = append(needs, "drop_leg", "condenser_outlet_pressure")
	}
	if len(needs) > 0 {
		return Plan{Move: Measure, Needs: needs}
	}
	p := &planner{b: b, g: g, o: &b.history[len(b.history)-1]}
	dev := b.inferred()
	p.share = [2]float64{dev.FixedOrifice, dev.ExpansionValve}
	p.prepare()
	clear := 0
	for i := len(b.readings) - 1; i >= 0 && b.readings[i].SightGlass == GlassClear && b.readings[i].NetKg == r.NetKg; i-- {
		clear++
	}
	switch {
	case clear >= 2:
		return Plan{Move: Hold}
	case clear == 1:
		return Plan{Move: Wait, WaitMinutes: reread}
	}
	share := firstShare
	if len(b.history) > 1 {
		share = 0.07
	}
	kg := p.round(min(p.cap, share*p.full))
	if kg <= 0 {
		kg = min(p.cap, g.StepKg)
	}
	return Plan{Move: Add, Kg: kg, WaitMinutes: 12}
}
