#pragma once
// Plane regions bounded by closed rings, and exact-arithmetic operations on them (a packaged polygon library on
// integer coordinates of 1e-5 mm). Rings are closed without repeating the first point; outer rings run
// counter-clockwise, holes clockwise; the region lies to the left of every ring. Coordinates are mm.
#include <chipledger/geometry/curve.hpp>  // ahead of `Line`, which GCC else takes for shadowed by Segment::Shape::Line
#include <chipledger/geometry/vec.hpp>

#include <vector>

namespace chipledger {

using Ring = std::vector<Vec2>;
using Line = std::vector<Vec2>;  ///< an open polyline

struct Region {
  std::vector<Ring> rings;
  bool empty() const { return rings.empty(); }
};

/// Round joins are chords within this distance of the true arc, mm.
inline constexpr double kOffsetArcTolerance = 0.002;

double signedArea(const Ring& ring);
double perimeter(const Ring& ring);
double area(const Region& region);       ///< holes subtracted
double perimeter(const Region& region);  ///< holes added
Box2 box(const Region& region);
Box2 box(const Ring& ring);
bool contains(const Region& region, Vec2 p);  ///< even-odd rule; O(vertices)
/// Signed distance from p to the border: positive inside. O(vertices).
double wallDistance(const Region& region, Vec2 p);

Region unite(const Region& a, const Region& b);
Region unite(const std::vector<Region>& regions);
Region intersect(const Region& a, const Region& b);
Region subtract(const Region& a, const Region& b);
/// Makes any bag of rings a proper region (non-zero rule).
Region clean(const std::vector<Ring>& rings);
/// The points within `distance` of the region (distance > 0), or those at least -distance inside it (distance < 0).
/// Corners are rounded. offset(offset(r, -d), d) is the opening by a disc of radius d.
Region offset(const Region& region, double distance, double arcTolerance = kOffsetArcTolerance);
/// Parts of a closed ring or open line inside the region, in the order and direction of the line.
std::vector<Line> clipInside(const Line& line, const Region& region);
std::vector<Line> clipOutside(const Line& line, const Region& region);
/// The region as separate pieces: one outer ring with its holes each, largest first (ties by position).
std::vector<Region> pieces(const Region& region);
Region rectangle(Vec2 min, Vec2 max);
/// Circle as a polygon whose area equals the true area to within the chord tolerance.
Region disc(Vec2 centre, double radius, double arcTolerance = kOffsetArcTolerance);
/// Fewer points: drops points within `tolerance` of the line between their neighbours (Douglas-Peucker).
Ring simplify(const Ring& ring, double tolerance);
Line simplifyLine(const Line& line, double tolerance);
/// Mirrors x -> -x and restores the ring sense.
Region mirrorX(const Region& region);

}  // namespace chipledger
