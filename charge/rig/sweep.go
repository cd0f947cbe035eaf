package rig

import (
	"math"
	"sort"
)

// Sweep is a whole charge curve at one weather with one set of faults, found
// by marching over the condenser outlet. Its states stand in rising charge.
type Sweep struct {
	States []State

	system *System
	cond   Conditions
	faults Faults
	points []node
}

// node is a solved point of the march.
type node struct{ te, w, z, m, kg float64 }

// Sweep marches n points (at least 8) from nearly empty to overfull.
func (s *System) Sweep(c Conditions, f Faults, n int) (*Sweep, error) {
	k, err := s.begin(c, f)
	if err != nil {
		return nil, err
	}
	n = max(n, 8)
	sw := &Sweep{system: s, cond: c, faults: f}
	var p point
	for _, nd := range k.march(n) {
		k.warmM = nd.m
		if !k.at(nd.te, nd.w, nd.z, &p) {
			continue
		}
		k.hold(&p)
		sw.points = append(sw.points, nd)
		sw.States = append(sw.States, k.state(&p))
	}
	if len(sw.points) < 2 {
		return nil, &ConvergenceError{s.NameplateKg, c, "no point of the charge curve converges"}
	}
	return sw, nil
}

// At is the state with this charge in, between or beyond the marched points.
func (sw *Sweep) At(kg float64) (State, error) {
	k, err := sw.system.begin(sw.cond, sw.faults)
	if err != nil {
		return State{}, err
	}
	var p point
	if err := k.between(sw.points, kg, &p); err != nil {
		return State{}, err
	}
	return k.state(&p), nil
}

// march solves along z and returns the nodes in rising charge. Each step starts
// from the line through the two nodes before it, and is halved where that fails.
func (k *working) march(n int) []node {
	s := k.s
	grid := k.grid(n)
	mid := min(sort.SearchFloat64s(grid, s.designZ), len(grid)-1)
	te, w, _, m := s.guess(1, k)
	k.warmM = m
	var p point
	first := k.solveAt(te, w, grid[mid], &p)
	for d := 1; !first && d < len(grid); d++ {
		for _, i := range []int{mid - d, mid + d} {
			if i >= 0 && i < len(grid) && k.solveAt(te, w, grid[i], &p) {
				mid, first = i, true
				break
			}
		}
	}
	if !first {
		return nil
	}
	k.hold(&p)
	start := node{p.te, p.w, grid[mid], p.m, p.inv.Total()}

	up := []node{start}
climb:
	for i := mid + 1; i < len(grid); i++ {
		from := len(up)
		ok := k.step(&up, grid[i], &p, 6)
		for j := from; j < len(up); j++ {
			if up[j].kg <= up[j-1].kg {
				// The head runs away: liquid swells faster than it gathers.
				up = up[:j]
				break climb
			}
		}
		if !ok || p.zones.liquid > 0.93*p.zones.total() {
			break // the head has reached what the properties cover, or all is liquid
		}
	}
	down := []node{start}
	for i := mid - 1; i >= 0; i-- {
		if !k.step(&down, grid[i], &p, 6) {
			break
		}
	}
	nodes := make([]node, 0, len(up)+len(down))
	for i := len(down) - 1; i > 0; i-- {
		nodes = append(nodes, down[i])
	}
	return append(nodes, up...)
}

// step appends the node at z, and, where the step is too long, nodes on the way.
func (k *working) step(nodes *[]node, z float64, p *point, depth int) bool {
	l := *nodes
	a := l[len(l)-1]
	te, w, m := a.te, a.w, a.m
	if len(l) > 1 {
		b := l[len(l)-2]
		u := (z - a.z) / (a.z - b.z)
		if u < 3 {
			te += u * (a.te - b.te)
			w += u * (a.w - b.w)
			m *= math.Exp(u * math.Log(a.m/b.m))
		}
	}
	k.warmM = m
	if k.newton2(te, w, z, p) {
		k.hold(p)
		*nodes = append(l, node{p.te, p.w, z, p.m, p.inv.Total()})
		return true
	}
	if depth == 0 {
		return false
	}
	if !k.step(nodes, (a.z+z)/2, p, depth-1) {
		return false
	}
	return k.step(nodes, z, p, depth-1)
}

// grid spreads n values of z so that they lie about evenly in charge.
func (k *working) grid(n int) []float64 {
	short := n * 2 / 5
	var g []float64
	for i := range short {
		u := 1 - float64(i)/float64(short)
		g = append(g, -0.93*u*u)
	}
	rest := n - short
	if k.s.spec.ReceiverM3 > 0 {
		level := rest / 2
		for i := range level {
			g = append(g, float64(i)/float64(level))
		}
		rest -= level
		for i := range rest {
			u := float64(i) / float64(rest-1)
			g = append(g, 1+6*u*u)
		}
		return g
	}
	for i := range rest {
		u := float64(i) / float64(rest-1)
		g = append(g, 9*math.Pow(u, 1.6))
	}
	return g
}

// between starts from the marched nodes around kg and solves for it; where
// Newton will not, it bisects z.
func (k *working) between(nodes []node, kg float64, p *point) error {
	i := sort.Search(len(nodes), func(i int) bool { return nodes[i].kg >= kg })
	if i == 0 {
		a := nodes[0]
		k.warmM = a.m
		if kg > 0.7*a.kg && k.newton3(a.te, a.w, a.z, kg, p) {
			return nil
		}
		// Nearly empty: a low-pressure control has stopped the compressor.
		k.warmM = a.m
		if !k.at(a.te, a.w, a.z, p) {
			return &ConvergenceError{kg, k.cond, "less charge than the simulation covers"}
		}
		k.hold(p)
		p.tripped, p.empty = kg, true
		return nil
	}
	if i == len(nodes) {
		a := nodes[i-1]
		k.warmM = a.m
		if k.newton3(a.te, a.w, a.z, kg, p) {
			return nil
		}
		// Past the highest head: the compressor has tripped at what is the last
		// state it could run in.
		k.warmM = a.m
		if !k.at(a.te, a.w, a.z, p) {
			return &ConvergenceError{kg, k.cond, "the condenser is full of liquid"}
		}
		k.hold(p)
		p.tripped = kg
		return nil
	}
	a, b := nodes[i-1], nodes[i]
	u := (kg - a.kg) / (b.kg - a.kg)
	mix := func(x, y float64) float64 { return x + u*(y-x) }
	k.warmM = mix(a.m, b.m)
	if k.newton3(mix(a.te, b.te), mix(a.w, b.w), mix(a.z, b.z), kg, p) {
		return nil
	}
	// Regula falsi between the two with bisection against stalling.
	for j := range 80 {
		u := (kg - a.kg) / (b.kg - a.kg)
		if j%2 == 1 || !(u > 0.02 && u < 0.98) {
			u = 0.5
		}
		z := a.z + u*(b.z-a.z)
		k.warmM = a.m + u*(b.m-a.m)
		if !k.solveAt(a.te+u*(b.te-a.te), a.w+u*(b.w-a.w), z, p) {
			return &ConvergenceError{kg, k.cond, "no state between two points of the charge curve"}
		}
		k.hold(p)
		nd := node{p.te, p.w, z, p.m, p.inv.Total()}
		if math.Abs(nd.kg/kg-1) < 1e-8 {
			return nil
		}
		if math.Abs(b.z-a.z) < 1e-12 {
			break // a jump of the charge curve, or its rounding
		}
		if nd.kg < kg {
			a = nd
		} else {
			b = nd
		}
	}
	if d := p.inv.Total()/kg - 1; math.Abs(d) > 1e-6 {
		return &ConvergenceError{kg, k.cond, "no state between two points of the charge curve holds this charge"}
	}
	return nil
}

// tabulate keeps the design charge curve for first guesses.
func (s *System) tabulate(k *working, p *point) {
	s.start = []startPoint{{1, s.designTe, s.designTc, s.designZ, s.flow}}
	nodes := k.march(28)
	if len(nodes) < 2 {
		return
	}
	s.start = s.start[:0]
	last := 0.0
	for _, n := range nodes {
		share := n.kg / s.NameplateKg
		if share <= last+1e-4 {
			continue
		}
		last = share
		s.start = append(s.start, startPoint{share, n.te, n.w, n.z, n.m})
	}
}

// guess reads the design curve at a share of the data plate charge and shifts
// it with the weather.
func (s *System) guess(share float64, k *working) (te, w, z, m float64) {
	t := s.start
	if len(t) == 0 {
		return s.designTe, s.designTc + k.outdoor - s.spec.Design.OutdoorK, s.designZ, s.flow
	}
	i := sort.Search(len(t), func(i int) bool { return t[i].share >= share })
	var a, b startPoint
	switch {
	case i == 0:
		a, b = t[0], t[0]
	case i == len(t):
		a, b = t[i-1], t[i-1]
	default:
		a, b = t[i-1], t[i]
	}
	u := 0.0
	if b.share > a.share {
		u = (share - a.share) / (b.share - a.share)
	}
	mix := func(x, y float64) float64 { return x + u*(y-x) }
	te, w, z, m = mix(a.te, b.te), mix(a.w, b.w), mix(a.z, b.z), mix(a.m, b.m)
	d := s.spec.Design
	w += 0.97 * (k.outdoor - d.OutdoorK)
	te += 0.35*(k.air.wet-d.ReturnWetK) + 0.15*(k.outdoor-d.OutdoorK)
	te = math.Min(te, k.air.dry-1)
	te = math.Max(te, s.teLow+0.5)
	w = math.Min(math.Max(w, te+3), s.tcHigh-0.5)
	return
}
