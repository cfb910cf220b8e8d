#include <chipledger/path/holes.hpp>

#include <chipledger/cutting/tables.hpp>
#include <chipledger/path/chart.hpp>
#include <chipledger/path/counterbore.hpp>
#include <chipledger/path/thread.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::path {
namespace {

using cutting::Cutter;
using cutting::CutterKind;

// The cutter of a kind whose diameter is nearest to `wanted` within [least, most]; null when there is none.
const Cutter* nearest(const Work& work, CutterKind kind, double wanted, double least, double most) {
  const Cutter* best = nullptr;
  for (const Cutter& c : work.crib) {
    const double d = toMm(c.diameter);
    if (c.kind != kind || d < least - 1e-9 || d > most + 1e-9) continue;
    if (best == nullptr || std::abs(d - wanted) < std::abs(toMm(best->diameter) - wanted) - 1e-9) best = &c;
  }
  return best;
}

bool mayDrill(detail::DetailKind kind) {
  return kind == detail::DetailKind::Bore || kind == detail::DetailKind::Thread || kind == detail::DetailKind::Seat;
}

// Place and depths of a hole of a side, from its own faces in this setup's frame; false when it stands across.
bool seenAlong(const Work& work, const detail::Detail& d, HoleSpot& spot) {
  constexpr double kAlong = 0.9999;  // of the spindle
  constexpr double kSameRadius_mm = 0.02;
  const Frame& frame = work.setup->partToSetup;
  const double radius = 0.5 * toMm(*d.dimensions.diameter);
  bool found = false;
  spot.top_mm = -1e9;
  spot.bottom_mm = 1e9;
  for (part::FaceId id : d.faces) {
    const part::Face& face = work.body->faces[static_cast<std::size_t>(id.index)];
    double low = 1e9, high = -1e9;
    for (const part::FaceLoop& loop : face.loops)
      for (const part::FaceLoop::Use& use : loop.uses)
        for (const Vec3& p : work.body->edges[static_cast<std::size_t>(use.edge.index)].points) {
          const double z = frame.apply(p).z;
          low = std::min(low, z);
          high = std::max(high, z);
        }
    spot.top_mm = std::max(spot.top_mm, high);
    if (face.kind != part::SurfaceKind::Cylinder || !face.hollow ||
        std::abs(toMm(face.radius) - radius) > kSameRadius_mm)
      continue;
    if (std::abs(dot(frame.turn(face.axis), Vec3{0, 0, 1})) < kAlong) continue;
    spot.centre = frame.apply(face.origin).xy();
    spot.bottom_mm = std::min(spot.bottom_mm, low);
    found = true;
  }
  return found && spot.top_mm > spot.bottom_mm;
}

}  // namespace

double pointHeight(const Cutter& drill) {
  const double angle = drill.pointAngle.rad > 0 ? drill.pointAngle.rad : degrees(118).rad;
  return 0.5 * toMm(drill.diameter) / std::tan(0.5 * angle);
}

double sinkDepth(double mouth_mm, double angle_rad) { return 0.5 * mouth_mm / std::tan(0.5 * angle_rad); }

std::vector<double> peckDepths(double depth_mm, double peck_mm) {
  std::vector<double> depths;
  if (peck_mm <= 0 || peck_mm >= depth_mm) return {depth_mm};
  for (int i = 1; i * peck_mm < depth_mm - 1e-9; ++i) depths.push_back(i * peck_mm);
  depths.push_back(depth_mm);
  return depths;
}

std::vector<HolePlan> planHoles(const Work& work) {
  std::vector<HolePlan> plans;
  if (work.details == nullptr) return plans;
  const bool side = work.setup != nullptr && !work.setup->plateSide;
  if (side && work.body == nullptr) return plans;
  for (int index : work.served) {
    const detail::Detail& d = work.details->list[static_cast<std::size_t>(index)];
    if (!mayDrill(d.kind) || !d.dimensions.diameter) continue;
    HolePlan plan;
    HoleSpot& spot = plan.spot;
    spot.detail = index;
    if (side) {
      if (!seenAlong(work, d, spot)) continue;
    } else {
      const Region footprint = footprintInSetup(work, d);
      spot.centre = box(footprint).centre();
      std::tie(spot.bottom_mm, spot.top_mm) = heightsInSetup(work, d);
    }
    if (d.dimensions.angle && d.dimensions.counterDiameter) {
      spot.mouth_mm = toMm(*d.dimensions.counterDiameter);
      spot.mouthTop_mm = spot.top_mm;
      spot.mouthAngle = d.dimensions.angle->rad;
      constexpr double kSameAngle = 0.026;  // rad, 1.5 degrees
      for (const Cutter& c : work.crib) {
        if (c.kind != CutterKind::Chamfer && c.kind != CutterKind::SpotDrill) continue;
        if (std::abs(c.pointAngle.rad - spot.mouthAngle) > kSameAngle || toMm(c.diameter) < spot.mouth_mm) continue;
        if (plan.sink == nullptr || c.diameter < plan.sink->diameter) plan.sink = &c;
      }
    }
    if (!d.dimensions.angle && d.dimensions.counterDiameter && d.dimensions.counterDepth) {
      spot.seat_mm = toMm(*d.dimensions.counterDiameter);
      spot.seatTop_mm = spot.top_mm;
    }
    if (d.dimensions.counterDepth) spot.top_mm -= toMm(*d.dimensions.counterDepth);
    spot.diameter_mm = toMm(*d.dimensions.diameter);
    spot.through = d.through;
    for (const HoleOrder& order : work.holes) {
      if (order.detail != index) continue;
      spot.tight = order.tight;
      spot.thread = order.thread;
    }
    if (!spot.thread.empty()) {
      // The nominal size comes first in the name: "M2.5".
      const auto thread = cutting::findThread(work.tables->threads, spot.thread);
      if (thread) {
        plan.drill = nearest(work, CutterKind::Drill, thread->looseDrill_mm, thread->minor_mm - kDrillFit_mm,
                             std::max(thread->minorMax_mm, thread->looseDrill_mm) + kDrillFit_mm);
        plan.nominal_mm = thread->nominal_mm;
        plan.tap =
            nearest(work, CutterKind::Tap, thread->nominal_mm, thread->nominal_mm - 1e-3, thread->nominal_mm + 1e-3);
        // The stiffest mill of that pitch; whether it goes down the hole is seen in chooseThreading.
        for (const Cutter& c : work.crib)
          if (c.kind == CutterKind::ThreadMill && std::abs(toMm(c.threadPitch) - thread->pitch_mm) < 1e-3 &&
              toMm(c.diameter) < thread->minor_mm &&
              (plan.threadMill == nullptr || c.diameter > plan.threadMill->diameter))
            plan.threadMill = &c;
        if (plan.tap == nullptr && plan.threadMill == nullptr) plan.drill = nullptr;
      }
    }
    if (plan.drill == nullptr && spot.tight) {
      plan.reamer =
          nearest(work, CutterKind::Reamer, spot.diameter_mm, spot.diameter_mm - 0.02, spot.diameter_mm + 0.02);
      if (plan.reamer != nullptr) {
        plan.drill = nearest(work, CutterKind::Drill, spot.diameter_mm - 0.2, spot.diameter_mm - kReamMost_mm,
                             spot.diameter_mm - kReamLeast_mm);
        if (plan.drill == nullptr) plan.reamer = nullptr;
      }
    }
    if (plan.drill == nullptr)
      plan.drill = nearest(work, CutterKind::Drill, spot.diameter_mm, spot.diameter_mm - kDrillFit_mm,
                           spot.diameter_mm + kDrillOver_mm);
    if (plan.drill == nullptr) continue;  // milled
    plan.spotDrill = nearest(work, CutterKind::SpotDrill, std::max(spot.diameter_mm + 0.5, 3.0), 0.0, 1e9);
    chooseCounterbore(work, plan);
    plans.push_back(plan);
  }
  chooseThreading(work, plans);
  return plans;
}

}  // namespace chipledger::path
