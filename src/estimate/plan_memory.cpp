#include "estimate/plan_memory.hpp"
#include <chipledger/field/cell_map.hpp>

#include <algorithm>
#include <limits>

namespace chipledger::estimate {
namespace {

/// FNV-1a over plain numbers.
class Hash {
public:
  void add(const void* data, std::size_t bytes) {
    const auto* p = static_cast<const unsigned char*>(data);
    for (std::size_t i = 0; i < bytes; ++i) value_ = (value_ ^ p[i]) * 1099511628211ull;
  }
  template <class T>
  void addNumber(T number) {
    add(&number, sizeof number);
  }
  void addText(const std::string& text) {
    add(text.data(), text.size());
    addNumber(text.size());
  }
  void addRegion(const Region& region) {
    for (const Ring& ring : region.rings) {
      addNumber(ring.size());
      for (const Vec2 p : ring) addNumber(p.x), addNumber(p.y);
    }
  }
  template <class Quantity>
  void addMaybe(const std::optional<Quantity>& value, double Quantity::*base) {
    addNumber(value ? (*value).*base : std::numeric_limits<double>::max());
  }
  void addField(const std::vector<std::int32_t>& cells) {
    // Eight bytes at a time: a field of some million cells in a millisecond or two.
    std::uint64_t value = value_;
    std::size_t i = 0;
    for (; i + 2 <= cells.size(); i += 2) {
      const std::uint64_t pair = static_cast<std::uint32_t>(cells[i]) |
                                 (static_cast<std::uint64_t>(static_cast<std::uint32_t>(cells[i + 1])) << 32);
      value = (value ^ pair) * 0x9E3779B97F4A7C15ull;
      value ^= value >> 29;
    }
    for (; i < cells.size(); ++i) value = (value ^ static_cast<std::uint32_t>(cells[i])) * 1099511628211ull;
    value_ = value;
  }
  std::uint64_t value() const { return value_; }

private:
  std::uint64_t value_{14695981039346656037ull};
};

constexpr double kUnder_mm = 0.01;       ///< where metal is looked for that hides a change
constexpr double kUncovered_mm2 = 1e-4;  ///< rounding of the rings

/// Metal hides the change from a spindle at -z (or +z): all of its region lies over metal that it leaves alone.
bool hidden(const field::Solid& solid, const field::Change& change, bool fromAbove) {
  const bool prism = change.kind == field::Change::Kind::Prism;
  if (!prism && fromAbove) return false;  // a lift moves all there is above it
  const Region& region = prism ? change.prism.region : change.lift.region;
  const double low = prism ? change.prism.low_mm : change.lift.above_mm + std::min(0.0, change.lift.by_mm);
  const double z = fromAbove ? change.prism.high_mm + kUnder_mm : low - kUnder_mm;
  if (z <= solid.low() || z >= solid.high()) return false;
  return area(subtract(region, solid.section(z))) < kUncovered_mm2;
}

void addChange(Hash& hash, const field::Change& change) {
  hash.addNumber(change.kind);
  if (change.kind == field::Change::Kind::Prism) {
    hash.addNumber(change.prism.act);
    hash.addRegion(change.prism.region);
    hash.addNumber(change.prism.low_mm);
    hash.addNumber(change.prism.high_mm);
  } else {
    hash.addRegion(change.lift.region);
    hash.addNumber(change.lift.above_mm);
    hash.addNumber(change.lift.by_mm);
  }
}

void addDetail(Hash& hash, const detail::Detail& d) {
  hash.addText(d.name);
  hash.addNumber(d.kind);
  hash.addNumber(d.side);
  hash.addNumber(d.low_mm);
  hash.addNumber(d.high_mm);
  const detail::Dimensions& m = d.dimensions;
  for (const auto& length : {m.height, m.depth, m.diameter, m.length, m.width, m.cornerRadius, m.rootRadius,
                             m.thickness, m.gap, m.counterDiameter, m.counterDepth})
    hash.addMaybe(length, &Length::base);
  hash.addMaybe(m.angle, &Angle::rad);
  hash.addRegion(d.footprint);
}

void addDetails(Hash& hash, const detail::Details& details, const path::Work& work) {
  using detail::Side;
  const bool plate = work.setup->plateSide;
  const Side other = work.setup->fromAbove ? Side::Back : Side::Outer;
  for (const detail::Detail& d : details.list) {
    if (!plate || d.side != other) {
      addDetail(hash, d);
      continue;
    }
    // Of the other side: what stands over a floor is no top of this side, and recesses leave floors thin.
    if (d.kind == detail::DetailKind::Island) hash.addRegion(d.footprint);
    if (!work.firstSide) {
      hash.addMaybe(d.dimensions.thickness, &Length::base);
      hash.addNumber(d.high_mm);
    }
  }
}

}  // namespace

std::shared_ptr<const PlanMemory::Known> PlanMemory::find(std::uint64_t key) const {
  const std::lock_guard lock(mutex_);
  const auto it = known_.find(key);
  return it == known_.end() ? nullptr : it->second;
}

void PlanMemory::keep(std::uint64_t key, std::shared_ptr<const Known> known) {
  const std::lock_guard lock(mutex_);
  known_.emplace(key, std::move(known));
}

std::shared_ptr<PlanMemory> makePlanMemory() { return std::make_shared<PlanMemory>(); }

std::uint64_t setupKey(const PlanRequest& request, const field::SetupView& view, const field::StockBlock& stock,
                       const path::Work& work) {
  const setup::Setup& s = *work.setup;
  Hash hash;
  hash.addNumber(work.blankTop_mm);
  hash.addNumber(work.blankBottom_mm);
  hash.addNumber(work.setupIndex);
  hash.addNumber(work.cutOutline);
  hash.addText(s.name);
  hash.addNumber(request.cell_um);
  hash.addField(
      view.heights(s.plateSide ? field::gridInSetup(stock.top.spec, view.plateToSetup()) : stock.top.spec).cells);
  hash.addField(stock.top.cells);
  hash.addField(stock.bottom.cells);
  for (const field::Gap& gap : stock.gaps) {
    hash.addNumber(gap.cell);
    hash.addNumber(gap.top);
    hash.addNumber(gap.bottom);
  }
  for (const int d : work.served) hash.addText(request.details->list[static_cast<std::size_t>(d)].name);
  for (const path::HoleOrder& hole : work.holes) {
    hash.addNumber(hole.detail);
    hash.addNumber(hole.tight);
    hash.addText(hole.thread);
  }
  addDetails(hash, *request.details, work);
  for (const field::Change& change : request.solid->changes())
    if (!s.plateSide || !hidden(*request.solid, change, s.fromAbove)) addChange(hash, change);
  return hash.value();
}

}  // namespace chipledger::estimate
