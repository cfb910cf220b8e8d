// Volumes in closed form or by quadrature of closed forms, so that nothing drawn can be lost unseen.
#include "layout.hpp"

#include <cmath>
#include <numbers>

namespace chipledger::draw {
namespace {

using std::numbers::pi;
// Gauss-Legendre, 6 points: exact for the quadratic areas of insets, 1e-12 for quarter rounds.
constexpr double kAbscissa[] = {0.238619186083197, 0.661209386466265, 0.932469514203152};
constexpr double kWeight[] = {0.467913934572691, 0.360761573048139, 0.171324492379170};

template <class F>
double gauss(double from, double to, F f) {
  double sum = 0.0;
  for (int i = 0; i < 3; ++i)
    for (double side : {-1.0, 1.0}) sum += kWeight[i] * f(0.5 * (from + to) + side * kAbscissa[i] * 0.5 * (to - from));
  return sum * 0.5 * (to - from);
}

double insetArea(const Contour& contour, double by) {
  if (by == 0.0) return area(contour);
  if (contour.fullCircle()) {
    const double r = std::max(0.0, radius(contour.pieces[0]) - by);
    return pi * r * r;
  }
  // Any smooth contour: the parallel curve's area (Steiner), total turning 2 pi.
  if (contour.hasSpline()) return area(contour) - perimeter(contour) * by + pi * by * by;
  const auto in = inset(contour, by);
  return in ? area(*in) : 0.0;
}

}  // namespace

double stackVolume(const Contour& contour, const std::vector<Step>& steps, double low, double high) {
  double sum = 0.0;
  for (std::size_t i = 0; i + 1 < steps.size(); ++i) {
    const Step &a = steps[i], &b = steps[i + 1];
    const double from = std::max(low, a.z_mm), to = std::min(high, b.z_mm), rise = b.z_mm - a.z_mm;
    if (to <= from) continue;
    if (a.roundNext) {
      // Quarter round: inset = r (1 - cos q) from its outer end, height = r sin q from there.
      const double r = rise, outer = std::min(a.inset_mm, b.inset_mm);
      sum += gauss(0.0, pi / 2,
                   [&](double q) { return insetArea(contour, outer + r * (1 - std::cos(q))) * r * std::cos(q); });
    } else if (a.inset_mm == b.inset_mm) {
      sum += insetArea(contour, a.inset_mm) * (to - from);
    } else {
      sum += gauss(from, to, [&](double z) {
        return insetArea(contour, a.inset_mm + (b.inset_mm - a.inset_mm) * (z - a.z_mm) / rise);
      });
    }
  }
  return sum;
}

double rootFilletVolume(const Contour& contour, double r) {
  return perimeter(contour) * r * r * (1 - pi / 4) + 2 * pi * r * r * r * (5.0 / 6.0 - pi / 4);
}

double crownHeight(const Crown& crown, double top, double x, double y) {
  const double ra = toMm(crown.acrossRadius), rl = toMm(crown.alongRadius);
  const double across = std::sqrt(std::max(0.0, ra * ra - y * y));
  if (rl == 0) return top - ra + across;
  const double r = rl - ra + across;
  return top - rl + std::sqrt(std::max(0.0, r * r - x * x));
}

double crownColumn(const Crown& crown, double top, const Contour& contour, Vec2 centre) {
  const double ra = toMm(crown.acrossRadius), rl = toMm(crown.alongRadius);
  return integrateDy(contour, [&](double px, double py) {
    const double x = px - centre.x, y = py - centre.y, across = std::sqrt(ra * ra - y * y);
    if (rl == 0) return x * (top - ra + across);
    const double r = rl - ra + across;
    return (top - rl) * x + 0.5 * (x * std::sqrt(r * r - x * x) + r * r * std::asin(x / r));
  });
}

double domeColumn(double sphere, double top, const Contour& contour, Vec2 centre) {
  return integrateDy(contour, [&](double px, double py) {
    const double x = px - centre.x, y = py - centre.y, r2 = sphere * sphere - y * y;
    return (top - sphere) * x + 0.5 * (x * std::sqrt(r2 - x * x) + r2 * std::asin(x / std::sqrt(r2)));
  });
}

}  // namespace chipledger::draw
