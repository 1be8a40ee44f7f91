package othercoin

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
	"sync/atomic"
)

// Scene is what is photographed. The first coin is the one that is meant.
type Scene struct {
	Coins  []*Coin
	Table  Table
	Lamps  []Lamp
	Even   float64 // light from everywhere, where a lamp that stands straight above sends 1
	Camera Camera
	Sensor Sensor
	Seed   uint64  // of table, sides of the light, and noise
	Asked  float64 // where the lamp was asked to stand: radians in the picture, as Shot.Lamps
	Rays   int     // through a pixel, 2 if 0; four times as many where it is part coin, part table
}

// Sensor is lens and sensor.
type Sensor struct {
	Blur    float64 // radius of the disc that a point becomes, pixels
	Full    float64 // electrons of a white pixel, 8000 if 0; noise is a part of their root
	Read    float64 // electrons of noise in the dark
	Quality int     // of the JPEG, 90 if 0
}

// Shot is a photograph and what is true of it.
type Shot struct {
	Picture *image.RGBA
	JPEG    []byte
	Edge    Ellipse   // of the first coin, where its upper edge and its side wall meet
	Turn    float64   // of the first coin in the picture, radians from right toward down
	Lamps   []float64 // the side of each lamp as seen from the first coin: radians in the picture
	Heights []float64 // of each lamp over the table there, radians

	eye  eye
	coin *Coin
}

// Pixel is where a place on the first coin is seen, mm in the coin's own directions.
func (s *Shot) Pixel(x, y float64) (u, v float64) {
	sn, k := s.coin.sin, s.coin.cos
	return s.eye.pixel(vec{s.coin.X + x*k - y*sn, s.coin.Y + x*sn + y*k, s.coin.height(x, y)})
}

// world is a scene made ready.
type world struct {
	*Scene
	coins []*Coin
	lamps []Lamp
	sky   sky
	eye   eye
	seed  clouds
}

// Shoot takes the photograph.
func (s *Scene) Shoot() *Shot {
	r := rand.New(rand.NewPCG(s.Seed, 0x73686f74))
	w := s.laid()
	w.seed = clouds(r.Uint64())
	w.sky = sky{even: 0.6 * s.Even, above: 0.4 * s.Even}
	for range 1 + r.IntN(2) {
		w.sky.sides = append(w.sky.sides, side{toward(2*math.Pi*r.Float64(), between(r, 0.5, 1.3)), s.Even * between(r, 0.3, 1.2), between(r, 0.2, 0.5)})
	}
	light := w.render()
	s.Sensor.spread(light, s.Camera.Width, s.Camera.Height)
	shot := &Shot{}
	shot.Picture, shot.JPEG = s.Sensor.expose(light, s.Camera.Width, s.Camera.Height, r)
	shot.say(w)
	return shot
}

// Again is the photograph that was taken before, from its JPEG: it is the rendering that takes long.
func (s *Scene) Again(jpeg []byte) (*Shot, error) {
	shot := &Shot{JPEG: jpeg}
	var err error
	if shot.Picture, err = decoded(jpeg); err != nil {
		return nil, err
	}
	shot.say(s.laid())
	return shot, nil
}

// Name is the same for the same scene only. It says nothing of how scenes are rendered.
func (s *Scene) Name() string {
	h := sha256.New()
	fmt.Fprintln(h, s.Table, s.Lamps, s.Even, s.Camera, s.Sensor, s.Seed, s.Rays)
	for _, c := range s.Coins {
		fmt.Fprintln(h, c.Diameter, c.Thickness, c.Metal, c.X, c.Y, c.Turn, c.roughness, c.flow, c.film, c.reeds)
		for _, all := range [][]float32{c.face.z, c.dirt, c.tone} {
			binary.Write(h, binary.LittleEndian, all)
		}
	}
	return hex.EncodeToString(h.Sum(nil)[:12])
}

// laid is the scene with its coins at their turns.
func (s *Scene) laid() *world {
	w := &world{Scene: s, lamps: s.Lamps, eye: s.Camera.ready()}
	for _, c := range s.Coins {
		laid := *c
		laid.sin, laid.cos = math.Sincos(c.Turn)
		w.coins = append(w.coins, &laid)
	}
	return w
}

// say finds what is true of the first coin.
func (s *Shot) say(w *world) {
	s.eye = w.eye
	if len(w.coins) == 0 {
		return
	}
	c := w.coins[0]
	s.coin = c
	radius := c.Diameter / 2
	s.Edge = s.eye.ring(c.X, c.Y, c.Thickness+c.face.height(radius*0.999, 0), radius)
	u0, v0 := s.eye.pixel(vec{c.X, c.Y, c.Thickness})
	u1, v1 := s.eye.pixel(vec{c.X + c.cos, c.Y + c.sin, c.Thickness})
	s.Turn = math.Atan2(v1-v0, u1-u0)
	for _, l := range w.Lamps {
		d := vec{l.X - c.X, l.Y - c.Y, 0}
		u, v := s.eye.pixel(vec{c.X, c.Y, c.Thickness}.add(d.unit()))
		u0, v0 := s.eye.pixel(vec{c.X, c.Y, c.Thickness})
		s.Lamps = append(s.Lamps, math.Atan2(v-v0, u-u0))
		s.Heights = append(s.Heights, math.Atan2(l.Z-c.Thickness, d.length()))
	}
}

// render is the light of each pixel, three colors each.
func (w *world) render() []float32 {
	width, height := w.Camera.Width, w.Camera.Height
	light := make([]float32, 3*width*height)
	rays := w.Rays
	if rays == 0 {
		rays = 2
	}
	var next atomic.Int64
	var all sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		all.Go(func() {
			for y := int(next.Add(1)) - 1; y < height; y = int(next.Add(1)) - 1 {
				for x := range width {
					var sum [3]float64
					most, first := rays, -2
					for k := 0; k < most; k++ {
						// Places spread evenly over the pixel, others in the next one.
						n := float64(k + rays*(x+13*y))
						u, v := n*0.7548776662, n*0.5698402910
						u, v = u-math.Floor(u), v-math.Floor(v)
						l, met := w.seen(w.eye.ray(float64(x)+u, float64(y)+v), k+x+2*y)
						for i := range sum {
							sum[i] += l[i]
						}
						if first == -2 {
							first = met
						} else if met != first {
							most = 4 * rays
						}
					}
					for i := range sum {
						light[3*(y*width+x)+i] = float32(sum[i] / float64(most))
					}
				}
			}
		})
	}
	all.Wait()
	return light
}

// seen is the light that comes against a ray from the camera, and the number of the coin that
// it met, -1 for the table.
func (w *world) seen(d vec, place int) (light [3]float64, met int) {
	var s surface
	met = -1
	nearest := math.Inf(1)
	for i, c := range w.coins {
		if t, ok := c.meet(w.eye.at, d, nearest, &s); ok {
			nearest, met = t, i
		}
	}
	if math.IsInf(nearest, 1) {
		at := w.eye.at.add(d.times(-w.eye.at.z / d.z))
		s = surface{at: at, normal: vec{0, 0, 1}, along: vec{1, 0, 0}, matte: w.Table.color(at.x, at.y, w.seed), with: 0.5, across: 0.5, open: w.open(at)}
	}
	return w.light(&s, d.times(-1), place), met
}

// open is how much of the sky a place on the table sees beside the coins.
func (w *world) open(at vec) float64 {
	k := 1.0
	for _, c := range w.coins {
		gap := math.Hypot(at.x-c.X, at.y-c.Y) - c.Diameter/2
		if gap < 4*c.Thickness {
			k *= 1 - 0.5*math.Exp(-max(0, gap)/c.Thickness)
		}
	}
	return k
}

// meet finds where a ray meets a coin nearer than nearest, and fills in what is there.
func (c *Coin) meet(from, d vec, nearest float64, s *surface) (float64, bool) {
	radius := c.Diameter / 2
	ceiling := c.Thickness + c.face.top
	x, y := from.x-c.X, from.y-c.Y
	// In and out of the endless cylinder.
	a := d.x*d.x + d.y*d.y
	in, out := math.Inf(-1), math.Inf(1)
	if b, q := x*d.x+y*d.y, x*x+y*y-radius*radius; a > 1e-12 {
		root := b*b - a*q
		if root <= 0 {
			return 0, false
		}
		root = math.Sqrt(root)
		in, out = (-b-root)/a, (-b+root)/a
	} else if q > 0 {
		return 0, false
	}
	top := (ceiling - from.z) / d.z
	start := max(in, top)
	if start >= nearest || start > out || from.z+d.z*start < 0 {
		return 0, false
	}
	place := func(t float64) (float64, float64, float64) {
		u, v := c.own(from.x+d.x*t, from.y+d.y*t)
		return u, v, from.z + d.z*t - c.height(u, v)
	}
	u, v, gap := place(start)
	if gap <= 0 && in >= top { // a side wall
		c.wall(s, from.add(d.times(start)))
		return start, true
	}
	// March into the relief, then halve between the last two places.
	step := (c.face.top + 1e-3) / -d.z / 12
	t := start
	for gap > 0 {
		if t += step; t > out {
			return 0, false
		}
		u, v, gap = place(t)
	}
	lo, hi := t-step, t
	for range 7 {
		m := (lo + hi) / 2
		if u, v, gap = place(m); gap > 0 {
			lo = m
		} else {
			hi = m
		}
	}
	if hi >= nearest {
		return 0, false
	}
	c.top(s, from.add(d.times(hi)), u, v)
	return hi, true
}

// top fills in a place on the face.
func (c *Coin) top(s *surface, at vec, u, v float64) {
	sx, sy := c.face.slopes(u, v)
	sn, k := c.sin, c.cos
	i, a, b := c.face.place(u, v)
	dirt, tone := float64(mix(c.dirt, i, a, b)), math.Exp2(-float64(c.tone.at(i)))
	r := math.Hypot(u, v) + 1e-9
	*s = surface{
		at:     at,
		normal: vec{-(sx*k - sy*sn), -(sx*sn + sy*k), 1}.unit(),
		along:  vec{(u*k - v*sn) / r, (u*sn + v*k) / r, 0},
		metal:  1 - dirt, matte: [3]float64{0.1, 0.085, 0.07},
		with: c.roughness * (1 + 0.5*c.flow), across: c.roughness * (1 - 0.6*c.flow), open: 1 - 0.4*dirt,
	}
	if share := dirt + (1-dirt)*c.film; share > 0 {
		for j := range s.matte {
			s.matte[j] = (s.matte[j]*dirt + 0.7*c.Metal[j]*tone*(1-dirt)*c.film) / share
		}
		s.metal = 1 - share
	}
	for j := range s.color {
		s.color[j] = c.Metal[j] * tone
		tone *= 0.6 + 0.4*tone // thin oxide takes the blue first
	}
}

// wall fills in a place on the side wall.
func (c *Coin) wall(s *surface, at vec) {
	angle := math.Atan2(at.y-c.Y, at.x-c.X)
	out := vec{math.Cos(angle), math.Sin(angle), 0}
	around := vec{-out.y, out.x, 0}
	n := out
	if c.reeds > 0 {
		n = out.add(around.times(0.8 * math.Sin(float64(c.reeds)*(angle-c.Turn)))).unit()
	}
	*s = surface{
		at: at.add(out.times(1e-4)), normal: n, along: vec{0, 0, 1}, metal: 0.8, color: c.Metal,
		matte: [3]float64{0.1, 0.09, 0.08}, with: 0.35, across: 0.35, open: 0.4 + 0.3*at.z/c.Thickness,
	}
}

// arrives is 1 where nothing stands between a place and a lamp, else 0.
func (w *world) arrives(at, l vec, far float64) float64 {
	for _, c := range w.coins {
		u, v := c.own(at.x, at.y)
		if u*u+v*v < c.Diameter*c.Diameter/4 && at.z > c.Thickness*0.9 {
			// On this face: only its own relief can stand in the way.
			if c.shaded(at, l) {
				return 0
			}
			return 1
		}
	}
	for _, c := range w.coins {
		if c.blocks(at, l) {
			return 0
		}
	}
	return 1
}

// shaded reports whether the relief hides a lamp from a place on the face.
func (c *Coin) shaded(at, l vec) bool {
	left := c.Thickness + c.face.top - at.z
	if left <= 0 || l.z > 0.97 {
		return false
	}
	const steps = 14
	reach := min(left/max(l.z, 0.05), 1.5)
	for k := 1; k <= steps; k++ {
		// Closer near the place, where most of what hides it stands.
		t := float64(k) / steps
		t = reach * t * (0.25 + 0.75*t)
		u, v := c.own(at.x+l.x*t, at.y+l.y*t)
		if u*u+v*v > c.Diameter*c.Diameter/4 {
			return false
		}
		if at.z+l.z*t < c.height(u, v)-1e-3 {
			return true
		}
	}
	return false
}

// blocks reports whether the coin as a whole stands between a place beside it and a lamp.
func (c *Coin) blocks(at, l vec) bool {
	radius := c.Diameter / 2
	x, y := at.x-c.X, at.y-c.Y
	a, b, q := l.x*l.x+l.y*l.y, x*l.x+y*l.y, x*x+y*y-radius*radius
	root := b*b - a*q
	if root <= 0 || a < 1e-12 {
		return false
	}
	root = math.Sqrt(root)
	in, out := (-b-root)/a, (-b+root)/a
	if out <= 1e-3 {
		return false
	}
	return at.z+l.z*max(in, 1e-3) < c.Thickness
}
