package carburetor

import "math"

// A Section is a bowl seen from the side, for float angles beyond the small-angle law and for
// drawing. The float is a box. Lengths are taken with the arm level: x from the hinge pin
// towards the float, y up. All are above 0 except FloatTop, which may have either sign.
type Section struct {
	// Near and Far are x of the two ends of the float.
	Near, Far Length
	// FloatTop is y of the float's upper face; Depth is its height, Width its extent across the
	// drawing.
	FloatTop, Depth, Width Length
	// Gasket is y of the gasket face.
	Gasket Length
	// NeedleArm is x of the needle, which moves straight up and down.
	NeedleArm Length
}

// A Closed section is the bowl when the valve just shuts. Points are in metres from the hinge
// pin.
type Closed struct {
	// Angle of the arm, positive when the float's end is higher than level.
	Angle Angle
	// Level of the fuel from the gasket face, negative below it.
	Level Length
	// Surface is y of the fuel's surface.
	Surface Length
	// Float has the corners of the float: near top, far top, far bottom, near bottom.
	Float [4]Point
	// Immersed is the outline of the part of the float under fuel.
	Immersed []Point
	// Immersion is the volume under fuel.
	Immersion Volume
}

// maxSectionAngle bounds the search for the angle; beyond it no float works.
const maxSectionAngle = 45 * Degree

func (s Section) check() error {
	var bad faults
	positive(&bad, "near end of the float", s.Near)
	above(&bad, "far end of the float", s.Far, s.Near)
	finite(&bad, "top of the float", s.FloatTop)
	positive(&bad, "depth of the float", s.Depth)
	positive(&bad, "width of the float", s.Width)
	finite(&bad, "gasket face", s.Gasket)
	positive(&bad, "needle arm", s.NeedleArm)
	return bad.err()
}

// Float returns the float of the section, of mass m, for the small-angle functions.
func (s Section) Float(m Mass) Float {
	long := s.Far - s.Near
	return Float{
		Mass: m, NeedleArm: s.NeedleArm, Arm: (s.Near + s.Far) / 2,
		Volume: Volume(long * s.Depth * s.Width), Waterplane: Area(long * s.Width),
	}
}

// Close finds where the fuel stands when the valve just shuts with the float at the given height,
// measured FromGasketFace to the lower corner of the float's far end. The valve, fuel and inlet
// pressure are those of b, as is the mass of its float; its other dimensions are those of s.
//
//	rho_f g W integral of x dA (immersed) = m g x_m + F_n a_n
//
// is solved for the level: the balance of moments about the hinge pin with the float at its
// real angle, its mass at the middle of the box. It returns ErrCannotClose when the float is
// under altogether before that. Source: own derivation from Archimedes' law and the law of the
// lever.
func (s Section) Close(b Bowl, height Length) (Closed, error) {
	if err := s.check(); err != nil {
		return Closed{}, err
	}
	b.Float = s.Float(b.Float.Mass)
	if err := b.check(); err != nil {
		return Closed{}, err
	}
	angle, err := s.angleAt(height)
	if err != nil {
		return Closed{}, err
	}
	return s.settle(b, angle)
}

// angleAt finds the angle at which the measured corner is at the given height from the gasket
// face.
func (s Section) angleAt(height Length) (Angle, error) {
	at := func(a float64) float64 { return float64(s.Gasket) - s.corners(Angle(a))[2].Y }
	most, least := at(-float64(maxSectionAngle)), at(float64(maxSectionAngle))
	var bad faults
	between(&bad, "float height", height, Length(least), Length(most))
	if bad != nil {
		return 0, bad.err()
	}
	return Angle(root(-float64(maxSectionAngle), float64(maxSectionAngle), func(a float64) float64 {
		return at(a) - float64(height)
	})), nil
}

// settle finds the level at which the moments balance at the angle.
func (s Section) settle(b Bowl, angle Angle) (Closed, error) {
	c := Closed{Angle: angle, Float: s.corners(angle)}
	middle := (c.Float[0].X + c.Float[2].X) / 2
	load := float64(b.Float.Mass)*gravity*middle + float64(b.Valve.force(b.Inlet))*float64(s.NeedleArm)
	excess := func(y float64) float64 {
		_, moment := areaMoment(clipBelow(c.Float[:], y))
		return float64(b.Fuel)*gravity*float64(s.Width)*moment - load
	}
	low, high := lowest(c.Float), highest(c.Float)
	if excess(high) < 0 {
		return Closed{}, ErrCannotClose
	}
	c.Surface = Length(root(low, high, excess))
	c.Level = c.Surface - s.Gasket
	c.Immersed = clipBelow(c.Float[:], float64(c.Surface))
	area, _ := areaMoment(c.Immersed)
	c.Immersion = Volume(area * float64(s.Width))
	return c, nil
}

// corners turns the box about the hinge pin.
func (s Section) corners(a Angle) [4]Point {
	sin, cos := math.Sincos(float64(a))
	top, bottom := float64(s.FloatTop), float64(s.FloatTop-s.Depth)
	turn := func(x, y float64) Point { return Point{x*cos - y*sin, x*sin + y*cos} }
	near, far := float64(s.Near), float64(s.Far)
	return [4]Point{turn(near, top), turn(far, top), turn(far, bottom), turn(near, bottom)}
}

func lowest(box [4]Point) float64 {
	return min(box[0].Y, box[1].Y, box[2].Y, box[3].Y)
}

func highest(box [4]Point) float64 {
	return max(box[0].Y, box[1].Y, box[2].Y, box[3].Y)
}

// clipBelow cuts a polygon at the height y and keeps what is below: one side of the algorithm
// of I. E. Sutherland and G. W. Hodgman, "Reentrant polygon clipping", Comm. ACM 17 (1974)
// 32-42 (recalled, not seen).
func clipBelow(polygon []Point, y float64) []Point {
	var kept []Point
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		if p.Y <= y {
			kept = append(kept, p)
		}
		if (p.Y <= y) != (q.Y <= y) {
			t := (y - p.Y) / (q.Y - p.Y)
			kept = append(kept, Point{p.X + t*(q.X-p.X), y})
		}
	}
	return kept
}

// areaMoment returns the area of a polygon and its first moment about x = 0, by the trapezoid
// (shoelace) formulas; both positive for polygons to the right of x = 0.
func areaMoment(polygon []Point) (area, moment float64) {
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		cross := p.X*q.Y - q.X*p.Y
		area += cross / 2
		moment += cross * (p.X + q.X) / 6
	}
	if area < 0 {
		return -area, -moment
	}
	return area, moment
}

// HeightCurve samples the fuel level from the gasket face in millimetres over the float height
// in millimetres.
func (s Section) HeightCurve(b Bowl, heights Span[Length]) (Curve, error) {
	x, y := Axis{"float height from the gasket face", "mm"}, Axis{"fuel level from the gasket face", "mm"}
	return sample(heights, x, y, func(h Length) (Point, error) {
		c, err := s.Close(b, h)
		return Point{h.In(Millimetre), c.Level.In(Millimetre)}, err
	})
}
