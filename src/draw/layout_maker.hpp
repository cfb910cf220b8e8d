#pragma once
// Works a chassis out detail by detail, parents first. Each kind of detail is a file of its own: layout_body.cpp,
// layout_islands.cpp, layout_recesses.cpp, layout_bores.cpp; layout.cpp keeps the order.
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "layout.hpp"

namespace chipledger::draw {

inline constexpr double kOvershoot_mm = 1.0;  ///< cutters run past the surface: no two faces coincide

class LayoutMaker {
public:
  LayoutMaker(const Chassis& chassis, const DrawOptions& options)
      : chassis_(chassis), halves_(options.halfCylinders ? Halves::Split : Halves::Whole) {}

  Result<Layout> make();

private:
  using Bad = std::optional<Fault>;
  static Bad bad(std::string where, std::string what, std::string next) {
    return Fault{FaultCode::BadFile, std::move(where), std::move(what), std::move(next)};
  }

  Bad body();
  Bad crown();
  /// Adds the details parents first: those on the body, then whatever stands on what is there already.
  Bad order();
  Bad island(const Island& d, int parent);
  Bad dome(const Island& d, Item& item, const Contour& contour);
  Bad pocket(const Pocket& d, int parent);
  Bad window(const Window& d, int parent);
  Bad slot(const Slot& d, int parent);
  Bad bore(const Bore& d, int parent);

  /// Side, zone and heights of a cavity. depth 0: through.
  Bad cavity(Item& item, Side side, double depth);
  void finishCavity(Item& item, double grow, Vec2 centre);
  double farSide(const Item& item) const;
  /// Where its cutter ends outside: past everything, or inside the hollow of the pocket it sits in.
  double past(const Item& item) const;

  /// Where a detail on `parent` starts, and the body left below (or above, from the back).
  double surface(Side side, int parent) const;
  const Item* host(int parent) const;
  Item start(const std::string& name, const Contour& contour, int parent, const std::string& on) const;
  void close(Item item, Vec2 centre);
  double lowestCrown(const Region& footprint) const;
  static std::vector<Step> ascending(std::vector<Step> steps, Side side);
  static Vec2 middle(const Contour& contour, const PlanShape& shape, Place place);
  /// Length, width, diameter and corner radius of the shape as drawn.
  static void sayShape(const PlanShape& shape, DrawnDetail& truth);

  const Chassis& chassis_;
  Halves halves_;
  Layout layout_;
  std::map<std::string, int> names_;
};

}  // namespace chipledger::draw
