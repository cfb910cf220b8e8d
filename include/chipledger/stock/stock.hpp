#pragma once
// Plate steps, blank allowances, skim and under-thickness: which blank the part is cut from.
#include <chipledger/geometry/vec.hpp>
#include <chipledger/result/provenance.hpp>
#include <chipledger/result/result.hpp>
#include <chipledger/units/money.hpp>
#include <chipledger/units/quantity.hpp>

#include <string>
#include <vector>

namespace chipledger::stock {

/// Rules and prices of plate in one material; values come from the tables or the shop file.
struct PlateRules {
  std::vector<Length> steps;          ///< thicknesses one can buy, rising
  Length sideAllowance{mm(3)};        ///< added all round in plan
  Length skimLight{mm(0.15)};         ///< a side, when little is cut away
  Length skimHeavy{mm(0.30)};         ///< a side, when one face is roughed heavily
  double heavyShare{0.65};            ///< share of the blank cut away from which the heavy skim holds
  Length underThickness{mm(0.30)};    ///< plate may be thinner than its name by this much
  double density_g_cm3{4.42};
  double pricePerKg{75.0};            ///< currency units
  double handling{0.15};              ///< surcharge for cutting to size
  std::string material;
};

struct Blank {
  std::string form{"plate"};
  Vec3 size_mm;                 ///< plate frame
  Vec3 min_mm;                  ///< lowest corner in the plate frame
  Length step{};                ///< the plate bought
  Length needed{};              ///< finished height + skims + under-thickness
  Length leftBeforeNextStep{};  ///< how much taller the part could be on the same plate
  Length skimPerSide{};
  Volume volume{};
  double mass_g{};
  Money price;
  Notes notes;
};

/// Chooses the thinnest plate step >= part height + 2 skim + under-thickness; the heavy skim when more than heavyShare of
/// the blank would be cut away. Fails: Usage when no step is thick enough (says the thickest one).
Result<Blank> chooseBlank(const Box3& partInPlateFrame, Volume partVolume, const PlateRules& rules);

}  // namespace chipledger::stock
