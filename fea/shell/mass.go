package shell

// kgPerM3 turns kg/m³ into t/mm³, the density that goes with N, mm and s.
const kgPerM3 = 1e-12

// Mass writes the 30×30 consistent mass matrix of an element to me, by rows, in
// tonnes: the inertia of every point of the metal, turning included.
func Mass(x *Triangle, s *Section, m Material, me []float64) {
	if len(me) != ElementUnknowns*ElementUnknowns {
		panic("shell: a mass matrix has 900 entries")
	}
	clear(me)
	var nn [6][6]float64
	for k := range rule6 {
		h := &shapes6[k]
		j := x.jacobian(h)
		w := rule6[k].w * j.det * m.Density * kgPerM3
		for i := range 6 {
			for n := range 6 {
				nn[i][n] += w * h.n[i] * h.n[n]
			}
		}
	}
	for i := range 6 {
		for n := range 6 {
			q := nn[i][n]
			set := func(a, b int, v float64) { me[(5*i+a)*ElementUnknowns+5*n+b] = v }
			for a := range 3 {
				set(a, a, s.T*q)
			}
			for a := range 2 {
				set(a, 3+a, s.S*q)
				set(3+a, a, s.S*q)
				set(3+a, 3+a, s.I*q)
			}
		}
	}
}
