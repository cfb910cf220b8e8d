#include "detail/view_graph.hpp"

namespace chipledger::detail {
namespace {

constexpr double kFlat = 0.99995;        // cosine: within half a degree of level
constexpr double kUpright = 2e-3;        // |cosine|: within a tenth of a degree of upright
constexpr double kNearlyLevel = 0.999;   // cosine: slopes lean by more than 2.5 degrees
constexpr double kConstantSlope = 0.02;  // spread of the normals' z on a face of one slope

Lie lieOf(const ViewFace& face, double flatness) {
  if (face.upLeast > kFlat && flatness < kTolerances.level) return Lie::Floor;
  if (face.upMost < -kFlat && flatness < kTolerances.level) return Lie::Ceiling;
  if (face.upLeast > -kUpright && face.upMost < kUpright) return Lie::Wall;
  // A flat crown turns little too, but through level: it is no slope.
  const bool level = std::max(std::abs(face.upLeast), std::abs(face.upMost)) > kNearlyLevel;
  return face.upMost - face.upLeast < kConstantSlope && !level ? Lie::Slope : Lie::Curved;
}

}  // namespace

ViewGraph viewGraph(const part::Body& body, const setup::Setup& setup) {
  ViewGraph view;
  view.frame = setup.partToSetup;
  for (const Vec3 p : body.mesh.points) view.top = std::max(view.top, view.frame.apply(p).z);
  view.edges.resize(body.edges.size());
  for (std::size_t e = 0; e < body.edges.size(); ++e) {
    ViewEdge& edge = view.edges[e];
    Box3 box;
    for (const Vec3 p : body.edges[e].points) {
      edge.points.push_back(view.frame.apply(p));
      box.add(edge.points.back());
    }
    if (box.empty()) continue;
    edge.low = box.min.z;
    edge.high = box.max.z;
    edge.upright = edge.high - edge.low > kTolerances.level &&
                   std::max(box.size().x, box.size().y) < 0.02 * (edge.high - edge.low);
  }
  view.faces.resize(body.faces.size());
  for (std::size_t f = 0; f < body.faces.size(); ++f) {
    ViewFace& face = view.faces[f];
    face.low = std::numeric_limits<double>::infinity();
    face.high = -face.low;
    face.upLeast = 1;
    face.upMost = -1;
    for (const part::FaceSample& s : body.faces[f].samples) {
      const double z = view.frame.apply(s.point).z;
      const Vec3 n = view.frame.turn(s.normal);
      face.low = std::min(face.low, z);
      face.high = std::max(face.high, z);
      face.upLeast = std::min(face.upLeast, n.z);
      face.upMost = std::max(face.upMost, n.z);
      face.normal = face.normal + n;
    }
    face.normal = unit(face.normal);
    const double flatness = face.high - face.low;
    for (const part::FaceLoop& loop : body.faces[f].loops) {
      for (const part::FaceLoop::Use& use : loop.uses) {
        const std::size_t e = static_cast<std::size_t>(use.edge.index);
        face.low = std::min(face.low, view.edges[e].low);
        face.high = std::max(face.high, view.edges[e].high);
        if (body.edges[e].left.index != body.edges[e].right.index) face.edges.push_back(use.edge.index);
      }
    }
    std::sort(face.edges.begin(), face.edges.end());
    face.edges.erase(std::unique(face.edges.begin(), face.edges.end()), face.edges.end());
    face.lie =
        lieOf(face, std::max(flatness, face.high - face.low > 2 * kTolerances.level ? face.high - face.low : 0.0));
  }
  for (const part::FaceId id : setup.serves) view.faces[static_cast<std::size_t>(id.index)].served = true;
  return view;
}

int across(const part::Body& body, int edge, int face) {
  const part::Edge& e = body.edges[static_cast<std::size_t>(edge)];
  return e.left.index == face ? e.right.index : e.left.index;
}

std::vector<Vec3> loopPoints(const ViewGraph& view, const std::vector<part::FaceLoop::Use>& uses) {
  std::vector<Vec3> line;
  for (const part::FaceLoop::Use& use : uses) {
    const std::vector<Vec3>& points = view.edges[static_cast<std::size_t>(use.edge.index)].points;
    // The last point of an edge is the first of the next one.
    if (use.reversed) {
      for (std::size_t i = points.size(); i-- > 1;) line.push_back(points[i]);
    } else if (!points.empty()) {
      line.insert(line.end(), points.begin(), points.end() - 1);
    }
  }
  return line;
}

std::vector<Ring> projectedRings(const part::Body& body, const ViewGraph& view, int face) {
  std::vector<Ring> rings;
  for (const part::FaceLoop& loop : body.faces[static_cast<std::size_t>(face)].loops) {
    Ring ring;
    for (const Vec3 p : loopPoints(view, loop.uses)) ring.push_back(p.xy());
    if (ring.size() >= 3) rings.push_back(std::move(ring));
  }
  return rings;
}

}  // namespace chipledger::detail
