#pragma once
// A chassis as its owner describes it: a plate with an outline, islands left standing on the outer face, and cavities.
//
// Frame: mm, right-handed; the back face lies in z = 0, the outer face in z = thickness (with a crown: its highest
// point). Plan coordinates are the same for both sides: a pocket on the back is given as seen from the outer side.
// Every detail has a name that no other has; `on` names the detail whose floor (pocket) or top (island) it sits on,
// empty for the body itself. Heights and depths count from there.
#include <chipledger/geometry/vec.hpp>
#include <chipledger/part/hint.hpp>
#include <chipledger/units/quantity.hpp>

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace chipledger::draw {

/// Plan shapes about their own centre, long side along their own x.
struct Round {
  Length diameter{};
};
struct Oblong {     ///< two half circles joined by straight sides
  Length length{};  ///< overall
  Length width{};
};
struct Rectangle {
  Length length{}, width{};
  Length cornerRadius{};  ///< 0: sharp
};
struct Polygon {
  std::vector<Vec2> corners_mm;  ///< either sense
  Length cornerRadius{};
};
/// A band of constant width along a bent line, with round ends. Bends are arcs of the given radius.
struct Band {
  std::vector<Vec2> line_mm;
  Length width{};
  Length bendRadius{};  ///< of the middle line; more than half the width
};
using PlanShape = std::variant<Round, Oblong, Rectangle, Polygon, Band>;

struct Place {
  Vec2 centre_mm{};
  Angle angle{};  ///< counter-clockwise, from the plate's x to the shape's own x
};

enum class Side { Outer, Back };

struct Island {
  std::string name;
  PlanShape shape;
  Place place;
  Length height{};
  Length rootRadius{};  ///< fillet at the foot
  Length topChamfer{};  ///< 45 degrees
  Length domeRadius{};  ///< 0: flat; else the top is part of a sphere with its highest point over the centre
  std::string on;       ///< a pocket, or empty
  std::optional<part::Hint> hint;
};

enum class PocketUse { Plain, Thinning };

struct Pocket {
  std::string name;
  PlanShape shape;
  Place place;
  Side side{Side::Outer};
  Length depth{};
  Length floorRadius{};  ///< fillet between floor and wall
  Length rimChamfer{};
  PocketUse use{PocketUse::Plain};
  std::string on;
  bool open{};  ///< may run out through the outline
  std::optional<part::Hint> hint;
};

/// An opening right through.
struct Window {
  std::string name;
  PlanShape shape;
  Place place;
  std::string on;
  bool open{};
  std::optional<part::Hint> hint;
};

enum class SlotUse { Plain, LockCut };

struct Slot {
  std::string name;
  Band band;  ///< plate coordinates
  Side side{Side::Outer};
  Length depth{};  ///< 0: through
  SlotUse use{SlotUse::Plain};
  std::string on;
  bool open{};
  std::optional<part::Hint> hint;
};

struct Counterbore {
  Length diameter{}, depth{};
};
struct Countersink {
  Length diameter{};
  Angle angle{degrees(90)};  ///< full cone angle
};
enum class BoreUse { Plain, Thread, Seat };

struct Bore {
  std::string name;
  Vec2 centre_mm{};
  Length diameter{};
  Side side{Side::Outer};  ///< the side it is drilled and widened from
  Length depth{};          ///< of the cylinder; 0: through
  Angle pointAngle{};      ///< of the drilled tip of a blind bore; 0: flat floor
  std::optional<Counterbore> counterbore;
  std::optional<Countersink> countersink;
  BoreUse use{BoreUse::Plain};
  std::string thread;  ///< "M2.5"; for the reader, the solid holds the tap drill bore
  std::string on;
  std::optional<part::Hint> hint;
};

/// The corner of a polyline outline. `bulge` bends the side that follows it into an arc: tan of a quarter of its
/// angle, > 0 leaving the straight line to the right (outwards on a counter-clockwise outline).
struct Corner {
  Vec2 at_mm{};
  Length radius{};  ///< between two straight sides only
  double bulge{};
};
struct PolylineOutline {
  std::vector<Corner> corners;
};
struct RectangleOutline {
  Length length{}, width{}, cornerRadius{};
};
struct ObroundOutline {
  Length length{}, width{};
};
/// A handle along x: a half-round head (at -x) and tail, joined by sides tangent to both: straight when `waist` is 0,
/// else one hollow arc each that is `waist` apart at the narrowest.
struct HandleOutline {
  Length length{}, head{}, tail{}, waist{};
};
/// A handle whose sides are smooth curves through points (C2 cubic splines, chord-length parameters) that leave the
/// head and the tail circle along their tangents. Points are those of the upper side (y > 0) from tail to head; the
/// lower side mirrors them unless given.
struct SplineHandleOutline {
  Length length{}, head{}, tail{};
  std::vector<Vec2> upper_mm, lower_mm;
};
/// A closed smooth curve through points (periodic C2 cubic spline, chord-length parameters).
struct SplineOutline {
  std::vector<Vec2> through_mm;
};
using Outline =
    std::variant<RectangleOutline, ObroundOutline, HandleOutline, SplineHandleOutline, SplineOutline, PolylineOutline>;

struct EdgeBreak {
  enum class Kind { Sharp, Chamfer, Round };
  Kind kind{Kind::Sharp};
  Length size{};  ///< leg of a 45 degree chamfer, or radius
};

/// A crowned outer face: an arc across (in y) swept along an arc (in x), highest over the middle of the outline's box.
struct Crown {
  Length acrossRadius{};
  Length alongRadius{};  ///< 0: straight along; else more than acrossRadius
};

enum class FileUnit { Mm, Inch };

struct Chassis {
  std::string name;      ///< body name in the STEP file
  std::string material;  ///< a word for the reader; the solid does not hold it
  FileUnit unit{FileUnit::Mm};
  Length thickness{};
  Outline outline;
  bool detailsMayTouch{};  ///< details may overlap each other; their volumes then no longer add up
  EdgeBreak outerEdge, backEdge;
  std::optional<Crown> crown;
  std::optional<part::Hint> outerFaceHint, backFaceHint;
  std::vector<Island> islands;
  std::vector<Pocket> pockets;
  std::vector<Window> windows;
  std::vector<Slot> slots;
  std::vector<Bore> bores;
};

/// The opposite hand: y -> -y.
Chassis mirrorMate(const Chassis& chassis);

}  // namespace chipledger::draw
