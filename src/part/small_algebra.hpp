#pragma once
// Three by three eigenvectors and small least squares, for fits of a few unknowns.
#include <chipledger/geometry/vec.hpp>

#include <array>
#include <cmath>
#include <optional>

namespace chipledger::part {

struct Eigen3 {
  std::array<double, 3> values{};  ///< rising
  std::array<Vec3, 3> vectors{};
};

/// Symmetric matrix xx, yy, zz, xy, yz, zx by Jacobi turns; to rounding in a handful of sweeps.
inline Eigen3 eigen(const std::array<double, 6>& m) {
  std::array<std::array<double, 3>, 3> a{{{m[0], m[3], m[5]}, {m[3], m[1], m[4]}, {m[5], m[4], m[2]}}};
  std::array<std::array<double, 3>, 3> v{{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
  constexpr int kSweeps = 30;
  for (int sweep = 0; sweep < kSweeps; ++sweep)
    for (std::size_t p = 0; p < 2; ++p)
      for (std::size_t q = p + 1; q < 3; ++q) {
        if (a[p][q] == 0.0) continue;
        const double theta = 0.5 * (a[q][q] - a[p][p]) / a[p][q];
        const double t = (theta >= 0 ? 1.0 : -1.0) / (std::abs(theta) + std::sqrt(theta * theta + 1.0));
        const double c = 1.0 / std::sqrt(t * t + 1.0), s = t * c;
        for (std::size_t k = 0; k < 3; ++k) {
          const double kp = a[k][p], kq = a[k][q];
          a[k][p] = c * kp - s * kq;
          a[k][q] = s * kp + c * kq;
        }
        for (std::size_t k = 0; k < 3; ++k) {
          const double pk = a[p][k], qk = a[q][k];
          a[p][k] = c * pk - s * qk;
          a[q][k] = s * pk + c * qk;
          const double vp = v[k][p], vq = v[k][q];
          v[k][p] = c * vp - s * vq;
          v[k][q] = s * vp + c * vq;
        }
      }
  std::array<std::size_t, 3> order{0, 1, 2};
  std::sort(order.begin(), order.end(), [&](std::size_t i, std::size_t j) { return a[i][i] < a[j][j]; });
  Eigen3 out;
  for (std::size_t i = 0; i < 3; ++i) {
    out.values[i] = a[order[i]][order[i]];
    out.vectors[i] = {v[0][order[i]], v[1][order[i]], v[2][order[i]]};
  }
  return out;
}

/// Normal equations of N unknowns; nothing when they do not determine the unknowns.
template <std::size_t N>
class LeastSquares {
public:
  void add(const std::array<double, N>& row, double value) {
    for (std::size_t i = 0; i < N; ++i) {
      for (std::size_t j = 0; j < N; ++j) matrix_[i][j] += row[i] * row[j];
      right_[i] += row[i] * value;
    }
  }
  std::optional<std::array<double, N>> solve() const {
    auto a = matrix_;
    auto b = right_;
    double scale = 0.0;
    for (std::size_t i = 0; i < N; ++i) scale = std::max(scale, a[i][i]);
    constexpr double kSingular = 1e-13;
    for (std::size_t k = 0; k < N; ++k) {
      std::size_t pivot = k;
      for (std::size_t i = k + 1; i < N; ++i)
        if (std::abs(a[i][k]) > std::abs(a[pivot][k])) pivot = i;
      if (std::abs(a[pivot][k]) <= kSingular * scale) return std::nullopt;
      std::swap(a[k], a[pivot]);
      std::swap(b[k], b[pivot]);
      for (std::size_t i = k + 1; i < N; ++i) {
        const double f = a[i][k] / a[k][k];
        for (std::size_t j = k; j < N; ++j) a[i][j] -= f * a[k][j];
        b[i] -= f * b[k];
      }
    }
    std::array<double, N> x{};
    for (std::size_t k = N; k-- > 0;) {
      x[k] = b[k];
      for (std::size_t j = k + 1; j < N; ++j) x[k] -= a[k][j] * x[j];
      x[k] /= a[k][k];
    }
    return x;
  }

private:
  std::array<std::array<double, N>, N> matrix_{};
  std::array<double, N> right_{};
};

}  // namespace chipledger::part
