#pragma once
// A cutter as it stands in the spindle.
#include <chipledger/result/provenance.hpp>
#include <chipledger/units/money.hpp>
#include <chipledger/units/quantity.hpp>

#include <string>

namespace chipledger::cutting {

enum class CutterKind { Flat, Bull, Ball, Chamfer, SpotDrill, Drill, Reamer, Tap, ThreadMill, Saw };
const char* word(CutterKind kind);

struct Cutter {
  std::string id;  ///< "flat-6"
  CutterKind kind{CutterKind::Flat};
  Length diameter{};
  Length cornerRadius{};  ///< bull: corner; ball: diameter / 2; else 0
  int flutes{};
  Length fluteLength{};
  Length neckDiameter{};  ///< relieved neck above the flutes; 0: none
  Length neckLength{};    ///< end of the neck measured from the tip
  Length shankDiameter{};
  Length stickOut{};  ///< tip to holder
  Length holderDiameter{};
  Angle pointAngle{};    ///< full angle of a drill, spot drill or chamfer cutter
  Length threadPitch{};  ///< taps and thread mills
  std::string material;  ///< "carbide", "cobalt steel"
  Money price;
  Duration life{};     ///< cutting time of one cutter at table speed in the chosen material; 0: count of holes rules
  double lifeHoles{};  ///< drills, reamers, taps: holes per cutter
  From from{From::Guessed};
  std::string source;
};

}  // namespace chipledger::cutting
