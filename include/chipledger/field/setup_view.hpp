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
  Region section(double z_mm) const;
  Region shadow(double z_mm) const;    ///< what a tip at height z must stay clear of: union of sections at and above z
  HeightField heights(const GridSpec& spec) const;   ///< finished part seen from the spindle, um
  Grid<std::int32_t> faces(const GridSpec& spec) const;
  bool changesLeftOut() const;
  /// Frame of this view from the plate frame (a half turn about x and a shift for the back).
  Frame plateToSetup() const;
};

}  // namespace chipledger::field
