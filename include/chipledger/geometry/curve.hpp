#pragma once
// A curve of straight lines and circular arcs. Arcs turn in the XY plane; z may change evenly along them (helix). mm.
#include <chipledger/geometry/vec.hpp>

#include <vector>

namespace chipledger {

struct Segment {
  enum class Shape { Line, ArcCcw, ArcCw };
  Vec3 start, end;
  Shape shape{Shape::Line};
  Vec2 centre{};       ///< arcs only
  double turns{0.0};   ///< whole extra turns of an arc, >= 0; start == end in XY with turns 1 is a full circle
};

/// Swept angle of an arc, radians, > 0; 0 for a line.
double sweep(const Segment& s);
/// Radius of an arc in XY; infinity for a line.
double radius(const Segment& s);
double length(const Segment& s);
Vec3 pointAt(const Segment& s, double fraction);
Vec3 directionAt(const Segment& s, double fraction);  ///< unit tangent
Segment line(Vec3 from, Vec3 to);
Segment arc(Vec3 from, Vec3 to, Vec2 centre, Segment::Shape shape, double turns = 0.0);

/// Fits lines and arcs to a polyline, every input point within `tolerance` of the result and every chord's sagitta
/// within 2.5 tolerance (so straight sides are never replaced by a wide arc). Corners sharper than `cornerAngle`
/// (radians) stay corners. z is taken from the points (arcs only where z is level).
std::vector<Segment> fitCurve(const std::vector<Vec3>& points, double tolerance, double cornerAngle = 0.5);

}  // namespace chipledger
