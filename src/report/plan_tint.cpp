#include "report/plan_tint.hpp"

#include <array>

namespace chipledger::report {

namespace {

// Roughly doubling steps: the price of details spans two decades on a real plate.
constexpr std::array<double, kTintSteps> kFrom{0.0, 0.04, 0.12, 0.30, 0.60};
// One hue from pale to deep, lightness falling evenly (about 95, 85, 73, 60, 46 of 100).
constexpr std::array<const char*, kTintSteps> kColours{"#f6efe2", "#ecd2a4", "#dfaf68", "#cf8434", "#a85a12"};

}  // namespace

int tintStep(double share) {
  int step = 0;
  for (int i = 1; i < kTintSteps; ++i)
    if (share >= kFrom[static_cast<std::size_t>(i)]) step = i;
  return step;
}

double tintFrom(int step) { return kFrom[static_cast<std::size_t>(step)]; }
const char* tintColour(int step) { return kColours[static_cast<std::size_t>(step)]; }

std::string hatchDefinitions() {
  // Spacing halves step by step; the dearest is crossed.
  return "<defs>"
         "<pattern id=\"cl-h1\" width=\"1.6\" height=\"1.6\" patternUnits=\"userSpaceOnUse\"><circle cx=\"0.8\" "
         "cy=\"0.8\" "
         "r=\"0.12\" fill=\"#000\"/></pattern>"
         "<pattern id=\"cl-h2\" width=\"1.8\" height=\"1.8\" patternUnits=\"userSpaceOnUse\" "
         "patternTransform=\"rotate(45)\">"
         "<path d=\"M0 0V1.8\" stroke=\"#000\" stroke-width=\"0.16\"/></pattern>"
         "<pattern id=\"cl-h3\" width=\"0.9\" height=\"0.9\" patternUnits=\"userSpaceOnUse\" "
         "patternTransform=\"rotate(45)\">"
         "<path d=\"M0 0V0.9\" stroke=\"#000\" stroke-width=\"0.16\"/></pattern>"
         "<pattern id=\"cl-h4\" width=\"0.9\" height=\"0.9\" patternUnits=\"userSpaceOnUse\" "
         "patternTransform=\"rotate(45)\">"
         "<path d=\"M0 0V0.9M0 0H0.9\" stroke=\"#000\" stroke-width=\"0.16\"/></pattern>"
         "</defs>\n";
}

std::string hatchFill(int step) { return step == 0 ? "none" : "url(#cl-h" + std::to_string(step) + ")"; }

}  // namespace chipledger::report
