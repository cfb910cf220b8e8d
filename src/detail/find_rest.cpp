#include "detail/recogniser.hpp"

namespace chipledger::detail {
namespace {

constexpr double kLooksUp = 0.2;       // cosine: a curved face that turns less than this towards the spindle is a wall
constexpr double kSeatDiameter = 3.2;  // mm: hollow spheres and cones up to here seat balls
constexpr double kOpposite = -0.2;     // product of two horizontal normals that look at each other

std::vector<std::vector<int>> groups(const std::vector<int>& faces, std::size_t count, const auto& joined) {
  std::vector<char> member(count, 0);
  for (const int f : faces) member[static_cast<std::size_t>(f)] = 1;
  std::vector<std::vector<int>> result;
  for (const int f : faces) {
    if (!member[static_cast<std::size_t>(f)]) continue;
    std::vector<int> group{f};
    member[static_cast<std::size_t>(f)] = 0;
    for (std::size_t k = 0; k < group.size(); ++k) {
      for (const int other : joined(group[k])) {
        if (other < 0 || !member[static_cast<std::size_t>(other)]) continue;
        member[static_cast<std::size_t>(other)] = 0;
        group.push_back(other);
      }
    }
    std::sort(group.begin(), group.end());
    result.push_back(std::move(group));
  }
  return result;
}

}  // namespace

/// Faces no direction sees, joined where they touch.
void Recogniser::findUndercuts() {
  std::vector<int> faces;
  for (const part::FaceId f : plan_.unseen) faces.push_back(f.index);
  const View& view = views_[static_cast<std::size_t>(outer_)];
  for (const auto& group : groups(faces, body_.faces.size(), [&](int f) {
         std::vector<int> next;
         for (const int e : face(view, f).edges) next.push_back(across(body_, e, f));
         return next;
       })) {
    Detail d;
    d.kind = DetailKind::Undercut;
    d.side = Side::Other;
    const int index = add(std::move(d), outer_);
    for (const int f : group) claim(f, index);
  }
}

/// Curved faces that look towards the spindle and belong to nothing so far.
void Recogniser::findCarved() {
  for (std::size_t v = 0; v < views_.size(); ++v) {
    View& view = views_[v];
    std::vector<int> faces;
    for (std::size_t f = 0; f < body_.faces.size(); ++f) {
      const ViewFace& vf = face(view, static_cast<int>(f));
      const bool curved = vf.lie == Lie::Curved ||
                          (vf.lie == Lie::Slope && bodyFace(static_cast<int>(f)).kind != part::SurfaceKind::Plane);
      if (!claimed(static_cast<int>(f)) && vf.served && curved && vf.upMost > kLooksUp)
        faces.push_back(static_cast<int>(f));
    }
    for (const auto& group : groups(faces, body_.faces.size(), [&](int f) {
           std::vector<int> next;
           for (const int e : face(view, f).edges) {
             if (bodyEdge(e).sense != part::Sense::Convex) next.push_back(across(body_, e, f));
           }
           return next;
         })) {
      Detail d;
      d.kind = DetailKind::CarvedFace;
      d.side = sideOf(view);
      double low = view.graph.top, high = 0;
      for (const int f : group) {
        low = std::min(low, face(view, f).low);
        high = std::max(high, face(view, f).high);
      }
      const part::Face& only = bodyFace(group.front());
      const bool ball = group.size() == 1 && only.kind == part::SurfaceKind::Sphere && only.hollow &&
                        2 * toMm(only.radius) <= kSeatDiameter;
      if (ball) {
        d.kind = DetailKind::Seat;
        d.dimensions.diameter = only.radius * 2;
      }
      setHeights(d, view, low, high);
      d.dimensions.depth = mm(high - low);
      const Region plan = filled(projection(view, group));
      const PlanShape shape = measure(plan);
      d.dimensions.length = mm(shape.length);
      d.dimensions.width = mm(shape.width);
      d.footprint = toPlate(view, plan);
      d.dimensions.centre = toPart(view, shape.centre, high);
      const int index = add(std::move(d), static_cast<int>(v));
      for (const int f : group) claim(f, index);
    }
  }
}

/// Grooves and steps without a floor, and recesses that a further direction cuts: faces joined by inner corners.
void Recogniser::findLoose() {
  std::vector<int> faces;
  for (std::size_t f = 0; f < body_.faces.size(); ++f) {
    if (!claimed(static_cast<int>(f))) faces.push_back(static_cast<int>(f));
  }
  const View& any = views_[static_cast<std::size_t>(outer_)];
  const auto loose = groups(faces, body_.faces.size(), [&](int f) {
    std::vector<int> next;
    for (const int e : face(any, f).edges) {
      if (bodyEdge(e).sense != part::Sense::Convex) next.push_back(across(body_, e, f));
    }
    return next;
  });
  for (const auto& group : loose) {
    // Described as the direction sees it that machines most of it.
    std::size_t v = 0;
    double most = -1;
    for (std::size_t k = 0; k < views_.size(); ++k) {
      double served = 0;
      for (const int f : group) served += face(views_[k], f).served ? toMm2(bodyFace(f).area) : 0.0;
      if (served > most * (1 + 1e-9)) {
        most = served;
        v = k;
      }
    }
    const View& view = views_[v];
    if (group.size() < 2) continue;
    bool inner = false, facing = false;
    double low = view.graph.top, high = 0;
    for (const int f : group) {
      low = std::min(low, face(view, f).low);
      high = std::max(high, face(view, f).high);
      for (const int e : face(view, f).edges) {
        const int other = across(body_, e, f);
        inner = inner ||
                (bodyEdge(e).sense == part::Sense::Concave && std::binary_search(group.begin(), group.end(), other));
      }
      for (const int g : group)
        facing = facing || dot(unit({face(view, f).normal.x, face(view, f).normal.y, 0}),
                               unit({face(view, g).normal.x, face(view, g).normal.y, 0})) < kOpposite;
    }
    if (!inner) continue;
    Detail d;
    d.kind = facing ? DetailKind::Slot : DetailKind::Step;
    d.side = sideOf(view);
    setHeights(d, view, low, high);
    const Region plan = filled(projection(view, group));
    const PlanShape shape = measure(plan);
    d.dimensions.depth = mm(high - low);
    d.dimensions.length = mm(shape.length);
    d.dimensions.width = mm(shape.width);
    d.footprint = toPlate(view, plan);
    if (!plan.empty()) d.dimensions.centre = toPart(view, shape.centre, high);
    const int index = add(std::move(d), static_cast<int>(v));
    for (const int f : group) claim(f, index);
  }
}

/// Faces left over join the detail they grow out of: by inner and smooth borders first, then by any.
void Recogniser::absorb() {
  const View& view = views_[static_cast<std::size_t>(outer_)];
  for (const bool anyBorder : {false, true}) {
    for (bool changed = true; changed;) {
      changed = false;
      std::vector<std::pair<int, int>> joins;
      for (std::size_t k = 0; k < body_.faces.size(); ++k) {
        const int f = static_cast<int>(k);
        if (claimed(f)) continue;
        std::vector<double> shared(found_.size(), 0.0);
        for (const int e : face(view, f).edges) {
          const int other = across(body_, e, f);
          if (other < 0 || !claimed(other)) continue;
          const std::size_t owner = static_cast<std::size_t>(owner_[static_cast<std::size_t>(other)]);
          const bool inner = bodyEdge(e).sense != part::Sense::Convex;
          const bool plain = found_[owner].kind == DetailKind::Body || found_[owner].kind == DetailKind::Outline;
          if (!inner && (!anyBorder || plain)) continue;
          if (plain && inner && !anyBorder && bodyEdge(e).sense == part::Sense::Concave)
            continue;  // a wall on the floor is not the floor
          shared[owner] += toMm(bodyEdge(e).length);
        }
        const auto most = std::max_element(shared.begin(), shared.end());
        if (most != shared.end() && *most > 0) joins.push_back({f, static_cast<int>(most - shared.begin())});
      }
      for (const auto& [f, owner] : joins) {
        claim(f, owner);
        changed = true;
      }
    }
  }
}

/// What still belongs to nothing is named by the direction that machines it.
void Recogniser::sideFaces() {
  for (std::size_t v = 0; v < views_.size(); ++v) {
    const View& view = views_[v];
    Detail d;
    d.kind = DetailKind::SideFace;
    d.side = sideOf(view);
    std::vector<int> faces;
    double low = view.graph.top, high = 0;
    for (std::size_t f = 0; f < body_.faces.size(); ++f) {
      if (claimed(static_cast<int>(f)) || !face(view, static_cast<int>(f)).served) continue;
      faces.push_back(static_cast<int>(f));
      low = std::min(low, face(view, static_cast<int>(f)).low);
      high = std::max(high, face(view, static_cast<int>(f)).high);
    }
    if (faces.empty()) continue;
    setHeights(d, view, low, high);
    d.footprint = toPlate(view, projection(view, faces));
    const int index = add(std::move(d), static_cast<int>(v));
    for (const int f : faces) claim(f, index);
  }
}

}  // namespace chipledger::detail
