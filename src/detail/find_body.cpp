#include <map>

#include "detail/recogniser.hpp"

namespace chipledger::detail {
namespace {

constexpr double kSliver = 1e-3;           // mm2: gaps between projected faces that are noise of their edges
constexpr double kRectangularShare = 0.5;  // of the outline on the rectangle round it
constexpr double kBlockThickness = 0.35;   // height over the smaller plan side from which a rectangle is a block
constexpr double kGroundShare = 0.2;       // of the silhouette: a carved face this large is the body's own
constexpr double kCarvedShare = 0.5;       // of the silhouette: with less flat floor the body's face is carved

/// Borders of the triangles of one face that look up: inner sides cancel.
std::vector<Ring> upwardBorder(const part::Mesh& mesh, const Frame& frame, std::int32_t face) {
  std::multimap<std::int32_t, std::int32_t> sides;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    if (mesh.triangleFace[t] != face) continue;
    Ring ring;
    for (const std::int32_t p : mesh.triangles[t])
      ring.push_back(frame.apply(mesh.points[static_cast<std::size_t>(p)]).xy());
    if (signedArea(ring) <= 0) continue;
    for (int k = 0; k < 3; ++k) {
      const std::int32_t from = mesh.triangles[t][static_cast<std::size_t>(k)],
                         to = mesh.triangles[t][static_cast<std::size_t>((k + 1) % 3)];
      const auto [first, last] = sides.equal_range(to);
      const auto back = std::find_if(first, last, [&](const auto& side) { return side.second == from; });
      if (back != last)
        sides.erase(back);
      else
        sides.emplace(from, to);
    }
  }
  std::vector<Ring> rings;
  while (!sides.empty()) {
    Ring ring;
    for (auto side = sides.begin(); side != sides.end();) {
      ring.push_back(frame.apply(mesh.points[static_cast<std::size_t>(side->first)]).xy());
      const std::int32_t next = side->second;
      sides.erase(side);
      side = sides.find(next);
    }
    if (ring.size() >= 3) rings.push_back(std::move(ring));
  }
  return rings;
}

}  // namespace

Silhouette Recogniser::silhouette(const ViewGraph& graph) const {
  Silhouette result;
  std::vector<Region> parts;
  for (std::size_t f = 0; f < graph.faces.size(); ++f) {
    const ViewFace& vf = graph.faces[f];
    if (vf.lie == Lie::Wall || vf.lie == Lie::Ceiling || vf.upMost < 2e-3) continue;
    if (vf.upLeast > -2e-3) {
      parts.push_back(clean(projectedRings(body_, graph, static_cast<int>(f))));
      continue;
    }
    // A face that turns over (a lying cylinder) is projected by its triangles that look up.
    const std::vector<Ring> rings = upwardBorder(body_.mesh, graph.frame, static_cast<std::int32_t>(f));
    parts.push_back(clean(rings));
  }
  for (const Ring& ring : unite(parts).rings) {
    if (std::abs(signedArea(ring)) > kSliver) result.region.rings.push_back(ring);
  }
  double largest = 0;
  for (std::size_t r = 0; r < result.region.rings.size(); ++r) {
    const double size = signedArea(result.region.rings[r]);
    if (size <= largest) continue;
    largest = size;
    result.outer = static_cast<int>(r);
  }
  result.ringOfFace.assign(graph.faces.size(), -1);
  std::vector<Box2> boxes;
  for (const Ring& ring : result.region.rings) boxes.push_back(chipledger::box(ring));
  for (std::size_t f = 0; f < graph.faces.size(); ++f) {
    if (graph.faces[f].lie != Lie::Wall) continue;
    const auto& samples = body_.faces[f].samples;
    for (std::size_t r = 0; r < boxes.size() && !samples.empty(); ++r) {
      const auto near = [&](Vec3 point) {
        const Vec2 p = graph.frame.apply(point).xy();
        const double slack = kTolerances.ring;
        return p.x > boxes[r].min.x - slack && p.x < boxes[r].max.x + slack && p.y > boxes[r].min.y - slack &&
               p.y < boxes[r].max.y + slack && distanceTo(result.region.rings[r], p) < slack;
      };
      // The first and last sample differ in place, so most faces are dismissed at once.
      if (!near(samples.front().point) || !near(samples.back().point)) continue;
      bool all = true;
      for (const part::FaceSample& s : samples) all = all && near(s.point);
      if (!all) continue;
      result.ringOfFace[f] = static_cast<int>(r);
      break;
    }
  }
  if (result.outer >= 0) {
    const Ring& ring = result.region.rings[static_cast<std::size_t>(result.outer)];
    result.box = chipledger::box(ring);
    double on = 0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec2 a = ring[i], b = ring[(i + 1) % ring.size()];
      const auto both = [&](double Vec2::*axis, double at) {
        return std::abs(a.*axis - at) < kTolerances.ring && std::abs(b.*axis - at) < kTolerances.ring;
      };
      if (both(&Vec2::x, result.box.min.x) || both(&Vec2::x, result.box.max.x) || both(&Vec2::y, result.box.min.y) ||
          both(&Vec2::y, result.box.max.y)) {
        on += norm(b - a);
      }
    }
    result.rectangular = on >= kRectangularShare * perimeter(ring);
  }
  return result;
}

void Recogniser::findBody() {
  View& top = views_[static_cast<std::size_t>(outer_)];
  View& under = views_[static_cast<std::size_t>(back_)];
  block_ = top.silhouette.rectangular && size_.z >= kBlockThickness * std::min(size_.x, size_.y);

  Detail body;
  body.kind = DetailKind::Body;
  body.side = Side::Both;
  const int index = add(body, outer_);
  Detail outline;
  outline.kind = DetailKind::Outline;
  outline.side = Side::Both;
  outline.through = true;
  const int outlineIndex = add(outline, outer_);
  bodyDetail_ = index;
  outlineDetail_ = outlineIndex;

  for (View* view : {&top, &under}) {
    const Silhouette& shape = view->silhouette;
    double bestArea = -1;
    for (std::size_t l = 0; l < view->levels.list.size(); ++l) {
      const Level& level = view->levels.list[l];
      if (!level.served || level.loops.empty() || !level.loops.front().outer) continue;
      const LevelLoop& loop = level.loops.front();
      const bool recess = loop.up() > 0.98 * loop.length();
      if (recess || (block_ && level.z < view->graph.top - kTolerances.level)) continue;
      // The plan area inside the border, holes and all: what the level carries counts as its own.
      if (loop.area > bestArea * (1 + 1e-9)) {
        bestArea = loop.area;
        view->bodyLevel = static_cast<int>(l);
      }
    }
    const double silhouetteArea =
        shape.outer >= 0 ? signedArea(shape.region.rings[static_cast<std::size_t>(shape.outer)]) : 0.0;
    if (view->bodyLevel < 0 || (!block_ && bestArea < kCarvedShare * silhouetteArea)) {
      // No floor to speak of: the face is carved and the body reaches to the top of the carving.
      double high = 0;
      for (std::size_t f = 0; f < body_.faces.size(); ++f) {
        const ViewFace& vf = face(*view, static_cast<int>(f));
        if (!vf.served || vf.lie != Lie::Curved || vf.upMost <= 0.9 ||
            toMm2(body_.faces[f].area) <= kGroundShare * silhouetteArea)
          continue;
        view->ground[f] = 1;
        high = std::max(high, vf.high);
      }
      for (std::size_t p = 0; p < body_.mesh.triangles.size(); ++p) {
        // The crest may lie between the samples and away from the borders.
        if (!view->ground[static_cast<std::size_t>(body_.mesh.triangleFace[p])]) continue;
        for (const std::int32_t v : body_.mesh.triangles[p]) {
          high = std::max(high, view->graph.frame.apply(body_.mesh.points[static_cast<std::size_t>(v)]).z);
        }
      }
      if (view->bodyLevel < 0 || high > 0) {
        view->bodyLevel = -1;
        view->bodyZ = high > 0 ? high : view->graph.top;
        continue;
      }
    }
    view->bodyZ = view->levels.list[static_cast<std::size_t>(view->bodyLevel)].z;
    for (std::size_t l = 0; l < view->levels.list.size(); ++l) {
      const Level& level = view->levels.list[l];
      if (std::abs(level.z - view->bodyZ) > kTolerances.level || level.loops.empty()) continue;
      // Other floors at the body's height belong to it when they reach the outline.
      bool reaches = static_cast<int>(l) == view->bodyLevel || block_;
      for (const LevelBorder& b : level.loops.front().borders) reaches = reaches || ringBelow(*view, b) == shape.outer;
      if (!reaches) continue;
      view->levelDetail[l] = index;
      for (const int f : level.faces) claim(f, index);
    }
  }
  for (View& view : views_) {
    if (!plan_.setups[static_cast<std::size_t>(view.setup)].plateSide) view.bodyZ = view.graph.top;
  }
  out_.bodyLow_mm = size_.z - under.bodyZ;
  out_.bodyHigh_mm = top.bodyZ;
  Detail& made = found_[static_cast<std::size_t>(index)];
  made.low_mm = out_.bodyLow_mm;
  made.high_mm = out_.bodyHigh_mm;
  made.dimensions.thickness = mm(out_.bodyHigh_mm - out_.bodyLow_mm);
  made.dimensions.length = mm(size_.x);
  made.dimensions.width = mm(size_.y);
  if (top.silhouette.outer >= 0) made.footprint = filled(top.silhouette.region);

  Detail& line = found_[static_cast<std::size_t>(outlineIndex)];
  line.low_mm = out_.bodyLow_mm;
  line.high_mm = out_.bodyHigh_mm;
  line.footprint = made.footprint;
  line.dimensions.height = mm(out_.bodyHigh_mm - out_.bodyLow_mm);
  if (top.silhouette.outer >= 0)
    line.dimensions.length = mm(perimeter(top.silhouette.region.rings[static_cast<std::size_t>(top.silhouette.outer)]));
  line.dimensions.centre = made.dimensions.centre =
      plan_.partToPlate.applyBack({0, 0, 0.5 * (out_.bodyLow_mm + out_.bodyHigh_mm)});
}

}  // namespace chipledger::detail
