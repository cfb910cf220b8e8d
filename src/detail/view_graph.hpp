#pragma once
// Faces and edges of a body as one machining direction sees them: z towards the spindle, z = 0 at the lowest point.
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/part/part.hpp>
#include <chipledger/setup/setup.hpp>

#include <vector>

namespace chipledger::detail {

/// Three sizes that stay apart: noise of a model, places that count as one, shares of a length.
struct Tolerances {
  double level{0.003};    ///< mm: heights closer than this are one (edges carry 0.002 mm of chord)
  double axis{0.01};      ///< mm: axes closer than this are one
  double radius{0.005};   ///< mm
  double ring{0.01};      ///< mm: a sample this close to a border of the silhouette stands on it
  double share{0.02};     ///< of a loop's length: less is a corner, not a side
  double fullTurn{0.97};  ///< share of a circle from which a cylinder is a bore
};
inline constexpr Tolerances kTolerances{};

/// How a face stands to the direction; judged on samples, so a spline that is really flat behaves as a plane.
enum class Lie { Floor, Ceiling, Wall, Slope, Curved };

struct ViewFace {
  Lie lie{Lie::Curved};
  double low{}, high{};        ///< z range
  double upLeast{}, upMost{};  ///< range of the normals' z
  Vec3 normal;                 ///< mean of the samples' normals
  bool served{};               ///< machined from this direction
  std::vector<int> edges;      ///< without seams
  /// Normals' z of a face of one slope.
  double steepness() const { return 0.5 * (upLeast + upMost); }
};

struct ViewEdge {
  std::vector<Vec3> points;
  double low{}, high{};
  bool upright{};  ///< runs along z
  double middle() const { return 0.5 * (low + high); }
};

struct ViewGraph {
  Frame frame;  ///< part -> view
  double top{};
  std::vector<ViewFace> faces;
  std::vector<ViewEdge> edges;
};

ViewGraph viewGraph(const part::Body& body, const setup::Setup& setup);

/// The face on the other side of an edge; -1 on an open border.
int across(const part::Body& body, int edge, int face);
/// Rings of the face's borders, projected along z.
std::vector<Ring> projectedRings(const part::Body& body, const ViewGraph& view, int face);
/// Points of a loop in walking order, in the view's frame.
std::vector<Vec3> loopPoints(const ViewGraph& view, const std::vector<part::FaceLoop::Use>& uses);

}  // namespace chipledger::detail
