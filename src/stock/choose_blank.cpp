#include <fmt/format.h>
#include <chipledger/stock/stock.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

namespace chipledger::stock {
namespace {

// A part drawn to fill a step exactly must not miss it by the file's rounding.
constexpr double kFitSlack = 1e-4;  // mm

}  // namespace

Length underThicknessAt(Length step, Length plateAllowance) {
  struct Row {
    double from_mm, to_mm, under_mm;
  };
  // Text of a sheet standard for titanium; the standard leaves gaps between its ranges.
  constexpr Row kSheet[] = {{1.85, 2.11, 0.18}, {2.13, 2.49, 0.20}, {2.92, 3.30, 0.25}, {3.71, 4.76, 0.36}};
  if (toMm(step) > kSheet[3].to_mm + kFitSlack) return plateAllowance;
  const Row* nearest = &kSheet[0];
  double least = std::numeric_limits<double>::infinity();
  for (const Row& row : kSheet) {
    const double away = std::max({row.from_mm - toMm(step), toMm(step) - row.to_mm, 0.0});
    if (away < least) {
      least = away;
      nearest = &row;
    }
  }
  return mm(nearest->under_mm);
}

Result<Blank> chooseBlank(const Box3& partInPlateFrame, Volume partVolume, const PlateRules& rules,
                          std::optional<Area> silhouette) {
  if (rules.steps.empty()) {
    return fault(FaultCode::Usage, "plate.steps", "No plate thickness is listed.",
                 "Name the thicknesses you can buy in the shop file.");
  }
  for (std::size_t i = 1; i < rules.steps.size(); ++i) {
    if (!(rules.steps[i - 1] < rules.steps[i])) {
      return fault(FaultCode::Usage, "plate.steps",
                   fmt::format("Plate thicknesses must rise: {} mm follows {} mm.", toMm(rules.steps[i]),
                               toMm(rules.steps[i - 1])),
                   "Sort them in the shop file.");
    }
  }
  const Vec3 part = partInPlateFrame.size();
  const double side = toMm(rules.sideAllowance);
  const double plan = (part.x + 2 * side) * (part.y + 2 * side);
  const Length height = mm(part.z);

  struct Fit {
    const Length* step;
    Length skim, needed, under;
  };
  const auto fit = [&](Length skim) -> Fit {
    for (const Length& step : rules.steps) {
      const auto i = static_cast<std::size_t>(&step - rules.steps.data());
      const Length under = i < rules.under.size() ? rules.under[i] : underThicknessAt(step, rules.underThickness);
      const Length needed = height + skim * 2 + under;
      if (toMm(step) >= toMm(needed) - kFitSlack) return {&step, skim, needed, under};
    }
    return {nullptr, skim, height + skim * 2 + rules.underThickness, rules.underThickness};
  };
  Fit chosen = fit(rules.skimLight);
  // Which skim: the share cut away is taken of the plate that the light skim would need.
  const double thickness = chosen.step ? toMm(*chosen.step) : toMm(chosen.needed);
  const double roughed = 1 - toMm3(partVolume) / ((silhouette ? toMm2(*silhouette) : plan) * thickness);
  if (roughed > (silhouette ? rules.heavyFaceShare : rules.heavyShare)) chosen = fit(rules.skimHeavy);
  if (!chosen.step && chosen.needed > kAssumedUpTo * rules.steps.back()) {
    return fault(
        FaultCode::Usage, "plate.steps",
        fmt::format("The part needs a plate of {:.2f} mm (height {:.2f}, skim {:.2f} a side, {:.2f} for thin plate); "
                    "the thickest listed is {:.2f} mm, and stock of more than twice that is not assumed.",
                    toMm(chosen.needed), part.z, toMm(chosen.skim), toMm(chosen.under), toMm(rules.steps.back())),
        "List a thicker plate in the shop file or make the part lower.");
  }
  Blank blank;
  blank.listed = chosen.step != nullptr;
  blank.step = blank.listed ? *chosen.step : mm(std::ceil(toMm(chosen.needed) - kFitSlack));
  blank.needed = chosen.needed;
  blank.skimPerSide = chosen.skim;
  blank.leftBeforeNextStep = mm(blank.listed ? std::max(0.0, toMm(blank.step) - toMm(blank.needed)) : 0.0);
  blank.size_mm = {part.x + 2 * side, part.y + 2 * side, toMm(blank.step)};
  // What the plate has over the part is split evenly between the two sides.
  blank.min_mm = {partInPlateFrame.min.x - side, partInPlateFrame.min.y - side,
                  partInPlateFrame.min.z - (toMm(blank.step) - part.z) / 2};
  blank.volume = mm3(plan * toMm(blank.step));
  blank.mass_g = toCm3(blank.volume) * rules.density_g_cm3;
  const auto bought =
      blank.listed ? static_cast<std::size_t>(chosen.step - rules.steps.data()) : rules.steps.size() - 1;
  const double dearer = bought < rules.dearer.size() ? rules.dearer[bought] : 1.0;
  blank.price = money(blank.mass_g / 1000.0 * rules.pricePerKg * dearer * (1 + rules.handling));
  if (!blank.listed) {
    blank.notes.push_back(
        {NoteSeverity::LeftOut, "plate-not-listed",
         fmt::format("Thicker than any plate in the shop's list: {:.2f} mm are needed (height {:.2f}, skim {:.2f} a "
                     "side, {:.2f} for thin plate), the thickest listed is {:.2f} mm. Assumed: {:.0f} mm at the price "
                     "per kg of that one, {:.2f}. List such a plate in the shop file.",
                     toMm(chosen.needed), part.z, toMm(chosen.skim), toMm(chosen.under), toMm(rules.steps.back()),
                     toMm(blank.step), rules.pricePerKg * dearer),
         ""});
  }
  return blank;
}

}  // namespace chipledger::stock
