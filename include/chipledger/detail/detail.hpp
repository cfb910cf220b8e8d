#pragma once
// Details: what the owner drew, as groups of faces with dimensions and a stable name.
#include <chipledger/field/solid.hpp>
#include <chipledger/part/part.hpp>
#include <chipledger/setup/setup.hpp>

#include <optional>
#include <string>
#include <vector>

namespace chipledger::detail {

enum class DetailKind {
  Outline, Body, Island, Pocket, OpenPocket, Window, Slot, LockCut, Thinning, Bore, Thread, Seat, Step, Chamfer, Round,
  Lettering, CarvedFace, SideFace, Undercut
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
  int parent{-1};          ///< detail in whose floor or top it sits; -1: the body
  Region footprint;        ///< plate frame, at its opening (recess) or foot (island)
  double low_mm{}, high_mm{};  ///< plate frame
  bool through{};
  std::string hint;        ///< from the file's colour or name: "tight", "thread", "cosmetic", "leave as rolled"
};

/// What a STEP cannot say.
struct Question {
  std::string key;       ///< "bore-2.thread": survives a new revision
  std::string about;     ///< detail
  std::string question;
  std::string assumed;
};

struct Details {
  std::vector<Detail> list;
  std::vector<Question> questions;
  std::vector<int> faceDetail;  ///< per face of the body: index into list, or -1
  double bodyLow_mm{}, bodyHigh_mm{};  ///< back face and floor of the body in the plate frame
  Notes notes;
};

Result<Details> findDetails(const part::Body& body, const setup::Plan& plan);

/// The changes that take a detail away: an island flattened to the body, a recess filled, a bore filled, a chamfer
/// dropped. Its children go with it.
std::vector<field::Change> without(const Details& details, int index);

}  // namespace chipledger::detail
