#pragma once
// One dimension of one detail changed on the part as read, without drawing it again: the metal (lifts and prisms of the
// field) and the table of details change together, so that what follows cannot tell it from a part drawn that way.
//
//   height     of an island: its wall is drawn out or cut short; foot fillet, chamfer, dome and what sits in its top
//              keep their form and move with the top
//   depth      of a recess: its floor moves, with the fillet and all that stands or opens there
//   thickness  of the body: the back stays, everything on the outer side moves
//   radius     of the inside corners between straight walls that have the smallest radius
//   diameter   of a bore, or of a round island, pocket or window
//   width      of a slot (as its band gets wider), of an island, pocket or window (across)
//   length     of an island, pocket or window (along)
//
// What holds: heights, depths, thickness, radii and diameters of bores are exact on the field. Where the plan of an
// island or recess changes, the fillet at its foot or floor and the broken edge of its rim or top are drawn anew as
// stairs of narrow prisms (treads.hpp); a dome on an island becomes a flat top.
// Fails: a value that would break the part is refused with the reason; nothing is cut back silently.
#include <chipledger/detail/detail.hpp>
#include <chipledger/field/solid.hpp>

#include <string>
#include <vector>

namespace chipledger::detail {

enum class Dimension { Height, Depth, Thickness, Radius, Diameter, Width, Length };
/// "height", "corner_radius": the word in a sweep.
const char* word(Dimension dimension);

/// Metal that must be left under a floor or above an opening for the part to hold together, mm.
inline constexpr double kLeastFloor_mm = 0.05;

/// A part as it stands: what was read, with the changes made so far.
struct Standing {
  const part::Body* body{};
  Frame partToPlate;
  const field::Solid* solid{};
  const Details* details{};
};

/// A dimension that can be changed, and between which values the part holds together as far as heights tell; plan
/// changes may still run into a neighbour.
struct Changeable {
  Dimension dimension{Dimension::Height};
  Length now{}, least{}, most{};
  std::string below, above;  ///< why not less, why not more
};
std::vector<Changeable> changeable(const Standing& part, int index);

struct Changed {
  std::vector<field::Change> changes;
  Details details;
};
/// Fails: Usage with the reason (where: "island-1.height") when the detail has no such dimension or the part would
/// break.
Result<Changed> withDimension(const Standing& part, int index, Dimension dimension, Length value);

}  // namespace chipledger::detail
