#pragma once
// All cutting tables in force: what is built in, with what the shop laid over it.
// The built-in rows are the TOML files in src/cutting/data, compiled in; a shop file uses the same sections and keys,
// and any row it gives replaces the built-in row of the same name (the fields it leaves out stay as they were). Shares
// are of the cutter diameter ("0.08" radial = 0.08 D). Every row has an Origin.
#include <chipledger/cutting/conditions.hpp>
#include <chipledger/cutting/cutter.hpp>
#include <chipledger/cutting/limits.hpp>
#include <chipledger/cutting/material.hpp>
#include <chipledger/cutting/origin.hpp>
#include <chipledger/cutting/thread_table.hpp>

#include <string>
#include <vector>

namespace chipledger::cutting {

/// Surface speed for one diameter and one band of radial engagement.
struct SpeedRow {
  std::string material, cutterMaterial;
  CutKind kind{CutKind::Rough};
  double radialLow{}, radialHigh{1};  ///< band of ae / D in which the row holds
  double diameter_mm{};
  double low_m_min{}, start_m_min{}, high_m_min{};  ///< the cutter's life in the crib is meant at `start`
  double lifeShare{1};  ///< share of that life under this kind of cut (a full slot dulls sooner)
  Origin origin{};
};

/// Chip load for one diameter: mm per tooth at ae >= D/2 (the rated chip thickness), mm per revolution for holes.
struct ChipLoadRow {
  std::string material, cutterMaterial;
  CutKind kind{CutKind::Rough};
  double diameter_mm{};
  double rated_mm{};
  Origin origin{};
};

/// Whether the widest step of this kind of cut is the table's; else it follows from the cutter or the work: slots are
/// as wide as the cutter, edge breaks and carved faces as the edge and the cusp ask.
constexpr bool needsRadialStep(CutKind kind) {
  return kind == CutKind::Rough || kind == CutKind::Wall || kind == CutKind::Floor;
}

/// Deepest and widest cut for one diameter, shares of D. For drills `axial` is the depth of a peck.
struct EngagementRow {
  std::string material;
  CutKind kind{CutKind::Rough};
  double diameter_mm{};
  double axial{}, radial{1};  ///< radial only where needsRadialStep
  Origin origin{};
};

/// Exponents of the life law T ~ v^(-1/n) ae^-p h^-q.
struct LifeRow {
  std::string material, cutterMaterial;
  double n{0.25}, radialExponent{1}, chipExponent{1};
  Origin origin{};
};

/// Share of the edges that die by chipping and not by wear: grows as the cutter shrinks.
struct ChippingRow {
  double diameter_mm{};
  double share{};
  Origin origin{};
};

/// What reach costs: reach / D -> factors on life and chip load.
struct ReachRow {
  double ratio{};
  double lifeFactor{1}, feedFactor{1};
  Origin origin{};
};

enum class ThinPart { Floor, Wall };
const char* word(ThinPart part);

/// What a thin part of the work costs: floors by thickness left (mm), walls by height / thickness -> factor on time.
struct ThinRow {
  ThinPart part{ThinPart::Floor};
  double measure{};
  double timeFactor{1};
  Origin origin{};
};

/// One thickness one can buy.
struct PlateRow {
  std::string material, form;
  double thickness_mm{};
  double under_mm{};    ///< the plate may be thinner than its name by this much
  double pricePerKg{};  ///< currency units
  Origin origin{};
};

struct CuttingTables {
  std::vector<Material> materials;
  std::vector<SpeedRow> speeds;            ///< sorted by material, cutter material, kind, band, diameter
  std::vector<ChipLoadRow> chipLoads;      ///< sorted alike
  std::vector<EngagementRow> engagements;  ///< sorted alike
  std::vector<LifeRow> lives;
  std::vector<ChippingRow> chipping;  ///< rising diameter
  std::vector<ReachRow> reach;        ///< rising ratio
  std::vector<ThinRow> thin;          ///< by part, rising measure
  std::vector<PlateRow> plates;       ///< by material, form, rising thickness
  ThreadTable threads;
  std::vector<Cutter> crib;
  Limits limits;
};

/// Loaded once from the data compiled in.
const CuttingTables& builtInTables();

/// Eight hexadecimal digits that change with any letter of the built-in tables: tells two estimates' tables apart.
std::string builtInTablesMark();

/// The sections of a shop file that belong to these tables: "material", "speed", "chip_load", "engagement",
/// "tool_life", "chipping", "reach", "thin_work", "plate", "thread", "cutter", "cut_limit". Other sections are not
/// looked at.
const std::vector<std::string>& ownedSections();

/// Lays the owned sections of a shop file over `base`. Fails: BadFile with file, line and mend for the first of: not
/// TOML, unknown key, wrong unit, impossible value, missing key of a new row.
Result<CuttingTables> overlayTables(CuttingTables base, const std::string& tomlText, const std::string& fileName);

/// Everything that overlayTables would stumble over, in order of lines; empty when the file is sound.
std::vector<Fault> checkTables(const CuttingTables& base, const std::string& tomlText, const std::string& fileName);

/// By name or by another name of the row; case, blanks, hyphens and dots do not matter.
/// Fails: Usage, lists the names and says which is nearest.
Result<Material> findMaterial(const CuttingTables& tables, const std::string& name);

/// Plate thicknesses for sale, rising; empty when the material has none.
std::vector<PlateRow> platesOf(const CuttingTables& tables, const std::string& material);

/// Fails: Usage, names the nearest id.
Result<Cutter> findCutter(const CuttingTables& tables, const std::string& id);

}  // namespace chipledger::cutting
