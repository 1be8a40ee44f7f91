package rim

import "math"

// Point is a place in a picture, px.
type Point struct{ X, Y float64 }

// Fit gives the ellipse of least algebraic distance to the points, by the direct method of A.
// Fitzgibbon, M. Pilu and R. Fisher, "Direct least square fitting of ellipses", IEEE Transactions on
// Pattern Analysis and Machine Intelligence 21 (1999) 476–480, in the stable form of R. Halíř and J.
// Flusser, "Numerically stable direct least squares fitting of ellipses", WSCG 1998: the conic
// a x² + b xy + c y² + d x + e y + f = 0 under 4ac - b² = 1, points moved to their mean and scaled
// to unit spread before. weights may be nil, for all the same.
//
// It refuses with Few below five points, and with Flat if no ellipse comes out (points on a line,
// or without spread). The fit of points on a short arc is known to come out too small.
func Fit(points []Point, weights []float64) (Ellipse, Why) {
	var n, mx, my float64
	used := 0
	for i, p := range points {
		w := weight(weights, i)
		n, mx, my = n+w, mx+w*p.X, my+w*p.Y
		if w > 0 {
			used++
		}
	}
	if used < 5 {
		return Ellipse{}, Few
	}
	mx, my = mx/n, my/n
	spread := 0.0
	for i, p := range points {
		spread += weight(weights, i) * ((p.X-mx)*(p.X-mx) + (p.Y-my)*(p.Y-my))
	}
	spread = math.Sqrt(spread / n / 2)
	if !(spread > 0) {
		return Ellipse{}, Flat
	}
	// (16) of Halíř and Flusser: the scatter matrix in quadratic, mixed and linear parts.
	var s1, s2, s3 [3][3]float64
	for i, p := range points {
		w := weight(weights, i) / n
		x, y := (p.X-mx)/spread, (p.Y-my)/spread
		q, l := [3]float64{x * x, x * y, y * y}, [3]float64{x, y, 1}
		for j := range 3 {
			for k := range 3 {
				s1[j][k] += w * q[j] * q[k]
				s2[j][k] += w * q[j] * l[k]
				s3[j][k] += w * l[j] * l[k]
			}
		}
	}
	inv, ok := inverted(s3)
	if !ok {
		return Ellipse{}, Flat
	}
	// (24): linear part = -S3⁻¹ S2ᵀ times the quadratic one.
	var t [3][3]float64
	for j := range 3 {
		for k := range 3 {
			for m := range 3 {
				t[j][k] -= inv[j][m] * s2[k][m]
			}
		}
	}
	// (27): M = C1⁻¹ (S1 + S2 T), with C1 the constraint's matrix.
	m := s1
	for j := range 3 {
		for k := range 3 {
			for l := range 3 {
				m[j][k] += s2[j][l] * t[l][k]
			}
		}
	}
	m = [3][3]float64{
		{m[2][0] / 2, m[2][1] / 2, m[2][2] / 2},
		{-m[1][0], -m[1][1], -m[1][2]},
		{m[0][0] / 2, m[0][1] / 2, m[0][2] / 2},
	}
	for _, root := range eigenvalues(m) {
		v, ok := eigenvector(m, root)
		if !ok || 4*v[0]*v[2]-v[1]*v[1] <= 0 {
			continue
		}
		var l [3]float64
		for j := range 3 {
			l[j] = t[j][0]*v[0] + t[j][1]*v[1] + t[j][2]*v[2]
		}
		e, ok := ofConic(v, l)
		if !ok {
			continue
		}
		return Ellipse{mx + e.X*spread, my + e.Y*spread, e.A * spread, e.B * spread, e.Turn}, ""
	}
	return Ellipse{}, Flat
}

func weight(weights []float64, i int) float64 {
	if weights == nil {
		return 1
	}
	return weights[i]
}

func inverted(m [3][3]float64) (g [3][3]float64, ok bool) {
	for i := range 3 {
		for j := range 3 {
			a, b, c, d := (j+1)%3, (j+2)%3, (i+1)%3, (i+2)%3
			g[i][j] = m[a][c]*m[b][d] - m[a][d]*m[b][c]
		}
	}
	det := m[0][0]*g[0][0] + m[0][1]*g[1][0] + m[0][2]*g[2][0]
	// Scaled points on a line leave 0 but for rounding.
	if math.Abs(det) < 1e-12 {
		return g, false
	}
	for i := range 3 {
		for j := range 3 {
			g[i][j] /= det
		}
	}
	return g, true
}

// eigenvalues are the real roots of det(M - λ) = 0, a cubic.
func eigenvalues(m [3][3]float64) []float64 {
	trace := m[0][0] + m[1][1] + m[2][2]
	minors := m[0][0]*m[1][1] - m[0][1]*m[1][0] + m[0][0]*m[2][2] - m[0][2]*m[2][0] + m[1][1]*m[2][2] - m[1][2]*m[2][1]
	det := m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) - m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) + m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
	// λ³ - trace λ² + minors λ - det = 0, by t = λ - trace/3: t³ + pt + q = 0.
	p := minors - trace*trace/3
	q := -2*trace*trace*trace/27 + trace*minors/3 - det
	var roots []float64
	if d := q*q/4 + p*p*p/27; d > 0 {
		r := math.Sqrt(d)
		roots = []float64{math.Cbrt(-q/2+r) + math.Cbrt(-q/2-r) + trace/3}
	} else {
		r := 2 * math.Sqrt(math.Max(-p/3, 0))
		c := 0.0
		if r > 0 {
			c = math.Acos(math.Min(math.Max(3*q/(p*r), -1), 1)) / 3
		}
		for k := range 3 {
			roots = append(roots, r*math.Cos(c-2*math.Pi*float64(k)/3)+trace/3)
		}
	}
	// Newton's step takes off what the cosines rounded.
	for i, l := range roots {
		for range 3 {
			f, slope := ((l-trace)*l+minors)*l-det, (3*l-2*trace)*l+minors
			if slope == 0 {
				break
			}
			l -= f / slope
		}
		roots[i] = l
	}
	return roots
}

// eigenvector is the longest cross product of two rows of M - λ.
func eigenvector(m [3][3]float64, root float64) ([3]float64, bool) {
	for i := range 3 {
		m[i][i] -= root
	}
	var best [3]float64
	most := 0.0
	for i := range 3 {
		a, b := m[i], m[(i+1)%3]
		c := [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
		if l := c[0]*c[0] + c[1]*c[1] + c[2]*c[2]; l > most {
			best, most = c, l
		}
	}
	if most == 0 {
		return best, false
	}
	for i := range best {
		best[i] /= math.Sqrt(most)
	}
	return best, true
}

// ofConic gives middle and axes of q0 x² + q1 xy + q2 y² + l0 x + l1 y + l2 = 0.
func ofConic(q, l [3]float64) (Ellipse, bool) {
	if q[0]+q[2] < 0 {
		for i := range 3 {
			q[i], l[i] = -q[i], -l[i]
		}
	}
	det := 4*q[0]*q[2] - q[1]*q[1]
	x, y := (q[1]*l[1]-2*q[2]*l[0])/det, (q[1]*l[0]-2*q[0]*l[1])/det
	f := -(l[0]*x+l[1]*y)/2 - l[2] // the right side once the middle is the origin
	mean, half := (q[0]+q[2])/2, math.Hypot(q[0]-q[2], q[1])/2
	if !(f > 0) || !(mean-half > 0) {
		return Ellipse{}, false
	}
	// The longer axis lies across the direction of the larger eigenvalue; y runs down.
	long := math.Atan2(q[1], q[0]-q[2])/2 + math.Pi/2
	return Ellipse{x, y, math.Sqrt(f / (mean - half)), math.Sqrt(f / (mean + half)), -long * 180 / math.Pi}.ordered(), true
}
