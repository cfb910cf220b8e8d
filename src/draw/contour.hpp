#pragma once
// Closed plane curves of lines, arcs and cubic splines with exact measures. mm, counter-clockwise (material or cavity
// to the left). A full circle is one arc piece whose start is its end.
#include <chipledger/draw/chassis.hpp>
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/result/result.hpp>

#include <array>
#include <optional>
#include <vector>

namespace chipledger::draw {

struct Piece {
  enum class Kind { Line, Arc, Spline };
  Kind kind{Kind::Line};
  Vec2 start, end;
  Vec2 centre{};                           ///< arcs
  double sweep{};                          ///< arcs: signed angle, > 0 counter-clockwise
  std::vector<double> knots;               ///< splines: parameters of the points passed through
  std::vector<std::array<Vec2, 4>> spans;  ///< splines: Bezier poles of each span
};

struct Contour {
  std::vector<Piece> pieces;
  bool fullCircle() const { return pieces.size() == 1 && pieces[0].kind == Piece::Kind::Arc; }
  bool hasSpline() const;
};

/// Chord error of rings made from contours, mm.
inline constexpr double kRingChord_mm = 0.002;
/// Turn between two pieces below which their joint counts as smooth, radians.
inline constexpr double kSmoothTurn = 1e-6;

enum class Halves { Whole, Split };  ///< of circles

double area(const Contour& contour);       ///< exact (splines: cubic Bezier spans by Green's theorem)
double perimeter(const Contour& contour);  ///< splines: Gauss quadrature
Ring ring(const Contour& contour, double chord_mm = kRingChord_mm);
bool smooth(const Contour& contour);  ///< tangents agree at every joint
/// Smallest radius of pieces that turn left (convex) or right (hollow); infinity when there is none, 0 at a corner.
double smallestConvexRadius(const Contour& contour);
double smallestHollowRadius(const Contour& contour);
/// The contour `inward` mm inside (negative: outside); corners stay corners. Same number of pieces.
/// Empty when it has a spline or when a piece would vanish or turn over.
std::optional<Contour> inset(const Contour& contour, double inward_mm);
Contour placed(const Contour& contour, Vec2 centre_mm, Angle angle);

Vec2 tangentAtStart(const Piece& piece);
Vec2 tangentAtEnd(const Piece& piece);
Vec2 at(const Piece& piece, double fraction);  ///< splines: fraction of the parameter range
double radius(const Piece& piece);

/// Contour integral of f(x, y) dy along the whole curve, 12 Gauss points an eighth of a turn, span or line.
template <class F>
double integrateDy(const Contour& contour, F f);

Result<Contour> contourOf(const PlanShape& shape, Place place, Halves halves, const std::string& where);
Result<Contour> contourOf(const Outline& outline, const std::string& where);

/// A C2 cubic spline through points with chord-length parameters and the given unit end tangents.
Piece splineThrough(const std::vector<Vec2>& points, Vec2 startTangent, Vec2 endTangent);
/// A closed periodic one, cut into two pieces.
Contour closedSpline(const std::vector<Vec2>& points);

/// Lines and arcs through corners, radii rounded in. Fails when the radii do not fit.
Result<Contour> roundedPolyline(const std::vector<Corner>& corners, const std::string& where);

// Nodes of a piece for quadrature: point, derivative times weight.
struct QuadratureNode {
  Vec2 point, step;
};
std::vector<QuadratureNode> nodes(const Piece& piece);

template <class F>
double integrateDy(const Contour& contour, F f) {
  double sum = 0.0;
  for (const Piece& piece : contour.pieces)
    for (const QuadratureNode& n : nodes(piece)) sum += f(n.point.x, n.point.y) * n.step.y;
  return sum;
}

}  // namespace chipledger::draw
