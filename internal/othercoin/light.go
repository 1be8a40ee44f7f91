package othercoin

import "math"

type vec struct{ x, y, z float64 }

func (a vec) add(b vec) vec       { return vec{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vec) sub(b vec) vec       { return vec{a.x - b.x, a.y - b.y, a.z - b.z} }
func (a vec) times(k float64) vec { return vec{a.x * k, a.y * k, a.z * k} }
func (a vec) dot(b vec) float64   { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a vec) length() float64     { return math.Sqrt(a.dot(a)) }
func (a vec) unit() vec           { return a.times(1 / a.length()) }
func (a vec) mirrored(n vec) vec  { return n.times(2 * a.dot(n)).sub(a) }
func (a vec) cross(b vec) vec     { return vec{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x} }
func toward(azimuth, up float64) vec {
	s, c := math.Sincos(azimuth)
	h, z := math.Cos(up), math.Sin(up)
	return vec{c * h, s * h, z}
}

// Lamp is a small lamp at a place, mm, of a radius, mm.
type Lamp struct {
	X, Y, Z, Size, Power float64
}

// Around is a lamp in a direction from the table's middle: the azimuth is the angle in the picture
// from right toward down, both angles in radians, the distance in mm.
func Around(azimuth, elevation, distance, size, power float64) Lamp {
	l := toward(azimuth, elevation).times(distance)
	return Lamp{l.x, l.y, l.z, size, power * distance * distance}
}

// sky is light from everywhere: even, more from above, and from some sides.
type sky struct {
	even, above float64
	sides       []side
}

type side struct {
	to           vec
	power, width float64
}

// from is the light out of a direction, seen by a surface that spreads it over an angle.
func (s *sky) from(d vec, spread float64) float64 {
	l := s.even + s.above*(0.5+0.5*d.z)
	for _, e := range s.sides {
		w := e.width*e.width + spread*spread
		l += e.power * e.width * e.width / w * math.Exp((d.dot(e.to)-1)/w)
	}
	if d.z < 0 {
		l *= 0.4 // the table sends back less
	}
	return l
}

// surface is what a ray met.
type surface struct {
	at, normal, along vec // along is the flow of metal
	color             [3]float64
	metal             float64 // share; the rest scatters light evenly
	matte             [3]float64
	across, with      float64 // widths of the facets' slopes
	open              float64 // share of the sky that is seen
}

// facets is D·G/(4(n·l)(n·v)) of Trowbridge and Reitz's facets, and half·v.
func (s *surface) facets(l, v vec) (bright, cosine float64) {
	h := l.add(v).unit()
	nh, nl, nv := s.normal.dot(h), s.normal.dot(l), s.normal.dot(v)
	if nl <= 0 || nv <= 0 || nh <= 0 {
		return 0, 0
	}
	t := s.along.sub(s.normal.times(s.along.dot(s.normal))).unit()
	b := s.normal.cross(t)
	ht, hb := h.dot(t)/s.with, h.dot(b)/s.across
	k := ht*ht + hb*hb + nh*nh
	d := 1 / (math.Pi * s.with * s.across * k * k)
	mean := s.with * s.across
	g := 1 / ((nl + math.Sqrt(mean+(1-mean)*nl*nl)) * (nv + math.Sqrt(mean+(1-mean)*nv*nv)))
	return d * g, h.dot(v)
}

func fresnel(base, cosine float64) float64 {
	c := 1 - min(1, max(0, cosine))
	return base + (1-base)*c*c*c*c*c
}

// light is what a surface sends to v.
func (w *world) light(s *surface, v vec, place int) [3]float64 {
	var out [3]float64
	spread := math.Sqrt(s.with * s.across)
	mirror := v.mirrored(s.normal)
	around, even := w.sky.from(mirror, spread)*s.open, w.sky.from(s.normal, 1.2)*s.open
	nv := s.normal.dot(v)
	for i := range out {
		out[i] = s.metal*fresnel(s.color[i], nv)*around + (1-s.metal)*s.matte[i]*even
	}
	for _, lamp := range w.lamps {
		to := vec{lamp.X, lamp.Y, lamp.Z}
		if lamp.Size > 0 { // a lamp isn't a point: each place within the pixel sees another of its parts
			p := lampParts[place%len(lampParts)]
			to.x += lamp.Size * p[0]
			to.y += lamp.Size * p[1]
		}
		to = to.sub(s.at)
		far := to.length()
		l := to.times(1 / far)
		nl := s.normal.dot(l)
		if nl <= 0 {
			continue
		}
		power := lamp.Power / (far * far) * w.arrives(s.at, l, far)
		if power == 0 {
			continue
		}
		bright, hv := s.facets(l, v)
		for i := range out {
			out[i] += power * nl * (s.metal*fresnel(s.color[i], hv)*bright + (1-s.metal)*s.matte[i]/math.Pi)
		}
	}
	return out
}

var lampParts = [][2]float64{{-0.5, -0.3}, {0.3, -0.55}, {0.5, 0.35}, {-0.3, 0.5}}
