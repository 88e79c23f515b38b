package heat

import "math"

// network is a wall cut into cells: heat stores joined by conductances in a row.
// Cell numbers run from 1 to n; 0 is the front side and n+1 the back side.
type network struct {
	store []float64 // J/(m²K) of each cell; ends unused
	link  []float64 // W/(m²K) between i and i+1
	half  []float64 // m²K/W from the middle of a cell to its face
	first []int     // first cell of each sheet, then n+1
}

// newNetwork cuts each sheet so that its share of about `cells` cells follows its share
// of the diffusion time^½, thickness/sqrt(diffusivity): where heat needs longest the
// grid is finest, and a thin metal sheet is one cell.
func newNetwork(w Wall, front, back Side, cells int) network {
	var count [MaxLayers]int
	whole, n := 0.0, 0
	for _, s := range w {
		whole += s.ThicknessM / math.Sqrt(s.Conductivity/s.VolumetricHeat)
	}
	for i, s := range w {
		share := s.ThicknessM / math.Sqrt(s.Conductivity/s.VolumetricHeat) / whole
		count[i] = max(1, int(math.Ceil(share*float64(cells)-1e-9)))
		n += count[i]
	}
	numbers := make([]float64, 3*(n+2))
	net := network{store: numbers[: n+2 : n+2], link: numbers[n+2 : 2*(n+2)], half: numbers[2*(n+2):], first: make([]int, 0, len(w)+1)}
	cell, before := 1, front.ResistanceM2
	for i, s := range w {
		width := s.ThicknessM / float64(count[i])
		half := width / (2 * s.Conductivity)
		net.first = append(net.first, cell)
		for range count[i] {
			net.store[cell] = s.VolumetricHeat * width
			net.half[cell] = half
			net.link[cell-1] = 1 / (before + half)
			before = half
			cell++
		}
		if i < len(w)-1 {
			before += s.ContactM2KW
		}
	}
	net.link[n] = 1 / (before + back.ResistanceM2)
	net.first = append(net.first, cell)
	if front.Insulated {
		net.link[0] = 0
	}
	if back.Insulated {
		net.link[n] = 0
	}
	return net
}

func (n network) cells() int { return len(n.store) - 2 }

// Place is a face of a sheet: its front face, or its back face if Back.
type Place struct {
	Sheet int
	Back  bool
}

// reading gives the temperature of a face as a weighted mean of the two nodes it lies
// between, so that a reading is never outside the temperatures of the nodes.
type reading struct {
	near, far int
	share     float64 // of far
}

func (n network) reading(p Place) reading {
	if p.Back {
		cell := n.first[p.Sheet+1] - 1
		return reading{near: cell, far: cell + 1, share: n.half[cell] * n.link[cell]}
	}
	cell := n.first[p.Sheet]
	return reading{near: cell, far: cell - 1, share: n.half[cell] * n.link[cell-1]}
}

// stepper solves one backward Euler step of the network,
//
//	store (T' - T)/dt = link (T'left - T') + link (T'right - T').
//
// Backward Euler because it keeps the maximum principle at any step (a positive scheme
// of this kind is at most first order: Bolley and Crouzeix, RAIRO Anal. numer. 12
// (1978) 237, from memory). The elimination is written with sums, products and
// quotients of positive numbers only: e, the conductance a cell sees towards the front,
// is link in series with all that lies before, so nothing cancels however unlike the
// sheets are, and weights and temperatures cannot leave their bounds.
type stepper struct {
	inertia []float64 // store/dt
	pivot   []float64 // 1/diagonal after elimination
	carry   []float64 // link to the next cell * pivot
}

func newStepper(n network) stepper {
	numbers := make([]float64, 3*len(n.store))
	m := len(n.store)
	return stepper{inertia: numbers[:m:m], pivot: numbers[m : 2*m : 2*m], carry: numbers[2*m:]}
}

func (s stepper) factor(n network, dt float64) {
	toFront := n.link[0]
	for i := 1; i <= n.cells(); i++ {
		s.inertia[i] = n.store[i] / dt
		own := s.inertia[i] + toFront
		s.pivot[i] = 1 / (own + n.link[i])
		s.carry[i] = n.link[i] * s.pivot[i]
		toFront = own * s.carry[i] // link*own/(own+link): the two in series
	}
}

// fields holds two temperature fields that share a network: the answer to a unit
// heater (rise), and to everything else (rest). The true field is heaterC*rise + rest,
// so one run serves every set-point.
type fields []struct{ rise, rest float64 }

func newFields(n network, start func(cell int) float64, backC float64) fields {
	f := make(fields, len(n.store))
	f[0].rise = 1
	for i := 1; i <= n.cells(); i++ {
		f[i].rest = start(i)
	}
	f[len(f)-1].rest = backC
	return f
}

// advance moves both fields one step on.
func (s stepper) advance(n network, f fields) {
	last := len(f) - 2
	inertia, pivot, carry := s.inertia[:last+2], s.pivot[:last+2], s.carry[:last+2]
	f = f[:last+2]
	rise := n.link[0] * f[0].rise
	rest := n.link[0] * f[0].rest
	for i := 1; i <= last; i++ {
		rise += inertia[i] * f[i].rise
		rest += inertia[i] * f[i].rest
		f[i].rise, f[i].rest = rise, rest
		rise *= carry[i]
		rest *= carry[i]
	}
	rise, rest = f[last+1].rise, f[last+1].rest
	for i := last; i >= 1; i-- {
		rise = pivot[i]*f[i].rise + carry[i]*rise
		rest = pivot[i]*f[i].rest + carry[i]*rest
		f[i].rise, f[i].rest = rise, rest
	}
}
