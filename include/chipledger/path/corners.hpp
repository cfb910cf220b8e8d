#pragma once
// Metal that no cutter in use reaches, told apart: inside corners, and slots narrower than the cutters.
// The radius of a corner is the largest cutter radius that leaves nothing of it; found by halving on exact regions,
// so it needs no knowledge of how the corner was drawn. What stays in a corner of inside angle b and radius rho:
//   (R^2 - rho^2) [cot(b/2) - (pi - b)/2]
#include <chipledger/path/chain.hpp>

#include <string>
#include <vector>

namespace chipledger::path {

struct Corner {
  Vec2 place;
  double radius_mm{};  ///< largest cutter radius that takes it; 0: sharp
  double depth_mm{};
  double area_mm2{};               ///< left in plan
  bool slot{};                     ///< a slot or a whole recess: more than a corner holds
  double width_mm{}, length_mm{};  ///< slots
};

/// Corners of `left` (a part of the zone's metal) that the cutter of `radius_mm`, the smallest in use, leaves.
std::vector<Corner> cornersOf(const Zone& zone, const Region& left, double radius_mm, double fit_mm);
/// One sentence for corners of one zone that are alike.
std::string sentenceOf(const std::vector<Corner>& alike, const std::string& smallestUsed,
                       const std::string& whyNoSaw = {});
/// Corners that one sentence can name: same kind, radius and depth. In order of place.
std::vector<std::vector<Corner>> grouped(std::vector<Corner> corners);

}  // namespace chipledger::path
