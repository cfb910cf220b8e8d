#pragma once
// Reach, closing and distance by looking at every pair of cells.
#include <chipledger/field/grid.hpp>
#include <chipledger/field/profile.hpp>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

namespace reference {

using chipledger::field::HeightField;

/// Height of the underside at whole-cell offsets in um; INT32_MAX where the cutter is not.
inline std::int32_t undersideUm(const chipledger::field::Profile& p, double distance, bool body) {
  double z = 1e300;
  if (distance < p.radius_mm - 1e-6 || distance == 0) {
    const double out = distance - p.flat_mm;
    z = out <= 0 ? 0 : p.corner_mm > 0 ? p.corner_mm - std::sqrt(p.corner_mm * p.corner_mm - out * out) : p.rise * out;
  }
  if (body)
    for (const auto& c : p.collars)
      if (distance < c.radius_mm - 1e-6) z = std::min(z, c.height_mm);
  return z > 1e6 ? INT32_MAX : static_cast<std::int32_t>(std::llround(z * 1000));
}

template <class Better>
HeightField overCutter(const HeightField& field, const chipledger::field::Profile& p, bool body, int sign,
                       Better better) {
  HeightField out = field;
  const int r = static_cast<int>(p.widest() / field.spec.cell()) + 1;
  for (int j = 0; j < field.spec.ny; ++j)
    for (int i = 0; i < field.spec.nx; ++i)
      for (int b = std::max(0, j - r); b <= std::min(field.spec.ny - 1, j + r); ++b)
        for (int a = std::max(0, i - r); a <= std::min(field.spec.nx - 1, i + r); ++a) {
          const std::int32_t under = undersideUm(p, field.spec.cell() * std::hypot(a - i, b - j), body);
          if (under != INT32_MAX) out(i, j) = better(out(i, j), field(a, b) + sign * under);
        }
  return out;
}
inline HeightField slowTips(const HeightField& surface, const chipledger::field::Profile& p) {
  return overCutter(surface, p, true, -1, [](std::int32_t a, std::int32_t b) { return std::max(a, b); });
}
inline HeightField slowLeft(const HeightField& tips, const chipledger::field::Profile& p) {
  return overCutter(tips, p, false, 1, [](std::int32_t a, std::int32_t b) { return std::min(a, b); });
}

}  // namespace reference
