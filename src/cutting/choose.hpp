#pragma once
// Choosing conditions: mills and holes go different ways behind one door.
#include <chipledger/cutting/conditions.hpp>

#include "cutting/lookup.hpp"

namespace chipledger::cutting {

struct Asked {
  const Material& material;
  const Cutter& cutter;
  const CutRequest& request;
  const SpindleLimits& spindle;
  const CuttingTables& tables;
};

Result<Conditions> chooseMill(const Asked& asked);
Result<Conditions> chooseHole(const Asked& asked);

/// Cutter's life or price, the specific force and the rows used, as assumptions.
void sayRows(const Asked& asked, const SpeedBand& speed, const ChipLoad* chip, const EngagementLimit* engagement,
             Conditions& conditions);
tl::unexpected<Fault> noRow(const Asked& asked, const char* table);

}  // namespace chipledger::cutting
