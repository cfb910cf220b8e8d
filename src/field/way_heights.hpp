#pragma once
// Heights along a straight piece of a cutter's way.
#include <chipledger/geometry/vec.hpp>

#include <algorithm>
#include <cstdint>

namespace chipledger::field {

// To the nearest um without a library call; heights lie within +-1 m.
inline std::int32_t nearestUm(double mm) {
  constexpr double kBias = 1048576.0;
  return static_cast<std::int32_t>(mm * 1000.0 + (kBias + 0.5)) - static_cast<std::int32_t>(kBias);
}

// Closest point of the piece to a cell centre.
struct Piece {
  Vec3 from;
  Vec2 along;
  double rise, perLength2;
  Piece(Vec3 a, Vec3 b) : from(a), along(b.xy() - a.xy()), rise(b.z - a.z) {
    const double l2 = dot(along, along);
    perLength2 = l2 > 0 ? 1.0 / l2 : 0.0;
  }
  double closest(Vec2 p, double& distance2) const {
    const Vec2 d = p - from.xy();
    const double t = std::clamp(dot(d, along) * perLength2, 0.0, 1.0);
    const Vec2 gap = d - along * t;
    distance2 = dot(gap, gap);
    return from.z + rise * t;
  }
};

}  // namespace chipledger::field
