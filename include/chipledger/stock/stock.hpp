#pragma once
// Plate steps, blank allowances, skim and under-thickness: which blank the part is cut from.
#include <chipledger/geometry/vec.hpp>
#include <chipledger/result/provenance.hpp>
#include <chipledger/result/result.hpp>
#include <chipledger/units/money.hpp>
#include <chipledger/units/quantity.hpp>

#include <optional>
#include <string>
#include <vector>

namespace chipledger::stock {

/// Rules and prices of plate in one material; values come from the tables or the shop file.
struct PlateRules {
  std::vector<Length> steps;        ///< thicknesses one can buy, rising
  std::vector<Length> under;        ///< one per step: how much thinner than its name; empty: by the sheet standard
  std::vector<double> dearer;       ///< one per step: its price per kg over pricePerKg; empty: 1 for all
  Length sideAllowance{mm(3)};      ///< added all round in plan
  Length skimLight{mm(0.15)};       ///< a side, when little is cut away
  Length skimHeavy{mm(0.30)};       ///< a side, when one face is roughed heavily
  double heavyShare{0.65};          ///< share of the blank cut away from which the heavy skim holds
  double heavyFaceShare{0.45};      ///< the same, of the plate over the silhouette alone (windows and margin left out)
  Length underThickness{mm(0.30)};  ///< above sheet (4.76 mm): plate may be thinner than its name by this much
  double density_g_cm3{4.42};
  double pricePerKg{75.0};  ///< currency units
  double handling{0.15};    ///< surcharge for cutting to size
  std::string material;
};

/// Stock thicker than any listed is assumed up to this many times the thickest.
inline constexpr double kAssumedUpTo = 2.0;

struct Blank {
  std::string form{"plate"};
  Vec3 size_mm;                 ///< plate frame
  Vec3 min_mm;                  ///< lowest corner in the plate frame
  Length step{};                ///< the plate bought
  bool listed{true};            ///< false: thicker than any plate of the shop's list, assumed to be had
  Length needed{};              ///< finished height + skims + under-thickness
  Length leftBeforeNextStep{};  ///< how much taller the part could be on the same plate
  Length skimPerSide{};
  Volume volume{};
  double mass_g{};
  Money price;
  Notes notes;
};

/// Flat stock up to this thickness is sheet, above it plate.
inline constexpr Length kThickestSheet = mm(4.76);

/// How much thinner than its name a plate of this step may be. Up to 4.76 mm the thickness tolerance of flat-rolled
/// titanium sheet (0.18 at 1.85-2.11, 0.20 at 2.13-2.49, 0.25 at 2.92-3.30, 0.36 at 3.71-4.76 mm; steps between the
/// printed ranges take the nearest one), above it `plateAllowance`. Source: text of a sheet standard, rxcrp.cn.
Length underThicknessAt(Length step, Length plateAllowance);

/// Chooses the thinnest plate step >= part height + 2 skim + under-thickness. The heavy skim holds when more than
/// heavyShare of the blank would be cut away; with `silhouette` (area of the part seen from +z) when more than
/// heavyFaceShare of the plate over it is, so that a large window does not count as a heavily roughed face.
/// What the plate has over the part lies half above and half below it. Price = mass x price per kg x (1 + handling).
/// When no step is thick enough, stock of the next whole millimetre is assumed at the price per kg of the thickest step
/// listed; the blank says so (`listed`, Note "plate-not-listed") and nothing is left before a next plate.
/// Fails: Usage when there are no steps or they do not rise, or when more than kAssumedUpTo of the thickest is needed:
/// such a part is no plate, and its price would rest on a guess.
Result<Blank> chooseBlank(const Box3& partInPlateFrame, Volume partVolume, const PlateRules& rules,
                          std::optional<Area> silhouette = std::nullopt);

}  // namespace chipledger::stock
