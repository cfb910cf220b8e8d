#pragma once
// Rows for a diameter: interpolated between the diameters of the tables (speeds against log D, chip loads in log-log).
// Below the smallest diameter chip loads shrink with D, everything else holds its end value.
#include <chipledger/cutting/tables.hpp>

#include <optional>

namespace chipledger::cutting {

struct SpeedBand {
  double radialLow{}, radialHigh{1};
  double low{}, start{}, high{};  ///< m/min
  double lifeShare{1};
  const SpeedRow* row{};  ///< nearest row, for the source
};
/// One entry per band of radial engagement, rising; empty when there is no row.
std::vector<SpeedBand> speedsFor(const CuttingTables&, const std::string& material, const std::string& cutterMaterial,
                                 CutKind kind, double diameter_mm);

struct ChipLoad {
  double rated_mm{};
  const ChipLoadRow* row{};
};
std::optional<ChipLoad> chipLoadFor(const CuttingTables&, const std::string& material,
                                    const std::string& cutterMaterial, CutKind kind, double diameter_mm);

struct EngagementLimit {
  double axial{}, radial{};  ///< shares of D
  const EngagementRow* row{};
};
std::optional<EngagementLimit> engagementFor(const CuttingTables&, const std::string& material, CutKind kind,
                                             double diameter_mm);

const LifeRow* lifeFor(const CuttingTables&, const std::string& material, const std::string& cutterMaterial);
double chippingShare(const CuttingTables&, double diameter_mm);
/// Factors on life and chip load at reach / D.
ReachRow reachAt(const CuttingTables&, double ratio);
/// Factor on time; 1 for solid work. `drawnOn`: beyond the rows of the table.
struct ThinFactor {
  double time{1};
  bool beyond{};
};
ThinFactor thinFloor(const CuttingTables&, double thickness_mm);
ThinFactor thinWall(const CuttingTables&, double heightOverThickness);

/// "Ti-6Al-4V / carbide / rough, slot ..." for a fault: which rows there are.
std::string rowsThereAre(const CuttingTables&, const std::string& material);

}  // namespace chipledger::cutting
