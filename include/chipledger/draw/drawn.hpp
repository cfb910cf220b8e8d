#pragma once
// Draws a chassis as an exact solid and writes it as STEP. The geometry kernel stays behind `KernelSolid`.
#include <chipledger/draw/chassis.hpp>
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/result/result.hpp>

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace chipledger::draw {

struct KernelSolid;  ///< defined next to the kernel only

enum class DrawnKind {
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
  Undercut
};
const char* word(DrawnKind kind);

/// What was drawn, as the truth for whoever has to find it again. Only what applies is set.
struct DrawnDetail {
  std::string name;
  DrawnKind kind{DrawnKind::Island};
  std::optional<Length> height, depth, diameter, length, width, cornerRadius, rootRadius;
  std::optional<Length> counterDiameter, counterDepth;  ///< counterbore, or mouth of a countersink and its depth
  std::optional<Angle> angle;                           ///< full angle of a countersink
  Vec3 centre_mm;    ///< plate frame, at its opening (cavity) or foot (island); polygons and bands: middle of their box
  Region footprint;  ///< plate frame, chords within 0.002 mm
  Side side{Side::Outer};
  bool through{};
  std::string on;
  int faces{};  ///< faces of the solid that carry its name
};

struct Drawn {
  std::string name;
  FileUnit unit{FileUnit::Mm};
  Volume volume{};                   ///< measured on the solid
  Area area{};                       ///< measured on the solid
  std::optional<Volume> closedForm;  ///< sum of body and details; empty where no such sum holds (they touch, ...)
  int faces{};
  std::vector<DrawnDetail> details;
  Notes notes;
  std::shared_ptr<const KernelSolid> solid;
};

/// May details touch and cut into each other?
enum class Touching { Refuse, Allow };

struct DrawOptions {
  Touching touching{Touching::Refuse};
  bool halfCylinders{};  ///< circles drawn as two half arcs, as some drawing programs do
};

/// Checks the description, then draws it. The solid's volume is held against the sum of what was asked for.
/// Fails: BadFile for a description that cannot be (where: "name.dimension"), Internal when the kernel fails.
Result<Drawn> drawChassis(const Chassis& chassis, const DrawOptions& options = {});

/// The solid moved into another frame; details keep their plate coordinates.
Result<Drawn> moved(const Drawn& drawn, const Frame& frame);

enum class StepSchema { Ap242, Ap214, Ap203 };

struct StepOptions {
  StepSchema schema{StepSchema::Ap242};
  std::optional<FileUnit> unit;  ///< default: the chassis' own
  Frame frame{};                 ///< plate frame to file
  bool asSplines{};              ///< every face and edge as a rational spline
};

/// Writes the solid, its name, face names (the detail each face belongs to; "outer face", "back face", "outline",
/// "outer edge", "back edge" for the body) and hint colours. The same solid gives the same bytes: the header carries no
/// clock and no user.
Result<std::string> stepText(const Drawn& drawn, const StepOptions& options = {});
/// Fails: BadFile when the place cannot be written.
Result<std::string> writeStep(const Drawn& drawn, const std::string& path, const StepOptions& options = {});

}  // namespace chipledger::draw
