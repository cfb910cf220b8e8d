#include <numbers>

#include "detail/recogniser.hpp"

namespace chipledger::detail {
namespace {

constexpr double kSameSlope = 0.03;   // difference of the normals' z within one chamfer
constexpr double kSameHeight = 0.02;  // mm: a chamfer runs at one height

}  // namespace

/// Chamfers and convex rounds along edges: slopes between two sharp outer edges, rounds between two smooth ones. Pieces
/// that meet at one height are one detail.
void Recogniser::findEdgeBreaks(int viewIndex) {
  View& view = views_[static_cast<std::size_t>(viewIndex)];
  std::vector<char> seen(body_.faces.size(), 0);
  for (std::size_t start = 0; start < body_.faces.size(); ++start) {
    const int first = static_cast<int>(start);
    if (seen[start] || claimed(first) || face(view, first).upMost < 0.02 || !edgeBreak(view, first)) continue;
    std::vector<int> pieces{first};
    seen[start] = 1;
    for (std::size_t k = 0; k < pieces.size(); ++k) {
      const ViewFace& from = face(view, pieces[k]);
      for (const int e : from.edges) {
        const int other = across(body_, e, pieces[k]);
        if (other < 0 || seen[static_cast<std::size_t>(other)] || claimed(other) || !edgeBreak(view, other)) continue;
        const ViewFace& to = face(view, other);
        const bool alike = to.lie == from.lie && std::abs(to.high - from.high) < kSameHeight &&
                           std::abs(to.low - from.low) < kSameHeight &&
                           std::abs(to.steepness() - from.steepness()) < (from.lie == Lie::Slope ? kSameSlope : 0.3);
        if (!alike) continue;
        seen[static_cast<std::size_t>(other)] = 1;
        pieces.push_back(other);
      }
    }
    std::sort(pieces.begin(), pieces.end());
    Detail d;
    const bool slope = face(view, first).lie == Lie::Slope;
    d.kind = slope ? DetailKind::Chamfer : DetailKind::Round;
    d.side = sideOf(view);
    double low = view.graph.top, high = 0, length = 0;
    std::vector<double> byOwner(found_.size(), 0.0);
    for (const int f : pieces) {
      low = std::min(low, face(view, f).low);
      high = std::max(high, face(view, f).high);
    }
    for (const int f : pieces) {
      for (const int e : face(view, f).edges) {
        const int other = across(body_, e, f);
        const double middle = edge(view, e).middle();
        const double l = toMm(bodyEdge(e).length);
        if (edge(view, e).high - edge(view, e).low < kSameHeight && middle > high - kSameHeight) length += l;
        // The edge belongs to what stands below or above it; the body's floor is only its neighbour.
        if (other < 0 || !claimed(other)) continue;
        const std::size_t owner = static_cast<std::size_t>(owner_[static_cast<std::size_t>(other)]);
        if (found_[owner].kind != DetailKind::Body) byOwner[owner] += l;
      }
    }
    const auto most = std::max_element(byOwner.begin(), byOwner.end());
    if (most != byOwner.end() && *most > 0) d.parent = static_cast<int>(most - byOwner.begin());
    setHeights(d, view, low, high);
    d.dimensions.depth = mm(high - low);
    d.dimensions.length = mm(length);
    if (slope) {
      const double up = std::clamp(face(view, first).steepness(), 0.0, 1.0);
      d.dimensions.angle = radians(std::acos(up));
      d.dimensions.width = mm((high - low) / std::max(1e-9, std::tan(std::acos(up))));
    } else {
      const part::Face& bf = bodyFace(first);
      d.dimensions.cornerRadius = mm(bf.kind == part::SurfaceKind::Torus
                                         ? toMm(bf.minorRadius)
                                         : (bf.kind == part::SurfaceKind::Cylinder ? toMm(bf.radius) : high - low));
    }
    d.footprint = toPlate(view, projection(view, pieces));
    const int index = add(std::move(d), viewIndex);
    for (const int f : pieces) claim(f, index);
  }
}

}  // namespace chipledger::detail
