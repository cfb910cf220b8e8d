#pragma once
// Five steps of price: tint and hatch.
#include <string>

namespace chipledger::report {

inline constexpr int kTintSteps = 5;

/// 0 (least) to 4 (dearest) by the share of the dearest detail's price.
int tintStep(double shareOfDearest);
/// Lower end of a step, as a share of the dearest.
double tintFrom(int step);
const char* tintColour(int step);
/// Pattern definitions, once per SVG.
std::string hatchDefinitions();
/// "url(#...)", or "none" for the lightest step.
std::string hatchFill(int step);

}  // namespace chipledger::report
