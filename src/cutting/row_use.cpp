#include <chipledger/cutting/row_use.hpp>
#include <chipledger/cutting/wear.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <limits>

namespace chipledger::cutting {
namespace {

/// The rows next below and above `at` among those that `belongs` picks; one of them where it stands outside.
template <class Row, class Belongs, class Measure>
void around(std::vector<RowUse>& uses, Section section, const std::vector<Row>& rows, double at, Belongs belongs,
            Measure measure) {
  constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();
  std::size_t low = kNone, high = kNone;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (!belongs(rows[i])) continue;
    const double m = measure(rows[i]);
    if (m <= at && (low == kNone || m > measure(rows[low]))) low = i;
    if (m >= at && (high == kNone || m < measure(rows[high]))) high = i;
  }
  if (low != kNone) uses.push_back({section, low});
  if (high != kNone && high != low) uses.push_back({section, high});
}

LimitName bendOf(CutKind kind) {
  switch (kind) {
    case CutKind::Slot:
      return LimitName::BendSlot;
    case CutKind::Wall:
      return LimitName::BendWall;
    case CutKind::Floor:
      return LimitName::BendFloor;
    case CutKind::Carve:
      return LimitName::BendCarve;
    default:
      return LimitName::BendRough;
  }
}

bool isHole(CutKind kind) {
  return kind == CutKind::Spot || kind == CutKind::Drill || kind == CutKind::Ream || kind == CutKind::Tap;
}

class Behind {
public:
  Behind(const CuttingTables& tables, const Material& material, const Cutter& cutter, const Conditions& conditions)
      : tables_(tables), material_(material), cutter_(cutter), c_(conditions), d_(toMm(cutter.diameter)) {}

  std::vector<RowUse> collect() {
    named(Section::Material, tables_.materials, [&](const Material& m) { return m.name == material_.name; });
    named(Section::Cutter, tables_.crib, [&](const Cutter& c) { return c.id == cutter_.id; });
    const CutRequest& r = c_.request;
    cut(r.kind, toMm(c_.radialStep) / d_);
    const bool hole = isHole(r.kind);
    if (!hole && r.kind != CutKind::Slot) cut(CutKind::Slot, 1.0);  // what full width would be like
    if (!hole) {
      named(Section::ToolLife, tables_.lives, [&](const LifeRow& row) {
        return row.material == material_.name && row.cutterMaterial == cutter_.material;
      });
      around(
          uses_, Section::Chipping, tables_.chipping, d_, [](const ChippingRow&) { return true; },
          [](const ChippingRow& row) { return row.diameter_mm; });
    }
    const double deep = toMm(r.depth), reach = toMm(r.reach);
    const bool alongside = r.kind == CutKind::Rough || r.kind == CutKind::Wall || (hole && r.kind != CutKind::Tap);
    if (r.kind != CutKind::Drill && r.kind != CutKind::Saw)
      around(
          uses_, Section::Reach, tables_.reach, std::max(reach, alongside ? deep : 0.0) / d_,
          [](const ReachRow&) { return true; }, [](const ReachRow& row) { return row.ratio; });
    thin(ThinPart::Floor, toMm(r.floorLeft));
    const double high = toMm(r.wallHigh) > 0 ? toMm(r.wallHigh) : std::max(deep, reach);
    thin(ThinPart::Wall, toMm(r.wallLeft) > 0 ? high / toMm(r.wallLeft) : 0);
    limits(hole);
    return std::move(uses_);
  }

private:
  template <class Row, class Is>
  void named(Section section, const std::vector<Row>& rows, Is is) {
    const auto at = std::find_if(rows.begin(), rows.end(), is);
    if (at != rows.end()) uses_.push_back({section, static_cast<std::size_t>(at - rows.begin())});
  }

  void cut(CutKind kind, double share) {
    const auto diameter = [](const auto& row) { return row.diameter_mm; };
    const auto made = [&](const auto& row) {
      return row.material == material_.name && row.cutterMaterial == cutter_.material && row.kind == kind;
    };
    constexpr double kEdge = 1e-9;
    around(
        uses_, Section::Speed, tables_.speeds, d_,
        [&](const SpeedRow& row) {
          return made(row) && (isHole(kind) || (share >= row.radialLow - kEdge && share <= row.radialHigh + kEdge));
        },
        diameter);
    around(uses_, Section::ChipLoad, tables_.chipLoads, d_, made, diameter);
    around(
        uses_, Section::Engagement, tables_.engagements, d_,
        [&](const EngagementRow& row) { return row.material == material_.name && row.kind == kind; }, diameter);
  }

  void thin(ThinPart part, double measure) {
    if (measure <= 0) return;
    around(
        uses_, Section::ThinWork, tables_.thin, measure, [&](const ThinRow& row) { return row.part == part; },
        [](const ThinRow& row) { return row.measure; });
  }

  void limit(LimitName name) { uses_.push_back({Section::CutLimit, static_cast<std::size_t>(name)}); }

  void limits(bool hole) {
    const CutKind kind = c_.request.kind;
    const bool small = toMm(cutter_.diameter) < kBreaksBelow_mm;
    limit(small ? LimitName::BreakageSmall : LimitName::BreakageLarge);
    limit(LimitName::SparesLeast);
    limit(LimitName::CutterChange);
    if (kind == CutKind::Drill) limit(LimitName::PeckFree);
    if (hole) return;
    limit(bendOf(kind));
    if (kind != CutKind::Slot) limit(LimitName::BendSlot);
    limit(cutter_.material == "carbide" ? LimitName::CarbideModulus : LimitName::SteelModulus);
    for (const LimitName name :
         {LimitName::BendingStress, LimitName::CoreShare, LimitName::HelixAngle, LimitName::RadialForce,
          LimitName::EdgeRadius, LimitName::RubbingShare, LimitName::ThinningMost, LimitName::SpindleEfficiency,
          LimitName::RampAngle, LimitName::EntryFeed})
      limit(name);
    if (kind == CutKind::Rough || kind == CutKind::Floor || kind == CutKind::Carve) limit(LimitName::LeastRadial);
    if (kind == CutKind::Wall || kind == CutKind::Floor || kind == CutKind::Carve) limit(LimitName::CurveFeed);
  }

  const CuttingTables& tables_;
  const Material& material_;
  const Cutter& cutter_;
  const Conditions& c_;
  double d_;
  std::vector<RowUse> uses_;
};

}  // namespace

std::vector<RowUse> rowsBehind(const CuttingTables& tables, const Material& material, const Cutter& cutter,
                               const Conditions& conditions) {
  return Behind(tables, material, cutter, conditions).collect();
}

RowTally::RowTally(const CuttingTables& tables) {
  const std::size_t sizes[] = {tables.materials.size(),   tables.speeds.size(), tables.chipLoads.size(),
                               tables.engagements.size(), tables.lives.size(),  tables.chipping.size(),
                               tables.reach.size(),       tables.thin.size(),   tables.plates.size(),
                               tables.threads.size(),     tables.crib.size(),   kLimitCount};
  for (std::size_t i = 0; i < counts_.size(); ++i) counts_[i].assign(sizes[i], 0);
}

void RowTally::add(const std::vector<RowUse>& uses) {
  for (const RowUse& use : uses) add(use.section, use.row);
}

std::string nameOf(const CuttingTables& tables, RowUse use) {
  const std::size_t i = use.row;
  const auto say = [&](const std::string& rest) {
    return ownedSections()[static_cast<std::size_t>(use.section)] + " " + rest;
  };
  switch (use.section) {
    case Section::Material:
      return say(tables.materials[i].name);
    case Section::Speed: {
      const SpeedRow& r = tables.speeds[i];
      return say(fmt::format("{} {} {} {:g} mm, {:g} to {:g} D", r.material, r.cutterMaterial, word(r.kind),
                             r.diameter_mm, r.radialLow, r.radialHigh));
    }
    case Section::ChipLoad: {
      const ChipLoadRow& r = tables.chipLoads[i];
      return say(fmt::format("{} {} {} {:g} mm", r.material, r.cutterMaterial, word(r.kind), r.diameter_mm));
    }
    case Section::Engagement: {
      const EngagementRow& r = tables.engagements[i];
      return say(fmt::format("{} {} {:g} mm", r.material, word(r.kind), r.diameter_mm));
    }
    case Section::ToolLife:
      return say(tables.lives[i].material + " " + tables.lives[i].cutterMaterial);
    case Section::Chipping:
      return say(fmt::format("{:g} mm", tables.chipping[i].diameter_mm));
    case Section::Reach:
      return say(fmt::format("{:g} D", tables.reach[i].ratio));
    case Section::ThinWork:
      return say(fmt::format("{} {:g}", word(tables.thin[i].part), tables.thin[i].measure));
    case Section::Plate:
      return say(fmt::format("{} {} {:g} mm", tables.plates[i].material, tables.plates[i].form,
                             tables.plates[i].thickness_mm));
    case Section::Thread:
      return say(tables.threads[i].name);
    case Section::Cutter:
      return say(tables.crib[i].id);
    case Section::CutLimit:
      return say(spec(static_cast<LimitName>(i)).key);
    case Section::kCount:
      break;
  }
  return {};
}

}  // namespace chipledger::cutting
