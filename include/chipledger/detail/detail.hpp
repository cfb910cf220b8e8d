#pragma once
// Details: what the owner drew, as groups of faces with dimensions and a stable name.
// Method: floors at one height that touch are a level; the borders of a level lead up (a wall stands there) or down (it
// ends there), and that decides what it is: all up a pocket, all down a top, both an open pocket, slot or step. Through
// openings are the inner borders of the silhouette. Bores come first, by full turns of coaxial cylinders, so that split
// faces and seams do not matter. Heights, sizes and footprints come from exact faces and edges, never from a grid.
// What holds: every face of the body is in exactly one detail.
#include <chipledger/field/solid.hpp>
#include <chipledger/part/part.hpp>
#include <chipledger/setup/setup.hpp>

#include <optional>
#include <string>
#include <vector>

namespace chipledger::detail {

enum class DetailKind {
  Outline,
  Body,
  Island,
  Pocket,
  OpenPocket,
  Window,
  Slot,
  LockCut,
  Thinning,
  Bore,
  Thread,
  Seat,
  Step,
  Chamfer,
  Round,
  Lettering,
  CarvedFace,
  SideFace,
  Undercut
};
const char* word(DetailKind kind);

/// Only what applies is set. Units in JSON: mm and degrees.
struct Dimensions {
  std::optional<Length> height, depth, diameter, length, width, cornerRadius, rootRadius, thickness, gap;
  std::optional<Length> counterDiameter, counterDepth;  ///< counterbore or countersink
  std::optional<Angle> angle;
  std::optional<Vec3> centre;  ///< part coordinates
};

enum class Side { Outer, Back, Both, Other };  ///< +z, -z of the plate frame, through, another direction
const char* word(Side side);

struct Detail {
  std::string name;  ///< "island-1"; by kind and position, the same when a dimension changes
  DetailKind kind{DetailKind::Island};
  Dimensions dimensions;
  Side side{Side::Outer};
  std::vector<part::FaceId> faces;
  int parent{-1};              ///< detail in whose floor or top it sits; -1: the body
  Region footprint;            ///< plate frame, at its opening (recess) or foot (island)
  double low_mm{}, high_mm{};  ///< plate frame
  bool through{};
  std::string called;  ///< the name that most of its faces carry in the file; may be empty
  std::string hint;    ///< from the file's colour or name: "tight", "thread", "cosmetic", "leave as rolled"
  std::string thread;  ///< a bore whose diameter is that of a tap drill: "M2.5"; asked, not assumed
};

/// A bore of this diameter is probably there to be tapped.
struct TapDrill {
  std::string thread;
  Length least{}, most{};
};

struct RecogniseOptions {
  /// Titanium is tapped with a wide drill, toward the largest minor diameter: M2 1.65, M2.5 2.11, M3 2.56 (a tap
  /// maker's bored-hole table); the lower ends are the usual drills 1.6, 2.05, 2.5, 3.3, 4.2 (common practice, no
  /// source).
  std::vector<TapDrill> tapDrills{{"M2", mm(1.6), mm(1.7)},
                                  {"M2.5", mm(2.0), mm(2.15)},
                                  {"M3", mm(2.5), mm(2.6)},
                                  {"M4", mm(3.3), mm(3.4)},
                                  {"M5", mm(4.2), mm(4.3)}};
  Length lockCutWidth{mm(1.6)};    ///< a through slot no wider than this and ten times as long is a lock cut
  Length letteringDepth{mm(0.5)};  ///< recesses no deeper than this and no wider than letteringWidth are texture
  Length letteringWidth{mm(1.2)};
  Length inletWidth{mm(10)};  ///< a bay in the outline no wider than this is a detail, a wider one is outline
};

/// What a STEP cannot say.
struct Question {
  std::string key;    ///< "bore-2.thread": survives a new revision
  std::string about;  ///< detail
  std::string question;
  std::string assumed;
};

struct Details {
  std::vector<Detail> list;
  std::vector<Question> questions;
  std::vector<int> faceDetail;         ///< per face of the body: index into list, or -1
  double bodyLow_mm{}, bodyHigh_mm{};  ///< back face and floor of the body in the plate frame
  std::string seenSide{"outer"};       ///< outer, back, both, none; assumed until answered
  std::string mate{"same"};            ///< the set's second plate: same, mirror, other; assumed until answered
  Notes notes;
};

/// Fails: BadFile when body and plan do not belong together. Parts that are turned, welded or bent from sheet get a
/// Note "not-milled" that says why, and what was found all the same.
Result<Details> findDetails(const part::Body& body, const setup::Plan& plan, const RecogniseOptions& options = {});

/// The changes that take a detail away: an island cut down to its foot, a recess, window or bore filled up to its
/// opening, a carved face made flat. Its children go with it, except bores and windows that go on through the body: in
/// a filled pocket they start at the body then. Where a recess that stays lies over a filled opening, the filling ends
/// at its floor. Empty for what no upright prism can take away (outline, body, chamfers and rounds, sides, undercuts):
/// the caller drops the detail's work and leaves the field as it is. Accuracy: footprints are chords within 0.002 mm;
/// on a carved body an island is cut to the crest, not to the crown.
std::vector<field::Change> without(const Details& details, int index);
/// The same for a group taken away together.
std::vector<field::Change> without(const Details& details, const std::vector<int>& group);
/// The detail and all that go with it when it is taken away: what sits in or on it and does not go on through the body.
/// Rising.
std::vector<int> withChildren(const Details& details, int index);

}  // namespace chipledger::detail
