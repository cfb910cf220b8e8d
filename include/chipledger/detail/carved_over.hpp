#pragma once
// Details taken away from a carved face: the face runs on over the place where they were. An upright prism would leave
// a flat plug there (or the stump of an island at the height of the crest): a floor, and often a cutter, that no
// drawing without the detail asks for.
//
// The triangles of the details go. Each border they leave in a carved face is closed by the quadric
//   z(x, y) = a + b x + c y + d x^2 + e x y + f y^2      (plate frame, mm; least squares, nearer points count more)
// through the face round it, moved along each ray from the middle of the border so that it meets the border; borders in
// level faces are closed flat. The new triangles belong to the face they continue, so it is carved as one.
//
// What holds: the mesh stays closed; every border is met exactly; a crown of circles is continued within its third
// order (0.001 mm for a 30 mm opening in a crown of radius 400 mm).
// Left to prisms (detail::without): what no carved face surrounds, borders that are not seen whole from their middle
// (bent slots), openings that go on into a detail that stays, and all of a group whose carved face goes as well.
#include <chipledger/detail/detail.hpp>
#include <chipledger/field/solid.hpp>

#include <optional>
#include <vector>

namespace chipledger::detail {

struct CarvedOver {
  field::Solid solid;                  ///< the part without them
  std::vector<int> taken;              ///< details that are gone from it, rising
  std::vector<field::Change> changes;  ///< the rest of the group, by prisms
};

/// Empty when no detail of the group (children included) stands in a carved face that stays.
std::optional<CarvedOver> carvedOver(const part::Body& body, const Frame& partToPlate, const Details& details,
                                     const std::vector<int>& group);

}  // namespace chipledger::detail
