#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "estimate/candidates.hpp"

namespace chipledger::estimate {
namespace {

using detail::Detail;
using detail::DetailKind;
using detail::Side;
using field::Prism;

constexpr double kShallower = 0.25;     ///< of a pocket's depth
constexpr double kChord_mm = 0.005;     ///< slivers thinner than twice this are chords, not corners
constexpr double kLeastFloor_mm = 0.5;  ///< a recess moved to the other side leaves at least this under its floor
constexpr double kLeastWall_mm = 1.0;   ///< ... and this wall to its new neighbours

/// The metal that rounds the inside corners of a recess to a larger radius; nothing where it would not fit any more.
std::optional<field::Change> opened(const Detail& d, double radius) {
  const bool recess = isPocket(d.kind) || d.kind == DetailKind::Window;
  if (!recess || !d.dimensions.cornerRadius || toMm(*d.dimensions.cornerRadius) >= radius - 1e-6) return std::nullopt;
  const Region round = offset(offset(d.footprint, -radius), radius);
  if (round.empty()) return std::nullopt;
  const Region corners = offset(offset(subtract(d.footprint, round), -kChord_mm), kChord_mm);
  if (corners.empty()) return std::nullopt;
  return prism(Prism::Act::Add, corners, d.low_mm, d.high_mm);
}

/// Radius that an end mill of this diameter goes round.
double radiusFor(const Ground& ground, double diameter) {
  return upToStep(0.5 * diameter + toMm(ground.shop.practice.fitClearance));
}

bool blindRecess(const Detail& d) {
  return !d.through && (isPocket(d.kind) || d.kind == DetailKind::Slot || d.kind == DetailKind::Lettering);
}
bool blindBore(const Detail& d) {
  return !d.through && !d.dimensions.counterDiameter &&
         (d.kind == DetailKind::Bore || d.kind == DetailKind::Thread || d.kind == DetailKind::Seat);
}

/// Whether the same recess can be cut into the other side at the same place of the plan.
bool fitsOpposite(const Ground& ground, int index, double low, double high) {
  const detail::Details& all = ground.details();
  const Detail& d = ground.at(index);
  const Region room = offset(d.footprint, kLeastWall_mm);
  for (std::size_t i = 0; i < all.list.size(); ++i) {
    const Detail& other = all.list[i];
    if (static_cast<int>(i) == index || other.footprint.empty() || other.kind == DetailKind::Body) continue;
    if (other.kind == DetailKind::Outline) {
      if (d.kind != DetailKind::OpenPocket && !subtract(room, other.footprint).empty()) return false;
      continue;
    }
    if (other.kind == DetailKind::Chamfer || other.kind == DetailKind::Round || other.side == Side::Other) continue;
    const bool meets = other.through || other.low_mm < high - 1e-6 || other.kind == DetailKind::Island;
    if (meets && other.high_mm > low - kLeastFloor_mm && other.low_mm < high + kLeastFloor_mm &&
        !intersect(room, other.footprint).empty())
      return false;
  }
  return all.bodyHigh_mm - all.bodyLow_mm - (high - low) >= kLeastFloor_mm;
}

}  // namespace

void openRadii(const Ground& ground, std::vector<Candidate>& out) {
  const std::vector<double> mills = ground.millsInUse();
  // The smallest mill goes first; then the two smallest together, for what needs both today.
  constexpr std::size_t kStepsUp = 2;
  for (std::size_t step = 1; step <= kStepsUp && step < mills.size(); ++step) {
    const double next = mills[step], radius = radiusFor(ground, next);
    Candidate c;
    for (const int i : where(ground.details(), [](const Detail&) { return true; })) {
      const Detail& d = ground.at(i);
      if (d.dimensions.cornerRadius && toMm(*d.dimensions.cornerRadius) < 0.5 * mills.front()) continue;
      if (auto change = opened(d, radius)) {
        c.variant.changes.push_back(std::move(*change));
        c.advice.details.push_back(i);
      }
    }
    if (c.advice.details.empty()) continue;
    c.advice.about = c.advice.details.size() > 1 ? "inside radii" : ground.at(c.advice.details.front()).name;
    c.advice.change =
        fmt::format("open the inside radii of {} to R{:.2f}: \xC3\x98{:g} then does what needs \xC3\x98{:g} now",
                    namesOf(ground, c.advice.details, "recesses"), radius, next, mills.front());
    sayLooks(ground, c.advice);
    out.push_back(std::move(c));
  }
}

void oneFamilyOfRadii(const Ground& ground, std::vector<Candidate>& out) {
  double least = 1e300, most = 0.0;
  for (const Detail& d : ground.details().list) {
    if (!(isPocket(d.kind) || d.kind == DetailKind::Window) || !d.dimensions.cornerRadius) continue;
    least = std::min(least, toMm(*d.dimensions.cornerRadius));
    most = std::max(most, toMm(*d.dimensions.cornerRadius));
  }
  if (most <= least + kRounding_mm) return;
  Candidate c;
  for (const int i : where(ground.details(), [](const Detail&) { return true; }))
    if (auto change = opened(ground.at(i), most)) {
      c.variant.changes.push_back(std::move(*change));
      c.advice.details.push_back(i);
    }
  if (c.advice.details.empty()) return;
  c.advice.about = c.advice.details.size() > 1 ? "inside radii" : ground.at(c.advice.details.front()).name;
  c.advice.change = fmt::format("draw all inside radii in one family, R{:.2f} as the widest has it: {}", most,
                                namesOf(ground, c.advice.details, "recesses"));
  sayLooks(ground, c.advice);
  out.push_back(std::move(c));
}

void shallowerPockets(const Ground& ground, std::vector<Candidate>& out) {
  const detail::Details& details = ground.details();
  for (std::size_t i = 0; i < details.list.size(); ++i) {
    const Detail& d = details.list[i];
    if (d.kind != DetailKind::Pocket || d.through || !d.dimensions.depth) continue;
    const double depth = toMm(*d.dimensions.depth);
    const double by = downToStep(kShallower * depth);
    if (by <= 0.0) continue;
    Candidate c;
    c.advice.details = {static_cast<int>(i)};
    c.advice.about = d.name;
    auto changed =
        detail::withDimension(ground.standing(), static_cast<int>(i), detail::Dimension::Depth, mm(depth - by));
    if (!changed) continue;
    c.variant.changes = std::move(changed->changes);
    c.variant.details = std::make_shared<const detail::Details>(std::move(changed->details));
    c.advice.change = fmt::format("make {} {:.2f} mm deep instead of {:.2f}", d.name, depth - by, depth);
    sayLooks(ground, c.advice);
    out.push_back(std::move(c));
  }
}

// Lock cuts leave the mill and come back from an outside shop. Other slots are too wide to be worth a wire.
void wireCut(const Ground& ground, std::vector<Candidate>& out) {
  Candidate c;
  c.advice.details =
      where(ground.details(), [](const Detail& d) { return d.kind == DetailKind::LockCut && d.through; });
  if (c.advice.details.empty()) return;
  c.variant.wireCuts = static_cast<int>(c.advice.details.size());
  takeAway(ground.replanner.drawn(), c.advice.details, c.variant);
  c.variant.dropped.assign(ground.details().list.size(), 0);
  for (const int i : c.advice.details) c.variant.dropped[static_cast<std::size_t>(i)] = 1;
  const std::string names = namesOf(ground, c.advice.details, "lock cuts");
  c.advice.about = c.advice.details.size() > 1 ? "lock cuts" : names;
  c.advice.change = fmt::format("send {} out to be cut by wire instead of milling {}", names,
                                c.advice.details.size() > 1 ? "them" : "it");
  c.advice.looks = "nothing changes on the drawing: a cut of the same width with cleaner walls and no burr";
  out.push_back(std::move(c));
}

// A detail on the side that has less to do is cut again, as deep, into the side that is up anyway for the rest.
void wipeSide(const Ground& ground, std::vector<Candidate>& out) {
  const detail::Details& drawn = ground.details();
  for (const Side from : {Side::Back, Side::Outer}) {
    const bool back = from == Side::Back;
    Candidate c;
    auto details = std::make_shared<detail::Details>(drawn);
    std::vector<field::Change> cuts;
    for (std::size_t i = 0; i < drawn.list.size(); ++i) {
      const Detail& d = drawn.list[i];
      if (d.side != from || d.footprint.empty() || !(blindRecess(d) || blindBore(d)) || d.parent >= 0) continue;
      if (detail::withChildren(drawn, static_cast<int>(i)).size() > 1) continue;
      const double depth = d.high_mm - d.low_mm;
      const double low = back ? drawn.bodyHigh_mm - depth : drawn.bodyLow_mm;
      const double high = back ? drawn.bodyHigh_mm : drawn.bodyLow_mm + depth;
      if (!fitsOpposite(ground, static_cast<int>(i), low, high)) continue;
      cuts.push_back(prism(Prism::Act::Remove, d.footprint, low, high));
      Detail& moved = details->list[i];
      moved.side = back ? Side::Outer : Side::Back;
      moved.low_mm = low;
      moved.high_mm = high;
      c.advice.details.push_back(static_cast<int>(i));
    }
    if (c.advice.details.empty()) continue;
    takeAway(ground.replanner.drawn(), c.advice.details, c.variant);
    c.variant.changes.insert(c.variant.changes.end(), cuts.begin(), cuts.end());
    c.variant.details = details;
    c.advice.about =
        c.advice.details.size() > 1 ? (back ? "the back" : "the outer side") : ground.at(c.advice.details.front()).name;
    c.advice.change = fmt::format("cut {} from the {}, which is up anyway, instead of the {}",
                                  namesOf(ground, c.advice.details, "details"), back ? "outer side" : "back",
                                  back ? "back" : "outer side");
    sayLooks(ground, c.advice);
    // What is on one side now shows on the other after the move: seen if either is.
    if (drawn.seenSide == "outer" || drawn.seenSide == "back" || drawn.seenSide == "both") {
      const bool onto = drawn.seenSide == "both" || (drawn.seenSide == "outer") == back;
      if (onto) c.advice.looks = "seen afterwards: it moves to the side that is seen";
      c.advice.seen = c.advice.seen || onto;
    }
    out.push_back(std::move(c));
  }
}

}  // namespace chipledger::estimate
