#pragma once
// Cutters of the crib with their conditions for one piece of work, and what a minute with each costs.
#include <chipledger/geometry/curve.hpp>
#include <chipledger/path/work.hpp>

#include <optional>

namespace chipledger::path {

struct Mill {
  const cutting::Cutter* cutter{};
  cutting::Conditions conditions;
  double slotStep_mm{};  ///< depth of one full-width pass
  Speed slotStepFeed{};  ///< and its feed: conditions.slotFeed is for full width at the depth of roughing
  Duration slotStepLife{};
  double radius() const { return 0.5 * toMm(cutter->diameter); }
};

/// How deep beside a standing wall a cutter reaches before its shank touches: the flutes or the relieved neck.
double reachOf(const cutting::Cutter& cutter);
/// Thicknesses of what the part itself leaves beside or below a finishing pass; 0: solid.
struct ThinWork {
  double floor_mm{}, wall_mm{};
  double wallHigh_mm{};  ///< height of that wall
};
/// What of a cutter is wider than its edges, and how high above the tip it begins; radius 0: nothing.
struct Body {
  double shankFrom_mm{}, shankRadius_mm{};
  double holderFrom_mm{}, holderRadius_mm{};
};
Body bodyOf(const cutting::Cutter& cutter);
/// Conditions of one cutter; empty when the tables have no row for it.
std::optional<Mill> millFor(const Work& work, const cutting::Cutter& cutter, cutting::CutKind kind, double depth_mm,
                            double reach_mm, ThinWork thin = {});
/// A cutter for carved faces at a cusp height.
std::optional<Mill> carveMill(const Work& work, const cutting::Cutter& cutter, double depth_mm, double cusp_mm);
/// The same mill for an operation whose full-width passes all go down in slot steps.
Mill inSlotSteps(Mill mill);
/// Money for one second of cutting: machine and wear.
double moneyPerSecond(const Work& work, const cutting::Cutter& cutter, const cutting::Conditions& conditions);
/// End mills (flat) of the crib, largest first.
std::vector<const cutting::Cutter*> flatMills(const Work& work);

}  // namespace chipledger::path
