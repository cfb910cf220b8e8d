#include "canonical.hpp"

#include "small_algebra.hpp"
#include "tolerances.hpp"

#include <algorithm>
#include <cmath>

namespace chipledger::part {
namespace {

constexpr std::size_t kFewestSamples = 9;
constexpr double kForm = kTolerances.form_mm, kNormal = kTolerances.formNormal;
/// Beyond this radius in part sizes a face is as good as flat, and centre and radius are noise.
constexpr double kLargestRadius_mm = 1e5;

std::array<double, 6> normalSpread(const std::vector<FaceSample>& samples, Vec3 about) {
  std::array<double, 6> m{};
  for (const FaceSample& s : samples) {
    const Vec3 n = s.normal - about;
    const std::array<double, 6> one{n.x * n.x, n.y * n.y, n.z * n.z, n.x * n.y, n.y * n.z, n.z * n.x};
    for (std::size_t i = 0; i < 6; ++i) m[i] += one[i];
  }
  return m;
}

std::optional<Form> plane(const std::vector<FaceSample>& samples) {
  const FaceSample& first = samples.front();
  for (const FaceSample& s : samples)
    if (norm(cross(first.normal, s.normal)) > kNormal || dot(first.normal, s.normal) < 0 ||
        std::abs(dot(first.normal, s.point - first.point)) > kForm)
      return std::nullopt;
  return Form{SurfaceKind::Plane, first.point, first.normal, 0.0, 0.0, false};
}

std::optional<Form> sphere(const std::vector<FaceSample>& samples) {
  LeastSquares<4> fit;
  const Vec3 base = samples.front().point;
  for (const FaceSample& s : samples) {
    const Vec3 p = s.point - base;
    fit.add({1, 0, 0, s.normal.x}, p.x);
    fit.add({0, 1, 0, s.normal.y}, p.y);
    fit.add({0, 0, 1, s.normal.z}, p.z);
  }
  const auto x = fit.solve();
  if (!x || std::abs((*x)[3]) > kLargestRadius_mm) return std::nullopt;
  const Vec3 centre = base + Vec3{(*x)[0], (*x)[1], (*x)[2]};
  const double r = (*x)[3];
  for (const FaceSample& s : samples)
    if (norm(s.point - centre - s.normal * r) > kForm + kNormal * std::abs(r) ||
        std::abs(norm(s.point - centre) - std::abs(r)) > kForm)
      return std::nullopt;
  return Form{SurfaceKind::Sphere, centre, {0, 0, 1}, std::abs(r), 0.0, r < 0};
}

std::optional<Form> cylinder(const std::vector<FaceSample>& samples) {
  const Vec3 axis = unit(eigen(normalSpread(samples, {})).vectors[0]);
  for (const FaceSample& s : samples)
    if (std::abs(dot(axis, s.normal)) > kNormal) return std::nullopt;
  const Vec3 e1 = unit(samples.front().normal - axis * dot(axis, samples.front().normal)), e2 = cross(axis, e1);
  const Vec3 base = samples.front().point;
  LeastSquares<3> fit;
  for (const FaceSample& s : samples) {
    fit.add({1, 0, dot(e1, s.normal)}, dot(e1, s.point - base));
    fit.add({0, 1, dot(e2, s.normal)}, dot(e2, s.point - base));
  }
  const auto x = fit.solve();
  if (!x || std::abs((*x)[2]) > kLargestRadius_mm) return std::nullopt;
  const double r = (*x)[2];
  const Vec3 origin = base + e1 * (*x)[0] + e2 * (*x)[1];
  for (const FaceSample& s : samples) {
    const Vec3 out = s.point - origin - axis * dot(axis, s.point - origin);
    if (std::abs(norm(out) - std::abs(r)) > kForm || norm(out - s.normal * r) > kForm + 2 * kNormal * std::abs(r))
      return std::nullopt;
  }
  return Form{SurfaceKind::Cylinder, origin, axis, std::abs(r), 0.0, r < 0};
}

std::optional<Form> cone(const std::vector<FaceSample>& samples) {
  Vec3 mean{};
  for (const FaceSample& s : samples) mean = mean + s.normal * (1.0 / static_cast<double>(samples.size()));
  const Eigen3 spread = eigen(normalSpread(samples, mean));
  if (spread.values[1] < kNormal * kNormal * static_cast<double>(samples.size())) return std::nullopt;
  Vec3 axis = unit(spread.vectors[0]);
  const double lean = dot(axis, mean);
  LeastSquares<3> fit;
  const Vec3 base = samples.front().point;
  for (const FaceSample& s : samples) {
    if (std::abs(dot(axis, s.normal) - lean) > kNormal) return std::nullopt;
    fit.add({s.normal.x, s.normal.y, s.normal.z}, dot(s.normal, s.point - base));
  }
  const auto x = fit.solve();
  if (!x) return std::nullopt;
  const Vec3 apex = base + Vec3{(*x)[0], (*x)[1], (*x)[2]};
  if (norm(apex - base) > kLargestRadius_mm) return std::nullopt;
  int inward = 0;
  for (const FaceSample& s : samples) {
    const Vec3 d = s.point - apex;
    if (std::abs(dot(s.normal, d)) > kForm) return std::nullopt;
    const Vec3 out = d - axis * dot(axis, d);
    // A cone's normal lies in the plane of axis and point.
    if (norm(cross(unit(out), unit(s.normal - axis * dot(axis, s.normal)))) > 2 * kNormal && norm(out) > kForm)
      return std::nullopt;
    inward += dot(out, s.normal) < 0 ? 1 : -1;
  }
  return Form{SurfaceKind::Cone, apex, axis, 0.0, std::asin(std::min(1.0, std::abs(lean))), inward > 0};
}

}  // namespace

std::optional<Form> recogniseForm(const std::vector<FaceSample>& samples) {
  if (samples.size() < kFewestSamples) return std::nullopt;
  if (auto form = plane(samples)) return form;
  if (auto form = cylinder(samples)) return form;
  if (auto form = sphere(samples)) return form;
  return cone(samples);
}

}  // namespace chipledger::part
