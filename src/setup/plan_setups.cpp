#include <fmt/format.h>
#include <chipledger/parallel/parallel.hpp>
#include <chipledger/setup/setup.hpp>

#include <algorithm>
#include <numbers>
#include <tuple>

#include "setup/depth_map.hpp"
#include "setup/plate_frame.hpp"

namespace chipledger::setup {
namespace {

constexpr double kSameDirection = 1e-3;      // rad
constexpr std::size_t kMostCandidates = 40;  // by area; the fortieth direction of a real part owns a sliver
constexpr double kLeastReach = 12.0;         // mm: cutters of this reach are in every crib
constexpr double kLongReachWeight =
    0.1;                               // second round: up to about three times the reach, or it is no work for a mill
constexpr double kLeastWeight = 0.25;  // a wall deeper than twice the reach is not served from this direction
constexpr double kGainShare = 1e-4;    // of the whole area: a direction that adds less is not worth a setup
constexpr double kCellsPerDiagonal = 2000.0;  // cell of the depth map: finer than a lock cut by an order
constexpr double kLeastCell = 0.02;           // mm
constexpr std::size_t kDatumBores = 2;        // two through bores locate the plate on a fixture plate

struct Candidate {
  Vec3 direction;
  double area{};
};

void addCandidate(std::vector<Candidate>& list, Vec3 direction, double area) {
  for (Candidate& c : list) {
    if (dot(c.direction, direction) > 0 && norm(cross(c.direction, direction)) < kSameDirection) {
      c.area += area;
      return;
    }
  }
  list.push_back({direction, area});
}

/// Directions worth trying: what the faces not yet served look at, and the axes they turn about.
std::vector<Candidate> candidates(const part::Body& body, const std::vector<bool>& served) {
  std::vector<Candidate> list;
  for (const part::Face& face : body.faces) {
    if (served[static_cast<std::size_t>(face.id.index)]) continue;
    const double size = toMm2(face.area);
    switch (face.kind) {
      case part::SurfaceKind::Plane:
        addCandidate(list, unit(face.axis), size);
        break;
      case part::SurfaceKind::Cylinder:
      case part::SurfaceKind::Cone:
      case part::SurfaceKind::Torus:
        addCandidate(list, unit(face.axis), size);
        addCandidate(list, -unit(face.axis), size);
        break;
      case part::SurfaceKind::Sphere:
      case part::SurfaceKind::Extrusion:
      case part::SurfaceKind::Revolution:
      case part::SurfaceKind::Spline:
      case part::SurfaceKind::Other: {
        Vec3 mean;
        for (const part::FaceSample& s : face.samples) mean = mean + s.normal;
        if (norm(mean) > 1e-6) addCandidate(list, unit(mean), size);
        break;
      }
    }
  }
  // Walls that nobody looks along yet are also served along their own length: the file's axes are always tried.
  for (const Vec3 axis : {Vec3{1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, 0, 1}}) {
    addCandidate(list, axis, 0);
    addCandidate(list, -axis, 0);
  }
  std::stable_sort(list.begin(), list.end(), [](const Candidate& a, const Candidate& b) { return a.area > b.area; });
  if (list.size() > kMostCandidates) list.resize(kMostCandidates);
  return list;
}

Frame frameOf(const part::Body& body, const Frame& plate, Vec3 direction) {
  Frame frame;
  frame.z = direction;
  // x along the blank where the direction allows it, else along the plate's own y.
  const Vec3 wish = norm(cross(plate.x, direction)) > 0.1 ? plate.x : plate.y;
  frame.x = unit(wish - direction * dot(wish, direction));
  frame.y = cross(frame.z, frame.x);
  Box3 box;
  for (const Vec3 p : body.mesh.points) box.add(frame.turn(p));
  frame.shift = {-box.centre().x, -box.centre().y, -box.min.z};
  return frame;
}

/// The plate turned over about its own x: y -> -y, z -> height - z.
Frame turnedOver(const Frame& plate, double height) {
  Frame back;
  back.x = plate.x;
  back.y = -plate.y;
  back.z = -plate.z;
  back.shift = {plate.shift.x, -plate.shift.y, height - plate.shift.z};
  return back;
}

/// Full bores through the plate, by which the second side can be located.
std::size_t throughBores(const part::Body& body, const Frame& plate, double height) {
  std::size_t count = 0;
  for (const part::Face& face : body.faces) {
    if (face.kind != part::SurfaceKind::Cylinder || !face.hollow || std::abs(dot(face.axis, plate.z)) < 0.999) continue;
    const double full = 2 * std::numbers::pi * toMm(face.radius) * height;
    if (toMm2(face.area) > 0.2 * full && toMm(face.radius) < 10)
      ++count;  // islands make the body thinner than the part
  }
  return count;
}

std::string faceList(const std::vector<part::FaceId>& faces) {
  std::string text;
  for (std::size_t i = 0; i < faces.size() && i < 8; ++i) text += fmt::format("{}{}", i ? ", " : "", faces[i].index);
  if (faces.size() > 8) text += fmt::format(" and {} more", faces.size() - 8);
  return text;
}

}  // namespace

Result<Plan> planSetups(const part::Body& body) {
  if (body.faces.empty() || body.mesh.triangles.empty()) {
    return fault(FaultCode::BadFile, body.name, "The body has no faces to machine.", "Export it again as a solid.");
  }
  Plan plan;
  plan.partToPlate = plateFrame(body);
  Box3 box;
  for (const Vec3 p : body.mesh.points) box.add(plan.partToPlate.apply(p));
  const Vec3 size = box.size();
  const double cell = std::max(kLeastCell, norm(size) / kCellsPerDiagonal);
  const double reach = std::max(kLeastReach, 0.5 * std::min({size.x, size.y, size.z}));

  Setup back, outer;
  back.name = "back";
  back.direction = -plan.partToPlate.z;
  back.partToSetup = turnedOver(plan.partToPlate, size.z);
  back.fromAbove = false;
  back.holding = Holding::Vise;  // the first side is held by the grip stock
  outer.name = "outer";
  outer.direction = plan.partToPlate.z;
  outer.partToSetup = plan.partToPlate;
  outer.holding = throughBores(body, plan.partToPlate, size.z) >= kDatumBores ? Holding::FixturePlate : Holding::Nest;
  plan.setups = {back, outer};

  const std::size_t faces = body.faces.size();
  std::vector<std::vector<FaceView>> sides(2);
  forEachTask(2, [&](std::size_t k) { sides[k] = lookAt(body, plan.setups[k].direction, cell, reach); });
  std::vector<bool> served(faces, false);
  const auto depthFrom = [&](std::size_t k, const part::Face& face) {
    double lowest = size.z;
    for (const part::FaceSample& s : face.samples)
      lowest = std::min(lowest, plan.setups[k].partToSetup.apply(s.point).z);
    return size.z - lowest;
  };
  for (std::size_t f = 0; f < faces; ++f) {
    const bool fromBack = sides[0][f].seen && sides[0][f].weight >= kLeastWeight;
    const bool fromOuter = sides[1][f].seen && sides[1][f].weight >= kLeastWeight;
    if (!fromBack && !fromOuter) continue;
    std::size_t home = fromBack ? 0 : 1;
    if (fromBack && fromOuter) home = depthFrom(0, body.faces[f]) < depthFrom(1, body.faces[f]) - 1e-6 ? 0 : 1;
    plan.setups[home].serves.push_back(body.faces[f].id);
    served[f] = true;
  }

  if (std::find(served.begin(), served.end(), false) != served.end()) {
    const std::vector<Candidate> tries = candidates(body, served);
    std::vector<std::vector<FaceView>> views(tries.size());
    forEachTask(tries.size(), [&](std::size_t k) { views[k] = lookAt(body, tries[k].direction, cell, reach); });
    int number = 0;
    for (const double least : {kLeastWeight, kLongReachWeight}) {
      // The second round takes what only a long cutter reaches, from the directions already there where possible.
      if (least < kLeastWeight) {
        std::vector<part::FaceId> deep;
        for (std::size_t f = 0; f < faces; ++f) {
          for (std::size_t k = 0; k < 2 && !served[f]; ++k) {
            if (!sides[k][f].seen) continue;
            plan.setups[k].serves.push_back(body.faces[f].id);
            served[f] = true;
            deep.push_back(body.faces[f].id);
          }
        }
        if (!deep.empty()) {
          plan.notes.push_back({NoteSeverity::Doubt, "deep-wall",
                                fmt::format("Walls deeper than {:.0f} mm under a cutter of usual reach: faces {}.",
                                            2 * reach, faceList(deep)),
                                ""});
        }
      }
      for (;;) {
        std::size_t best = tries.size();
        double bestGain = kGainShare * toMm2(body.area);
        for (std::size_t k = 0; k < tries.size(); ++k) {
          double gain = 0;
          for (std::size_t f = 0; f < faces; ++f) {
            if (!served[f] && views[k][f].seen && views[k][f].weight >= least)
              gain += toMm2(body.faces[f].area) * views[k][f].weight;
          }
          if (gain > bestGain * (1 + 1e-9)) {
            bestGain = gain;
            best = k;
          }
        }
        if (best == tries.size()) break;
        Setup side;
        side.name = fmt::format("side-{}", ++number);
        side.direction = tries[best].direction;
        side.partToSetup = frameOf(body, plan.partToPlate, side.direction);
        side.holding = Holding::Vise;
        side.plateSide = false;
        side.fromAbove = false;
        for (std::size_t f = 0; f < faces; ++f) {
          if (served[f] || !views[best][f].seen || views[best][f].weight < least) continue;
          side.serves.push_back(body.faces[f].id);
          served[f] = true;
        }
        plan.notes.push_back({NoteSeverity::Doubt, "further-side",
                              fmt::format("{} face(s) are reached only from a further side ({}): a setup of its own.",
                                          side.serves.size(), side.name),
                              side.name});
        plan.setups.push_back(std::move(side));
      }
    }
    for (std::size_t f = 0; f < faces; ++f) {
      if (served[f]) continue;
      // A sliver too small for a setup of its own still belongs to the direction that sees it.
      for (std::size_t k = 0; k < tries.size() && !served[f]; ++k) {
        for (Setup& s : plan.setups) {
          if (!served[f] && !s.plateSide && views[k][f].seen && dot(s.direction, tries[k].direction) > 1 - 1e-6) {
            s.serves.push_back(body.faces[f].id);
            served[f] = true;
          }
        }
      }
      if (!served[f]) plan.unseen.push_back(body.faces[f].id);
    }
  }
  for (Setup& s : plan.setups) std::sort(s.serves.begin(), s.serves.end());
  if (!plan.unseen.empty()) {
    plan.notes.push_back(
        {NoteSeverity::LeftOut, "undercut",
         fmt::format(
             "No direction sees {} face(s) ({}): an undercut, not cut on a three-axis mill and not in the price.",
             plan.unseen.size(), faceList(plan.unseen)),
         ""});
  }
  return plan;
}

}  // namespace chipledger::setup
