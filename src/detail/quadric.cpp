#include "detail/quadric.hpp"

#include <algorithm>
#include <cmath>

namespace chipledger::detail {

double Quadric::at(Vec2 p) const {
  const double u = p.x - middle.x, v = p.y - middle.y;
  return terms[0] + terms[1] * u + terms[2] * v + terms[3] * u * u + terms[4] * u * v + terms[5] * v * v;
}

double Quadric::sag(double reach) const {
  const double mean = 0.5 * (terms[3] + terms[5]), apart = std::hypot(0.5 * (terms[3] - terms[5]), 0.5 * terms[4]);
  return (std::abs(mean) + apart) * reach * reach;
}

std::optional<Quadric> quadricThrough(const std::vector<Vec3>& points, Vec2 middle, double reach) {
  constexpr std::size_t kTerms = 6;
  constexpr double kFixed = 1e-9;  // of the largest pivot: less is a direction in which nothing is known
  std::array<std::array<double, kTerms + 1>, kTerms> m{};
  for (const Vec3& p : points) {
    // In units of the reach, so that the six terms are alike in size.
    const double u = (p.x - middle.x) / reach, v = (p.y - middle.y) / reach, far2 = u * u + v * v;
    const double weight = 1.0 / (1.0 + far2 * far2);
    const std::array<double, kTerms + 1> row{1.0, u, v, u * u, u * v, v * v, p.z};
    for (std::size_t i = 0; i < kTerms; ++i)
      for (std::size_t k = 0; k <= kTerms; ++k) m[i][k] += weight * row[i] * row[k];
  }
  double largest = 0.0;
  for (std::size_t i = 0; i < kTerms; ++i) largest = std::max(largest, std::abs(m[i][i]));
  for (std::size_t i = 0; i < kTerms; ++i) {
    std::size_t pivot = i;
    for (std::size_t k = i + 1; k < kTerms; ++k)
      if (std::abs(m[k][i]) > std::abs(m[pivot][i])) pivot = k;
    if (std::abs(m[pivot][i]) <= kFixed * largest) return std::nullopt;
    std::swap(m[i], m[pivot]);
    for (std::size_t k = 0; k < kTerms; ++k) {
      if (k == i) continue;
      const double by = m[k][i] / m[i][i];
      for (std::size_t c = i; c <= kTerms; ++c) m[k][c] -= by * m[i][c];
    }
  }
  Quadric q;
  q.middle = middle;
  for (std::size_t i = 0; i < kTerms; ++i) q.terms[i] = m[i][kTerms] / m[i][i];
  q.terms[1] /= reach;
  q.terms[2] /= reach;
  for (std::size_t i = 3; i < kTerms; ++i) q.terms[i] /= reach * reach;
  return q;
}

}  // namespace chipledger::detail
