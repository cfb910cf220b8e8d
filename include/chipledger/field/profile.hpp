#pragma once
// The underside of a turning cutter: height over the tip by distance from the axis, never falling outwards.
//
//   flat    0 up to R
//   bull    0 up to R - r, then a quarter circle of radius r; ball: r = R
//   cone    0 up to the tip's flat, then rising by cot(half the point angle) (chamfer cutters, drills, spot drills)
//   body    what turns above the flutes and does not cut: neck, shank, holder, each a disc with a height over the tip
//
// Lengths are mm. Heights over the tip, +z towards the spindle.
#include <limits>
#include <vector>

namespace chipledger::field {

struct Profile {
  double radius_mm{};  ///< of the cutting part, where it is widest
  double flat_mm{};    ///< radius of the level tip
  double corner_mm{};  ///< corner radius; flat_mm + corner_mm == radius_mm where > 0
  double rise{};       ///< cone: mm of height per mm of radius outside the level tip
  double flutes_mm{std::numeric_limits<double>::infinity()};  ///< height over the tip up to which it cuts

  /// A part of the body that does not cut: below `height_mm` over the tip it is not there.
  struct Collar {
    double radius_mm{}, height_mm{};
  };
  std::vector<Collar> collars;  ///< radius and height both rising

  bool operator==(const Profile& other) const;
  bool levelTip() const { return flat_mm >= radius_mm; }  ///< a plain flat cutter
  /// Height of the cutting underside over the tip at `distance_mm` from the axis; infinity outside the cutting radius.
  double heightAt(double distance_mm) const;
  /// The same with the body that does not cut.
  double heightWithBody(double distance_mm) const;
  double widest() const;  ///< radius of the whole, body included
};

Profile flatProfile(double diameter_mm);
Profile bullProfile(double diameter_mm, double corner_mm);
Profile ballProfile(double diameter_mm);
/// `pointAngle` is the full angle, radians, below pi. `tipFlat_mm`: diameter of a level tip (chamfer cutters).
Profile coneProfile(double diameter_mm, double pointAngle, double tipFlat_mm = 0.0);

/// What stands above the flutes. 0 means "none" for the neck and the holder, "as the cutter" for the shank.
struct Above {
  double flutes_mm{};                         ///< length of the flutes from the tip
  double neckDiameter_mm{}, neckLength_mm{};  ///< relieved neck; its length is measured from the tip
  double shankDiameter_mm{};
  double stickOut_mm{}, holderDiameter_mm{};  ///< tip to holder
};
/// A shank or neck that is not relieved rubs on a wall it stands beside: it must stay clear of metal by this much.
inline constexpr double kBodyClearance_mm = 0.10;  // common practice, no source
/// The profile with its body. A shank without a relieved neck begins where the flutes end.
Profile withBody(Profile profile, const Above& above);

}  // namespace chipledger::field
