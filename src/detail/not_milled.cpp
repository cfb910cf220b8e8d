#include "detail/not_milled.hpp"

#include <fmt/format.h>

#include <map>
#include <numbers>

namespace chipledger::detail {
namespace {

constexpr double kTurnedShare = 0.80;   // of the area turns about one axis or is square to it, ...
constexpr double kRoundShare = 0.25;    // ... and at least this much of it is round and looks outwards
constexpr double kSlender = 0.6;        // length over diameter from which a round part is turned, not milled
constexpr double kAxisSlack = 0.02;     // mm
constexpr double kSheetShare = 0.70;    // of the area lies in pairs of faces one sheet thickness apart
constexpr double kSheetSlender = 5.0;   // the smallest side of the box over the sheet thickness
constexpr double kThickestSheet = 6.0;  // mm: thicker is plate

struct AxisLine {
  Vec3 direction, through;
  double round{}, outward{};
};

/// Area that turns about one axis, as a share of the whole, and of what is round outside.
std::string turned(const part::Body& body) {
  std::vector<AxisLine> axes;
  const double whole = toMm2(body.area);
  for (const part::Face& f : body.faces) {
    using Kind = part::SurfaceKind;
    if (f.kind != Kind::Cylinder && f.kind != Kind::Cone && f.kind != Kind::Torus && f.kind != Kind::Revolution)
      continue;
    const Vec3 d = unit(f.axis);
    auto same = std::find_if(axes.begin(), axes.end(), [&](const AxisLine& a) {
      return norm(cross(a.direction, d)) < 1e-3 && norm(cross(f.origin - a.through, a.direction)) < kAxisSlack;
    });
    if (same == axes.end()) same = axes.insert(axes.end(), {d, f.origin, 0, 0});
    same->round += toMm2(f.area);
    if (!f.hollow) same->outward += toMm2(f.area);
  }
  const auto main = std::max_element(axes.begin(), axes.end(),
                                     [](const AxisLine& a, const AxisLine& b) { return a.outward < b.outward; });
  if (main == axes.end() || whole <= 0) return "";
  double ends = 0;
  for (const part::Face& f : body.faces) {
    if (f.kind == part::SurfaceKind::Plane && std::abs(dot(unit(f.axis), main->direction)) > 0.999)
      ends += toMm2(f.area);
  }
  double low = std::numeric_limits<double>::infinity(), high = -low, radius = 0;
  for (const Vec3 p : body.mesh.points) {
    const double along = dot(p - main->through, main->direction);
    low = std::min(low, along);
    high = std::max(high, along);
    radius = std::max(radius, norm(p - main->through - main->direction * along));
  }
  if ((main->round + ends) < kTurnedShare * whole || main->outward < kRoundShare * whole ||
      high - low < kSlender * 2 * radius)
    return "";
  return fmt::format("it turns about one axis ({:.0f} % of its surface): a part for the lathe",
                     100 * (main->round + ends) / whole);
}

/// Two large faces everywhere one small distance apart in a box much thicker than that: bent sheet.
std::string bentSheet(const part::Body& body, const setup::Plan& plan) {
  Box3 box;
  for (const Vec3 p : body.mesh.points) box.add(plan.partToPlate.apply(p));
  const Vec3 size = box.size();
  const double thickness = 2 * toMm3(body.volume) / std::max(1e-9, toMm2(body.area));
  if (thickness > kThickestSheet || std::min({size.x, size.y, size.z}) < kSheetSlender * thickness) return "";
  // Planes and coaxial cylinders with a partner at the commonest distance.
  std::map<long long, double> byDistance;
  for (const part::Face& a : body.faces) {
    std::map<long long, double> own;
    for (const part::Face& b : body.faces) {
      double distance = -1;
      if (a.kind == part::SurfaceKind::Plane && b.kind == part::SurfaceKind::Plane &&
          dot(unit(a.axis), unit(b.axis)) < -0.9999) {
        distance = dot(a.origin - b.origin, unit(a.axis));
      } else if (a.kind == part::SurfaceKind::Cylinder && b.kind == part::SurfaceKind::Cylinder &&
                 a.hollow != b.hollow && norm(cross(unit(a.axis), unit(b.axis))) < 1e-3 &&
                 norm(cross(a.origin - b.origin, unit(a.axis))) < kAxisSlack) {
        distance = std::abs(toMm(a.radius) - toMm(b.radius));
      }
      if (distance > 0.2 && distance < kThickestSheet) own[std::llround(distance / 0.01)] = toMm2(a.area);
    }
    for (const auto& [d, size2] : own) byDistance[d] += size2;
  }
  const auto most = std::max_element(byDistance.begin(), byDistance.end(),
                                     [](const auto& a, const auto& b) { return a.second < b.second; });
  if (most == byDistance.end() || most->second < kSheetShare * toMm2(body.area)) return "";
  const double sheet = static_cast<double>(most->first) * 0.01;
  if (std::min({size.x, size.y, size.z}) < kSheetSlender * sheet) return "";
  return fmt::format("it is {:.1f} mm thick nearly everywhere and {:.0f} mm high: bent from sheet", sheet,
                     std::min({size.x, size.y, size.z}));
}

/// Mostly hollow: the metal fills so little of its box that nobody would cut it from the solid.
std::string hollow(const part::Body& body, const setup::Plan& plan) {
  Box3 box;
  for (const Vec3 p : body.mesh.points) box.add(plan.partToPlate.apply(p));
  const Vec3 size = box.size();
  const double filled = toMm3(body.volume) / std::max(1e-9, size.x * size.y * size.z);
  constexpr double kFrameFill = 0.08;  // common practice, no source: above nine tenths of chips one welds or bends
  if (filled > kFrameFill || std::min({size.x, size.y, size.z}) < 20) return "";
  return fmt::format(
      "its metal fills only {:.0f} % of the block round it: put together from pieces rather than cut from one",
      100 * filled);
}

}  // namespace

void addNotMilled(Details& details, const part::Body& body, const setup::Plan& plan) {
  for (const std::string& reason : {turned(body), bentSheet(body, plan), hollow(body, plan)}) {
    if (reason.empty()) continue;
    details.notes.push_back(
        {NoteSeverity::Doubt, "not-milled",
         "This is not a milled part because " + reason + ". What was found is a part of the work only.", body.name});
    return;
  }
}

}  // namespace chipledger::detail
