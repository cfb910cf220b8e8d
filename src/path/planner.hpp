#pragma once
// The state of one setup while it is planned: chart, walk, cutters in use. plan.cpp calls the stages in order.
#include <chipledger/geometry/curve.hpp>
#include <chipledger/path/carve.hpp>
#include <chipledger/path/chain.hpp>
#include <chipledger/path/chart.hpp>
#include <chipledger/path/holes.hpp>
#include <chipledger/path/kit.hpp>
#include <chipledger/path/levels.hpp>
#include <chipledger/path/outline.hpp>
#include <chipledger/path/plan.hpp>
#include <chipledger/path/saw.hpp>
#include <chipledger/path/walk.hpp>

#include <map>
#include <optional>
#include <string>
#include <tuple>
#include <vector>

namespace chipledger::path {

/// An opening through the part inside its outline, or the outline's own neighbourhood: walls without a floor.
struct Opening {
  int detail{-1};
  Region region;    ///< what falls out
  Region obstacle;  ///< what stays
  double low_mm{};  ///< underside of the part there
};

/// Where a wall meets its floor.
struct Foot {
  Region beside, obstacle;
  double z_mm{}, height_mm{};
};

/// A place that a cutter of the sequence passes, but not with roughing's allowance: cut along its middle.
struct NarrowPlace {
  std::size_t cutter{};
  Region room, swept;  ///< tip centres; what it reaches from there
  Region beside;       ///< where its walls stand
  double z_mm{};       ///< floor, or the underside for what falls out
  bool through{};
};

class Planner {
public:
  Planner(const Work& work, Chart chart, field::Removal& removal, std::vector<HolePlan> holes, Ground ground);
  SetupPlan run();

private:
  void skim();
  void finishing();
  void chooseCutters();
  void findNarrow();
  /// `metal` without the narrow places whose walls stand in `stays`.
  Region withoutNarrow(Region metal, const Region& stays) const;
  void rough();
  void floors(bool tops);
  void walls();
  void openings();
  void roots();
  void carve();
  Region carveRest(double over_mm) const;
  void outline();
  void outlineCorners(const OutlineTask& task, const Mill& first);
  void chamfers();
  void openSlots();
  void saws();
  void sawWith(const SawTask& task, const Region& piece);
  std::string whyNotSawn(Vec2 place) const;
  void drill(bool early);
  void closeNotes();

  void roughWith(std::size_t index);
  /// Clears levels from the top down with what `m` takes that the cutters before it have not.
  void clear(const Mill& m, const std::vector<const cutting::Cutter*>& before, const std::vector<RoughLevel>& levels);
  /// Levels of a place that falls out, from its metal's top to below the part.
  std::vector<RoughLevel> layersOf(const Region& metal, const Region& obstacle, double top_mm, double bottom_mm,
                                   double axial_mm) const;
  std::optional<Candidate> candidate(const cutting::Cutter& cutter, double deepest_mm);
  void narrowWith(std::size_t index);
  std::vector<Pass> loopsInstead(const Pass& middle, const Region& keepOut, const Mill& m, double top_mm) const;
  struct FloorJob;
  void addFloorJobs(const FloorLevel& floor, std::vector<FloorJob>& jobs);
  void wallsOf(const std::vector<Foot>& feet, ThinWork thin);
  Style style(bool engaged, const Mill& mill, double top_mm) const;
  /// Conditions, kept once chosen. `reach_mm`: tip to the top of what stands beside it; 0: as deep as the cut.
  std::optional<Mill> mill(const cutting::Cutter& cutter, cutting::CutKind kind, double depth_mm, double reach_mm = 0,
                           ThinWork thin = {});
  void start(OperationKind kind, const Mill& mill, const Style& style, std::string why);
  void finish();
  void note(NoteSeverity severity, std::string code, std::string text, std::string about = {});
  RoughSite site() const;
  bool isTop(const FloorLevel& floor) const;
  double fit() const { return toMm(work_.practice.fitClearance); }
  double wallAllowance() const { return toMm(work_.practice.roughWallAllowance); }
  /// What must stay for this cutter with its tip at z: the obstacle, and what its shank or holder would touch higher
  /// up, drawn so that a disc of the cutter's own radius keeps the whole body clear.
  const Region& standing(const cutting::Cutter& cutter, double z_mm);
  /// The same for many at once, beside each other, so that they are known when they are asked for.
  void prepareStanding(const std::vector<const cutting::Cutter*>& cutters, const std::vector<double>& heights);
  Region standingAnew(const cutting::Cutter& cutter, double z_mm) const;
  bool bodyComesDown(const cutting::Cutter& cutter, double z_mm) const;
  /// Shank and holder where they come below the metal's top: what stands over `from_mm` is in their way.
  struct BodyPart {
    double from_mm{}, radius_mm{};
  };
  std::vector<BodyPart> bodyParts(const cutting::Cutter& cutter, double z_mm) const;
  using StandingKey = std::pair<std::string, long long>;
  static StandingKey standingKey(const cutting::Cutter& cutter, double z_mm);
  /// Tip centres at which shank or holder touch; empty for most.
  Region bodyKeepOut(const cutting::Cutter& cutter, double z_mm) const;
  /// Top of what stands beside a place that is `z_mm` deep: the highest floor at its border, else the top of the metal.
  double topBeside(const Region& region, double z_mm) const;
  double stockTop(const Region& region) const;
  double stockTop(Vec2 place) const;
  double stockBottom(const Region& region) const;        ///< lowest metal over a region; 1e9 when there is none
  double stockTop(Vec2 centre, double radius_mm) const;  ///< highest metal within a disc

  const Work& work_;
  Chart chart_;
  Ground ground_;
  field::Removal& removal_;
  Walk walk_;
  std::vector<HolePlan> holes_;
  std::vector<Opening> openings_;
  std::vector<const cutting::Cutter*> cutters_;  ///< the chain, falling diameters
  Chain chain_;
  std::vector<Zone> zones_;
  std::vector<NarrowPlace> narrow_;
  double top_mm_{};
  bool skimmed_{};
  Region sawn_;                                         ///< slots of sawCuts
  std::vector<std::pair<Region, std::string>> unsawn_;  ///< others, and why no saw cuts them
  SetupPlan plan_;
  using MillKey = std::tuple<std::string, int, long long, long long, long long, long long, long long>;
  std::map<MillKey, std::optional<Mill>> known_;
  std::map<StandingKey, Region> standing_;
};

}  // namespace chipledger::path
