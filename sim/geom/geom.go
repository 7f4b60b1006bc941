// Package geom holds points in space and the few constructions that suspension kinematics needs.
package geom

import "math"

// Point is a place, a displacement or a direction, in ISO 8855 vehicle axes (x forward, y left, z up).
type Point struct{ X, Y, Z float64 }

// Add gives p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y, p.Z + q.Z} }

// Sub gives p − q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y, p.Z - q.Z} }

// Scale gives k·p.
func (p Point) Scale(k float64) Point { return Point{k * p.X, k * p.Y, k * p.Z} }

// Dot gives the scalar product.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y + p.Z*q.Z }

// Cross gives the right-handed vector product.
func (p Point) Cross(q Point) Point {
	return Point{p.Y*q.Z - p.Z*q.Y, p.Z*q.X - p.X*q.Z, p.X*q.Y - p.Y*q.X}
}

// Norm gives the length.
func (p Point) Norm() float64 { return math.Sqrt(p.Dot(p)) }

// Unit gives the direction of p; the zero point stays zero.
func (p Point) Unit() Point {
	if n := p.Norm(); n > 0 {
		return p.Scale(1 / n)
	}
	return p
}
