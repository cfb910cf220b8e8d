#include "fingerprint.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <cstdint>

namespace chipledger::part {
namespace {

/// Radians per mm. Two waves, so that no length lies on the flat of both; slow enough that noise stays small, fast
/// enough that 0.01 mm shows.
constexpr std::array<double, 2> kWaves{1.0, 1.6180339887498949};
/// A change of 0.01 mm moves a wave by 0.01 or more for at least one of its four sums.
constexpr double kRounding = 2e-3;
/// An edge whose ends are closer than this is closed, and where it begins is the writer's choice, mm.
constexpr double kClosed = 1e-3;
/// Of the largest size the handedness could have. A symmetric part written with six decimals stays below 1e-9, a
/// chassis with one island off the middle comes to 1e-5 and more.
constexpr double kHanded = 1e-7;

/// FNV-1a, 64 bits.
class Hash {
public:
  void add(std::int64_t value) {
    for (int i = 0; i < 8; ++i) {
      state_ ^= static_cast<std::uint64_t>(value >> (8 * i)) & 0xffU;
      state_ *= 1099511628211ULL;
    }
  }
  std::uint64_t value() const { return state_; }

private:
  std::uint64_t state_{14695981039346656037ULL};
};

class Waves {
public:
  void add(double x) {
    for (std::size_t i = 0; i < kWaves.size(); ++i) {
      sums_[2 * i] += std::sin(kWaves[i] * x);
      sums_[2 * i + 1] += std::cos(kWaves[i] * x);
    }
  }
  void into(Hash& hash) const {
    for (const double s : sums_) hash.add(std::llround(s / kRounding));
  }

private:
  std::array<double, 2 * kWaves.size()> sums_{};
};

struct Middle {
  double area{};
  Vec3 centre;
};

/// +1 or -1 for a body that differs from its mirror image, 0 where the moments cannot tell.
int handedness(const std::vector<Middle>& faces, Vec3 centre) {
  Vec3 a{}, b{}, c{};
  double mostA = 0.0, mostB = 0.0, mostC = 0.0;
  double size = 0.0;
  for (const Middle& face : faces) size = std::max(size, norm(face.centre - centre));
  if (!(size > 0)) return 0;
  for (const Middle& face : faces) {
    const Vec3 r = (face.centre - centre) * (1.0 / size);
    const double q = dot(r, r);
    a = a + r * (face.area * q);
    b = b + r * (face.area * q * q);
    c = c + r * std::sqrt(face.area);
    mostA += norm(r) * face.area * q;
    mostB += norm(r) * face.area * q * q;
    mostC += norm(r) * std::sqrt(face.area);
  }
  const double volume = dot(a, cross(b, c)), most = mostA * mostB * mostC;
  if (!(most > 0) || std::abs(volume) < kHanded * most) return 0;
  return volume > 0 ? 1 : -1;
}

}  // namespace

std::string fingerprint(const Body& body, const std::vector<FaceIntegral>& integrals, Vec3 about) {
  std::vector<Middle> faces;
  Vec3 centre{};
  double area = 0.0;
  for (const FaceIntegral& face : integrals) {
    centre = centre + face.first;
    area += face.area;
    faces.push_back({face.area, face.area > 0 ? about + face.first * (1.0 / face.area) : about});
  }
  centre = area > 0 ? about + centre * (1.0 / area) : about;

  Waves sizes, places, radii, lengths, ends, gaps;
  for (std::size_t i = 0; i < faces.size(); ++i) {
    sizes.add(std::sqrt(faces[i].area));
    places.add(norm(faces[i].centre - centre));
    if (body.faces[i].radius.base > 0) radii.add(toMm(body.faces[i].radius));
    if (body.faces[i].minorRadius.base > 0) radii.add(toMm(body.faces[i].minorRadius));
  }
  for (const Edge& edge : body.edges) {
    lengths.add(toMm(edge.length));
    if (edge.points.empty()) continue;
    if (edge.left == edge.right) continue;  // a seam lies where the writer chose to begin
    if (norm(edge.points.front() - edge.points.back()) > kClosed) {
      ends.add(norm(edge.points.front() - centre) + norm(edge.points.back() - centre));
    } else if (edge.shape == EdgeShape::Circle) {
      ends.add(2.0 * norm(edge.centre - centre));
    }
    if (edge.right.index >= 0)
      gaps.add(norm(faces[static_cast<std::size_t>(edge.left.index)].centre -
                    faces[static_cast<std::size_t>(edge.right.index)].centre));
  }
  Hash hash;
  hash.add(static_cast<std::int64_t>(faces.size()));
  hash.add(static_cast<std::int64_t>(body.edges.size()));
  for (const Waves& waves : {sizes, places, radii, lengths, ends, gaps}) waves.into(hash);
  hash.add(handedness(faces, centre));
  return fmt::format("{:016x}", hash.value());
}

}  // namespace chipledger::part
