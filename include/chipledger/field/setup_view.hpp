#pragma once
// The solid as one setup sees it, in the setup frame (z towards the spindle, z = 0 at the part's lowest point).
#include <chipledger/field/solid.hpp>
#include <chipledger/setup/setup.hpp>

namespace chipledger::field {

class SetupView {
public:
  /// Plate sides see `solid` with its changes; a further direction sees the body's own triangles (changes whose prisms
  /// do not run along this direction are left out: `changesLeftOut()` says so).
  SetupView(const Solid& solid, const part::Body& body, const setup::Plan& plan, int setupIndex);

  double high() const;                 ///< top of the finished part in this frame
  std::vector<double> levels() const;  ///< heights of horizontal faces that look up or down, rising
  Region section(double z_mm) const;   ///< heights of floors count as just below them, as seen in this frame
  Region shadow(double z_mm) const;    ///< what a tip at height z must stay clear of: union of the sections above z
  HeightField heights(const GridSpec& spec) const;  ///< finished part seen from the spindle, um
  Grid<std::int32_t> faces(const GridSpec& spec) const;
  /// Both at once, at the price of one.
  Solid::View view(const GridSpec& spec) const;
  bool changesLeftOut() const { return leftOut_; }
  /// Frame of this view from the plate frame (a half turn about x and a shift for the back). With changes that move
  /// the lowest point its shift differs from the plan's: z = 0 stays at the lowest point of the changed solid.
  Frame plateToSetup() const { return plateToSetup_; }
  /// The solid behind it, in its own frame: the plate frame for plate sides, this setup's frame otherwise.
  const Solid& solid() const { return solid_; }

private:
  enum class Sight { Down, Up, Own };  ///< along the solid's -z, along its +z, a solid made for this direction
  Region toSetup(Region region) const;

  Solid solid_;
  Sight sight_{Sight::Down};
  Frame plateToSetup_;
  Frame solidToSetup_;
  bool leftOut_{};
};

}  // namespace chipledger::field
