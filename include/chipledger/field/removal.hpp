#pragma once
// Walks cutter paths over the stock of one setup and books every cell of metal that goes.
//
// A cell is cut when its centre lies under the cutter; its height falls to the cutter's underside there (whole um).
// Coordinates are the setup frame, mm; the path is that of the tip centre. Level moves and straight pieces are swept
// exactly (arcs by chords within 0.001 mm); moves that change height go in steps of one cell.
//
// Holds always: initial metal = metal left + sum of what every cut returned, to the last um x cell.
//               A cell cut through is gone for both plate sides.
// Gouge: metal of the target taken by the cutter made smaller by kGougeTolerance all round.
// Engagement: a_e = dA/ds, plan area newly cut per length of path, over a running window of kEngagementWindow mm that
// reaches back over earlier cuts as long as the path is unbroken. Steps that lower the tip count as full width.
#include <chipledger/field/cell_map.hpp>
#include <chipledger/field/grid.hpp>
#include <chipledger/field/profile.hpp>
#include <chipledger/field/stock_block.hpp>
#include <chipledger/geometry/curve.hpp>
#include <chipledger/units/counts.hpp>

#include <cstdint>
#include <deque>
#include <functional>
#include <vector>

namespace chipledger::field {

inline constexpr double kGougeTolerance_mm = 0.02;   // what a finished wall or floor may be off
inline constexpr double kEngagementWindow_mm = 0.5;  // scatter of a_e: 1 % at 0.05 mm cells, 5 % at 0.1 mm
inline constexpr double kAirShare = 0.02;            ///< a_e below this share of the radius is air
inline constexpr double kSlotShare = 0.90;           ///< a_e above this share of the diameter is full width

/// A piece of the path, at most about one window long, in path order.
struct Stretch {
  double length_mm{};
  double width_mm{};  ///< radial engagement a_e, at most the diameter; 0 where no metal was met
  double depth_mm{};  ///< mean height of the metal taken from the cells met
  VolumeCount removed;
  int detail{-1};  ///< detail under the axis at the middle of the piece
  bool air() const { return removed.um3 == 0 || width_mm <= 0; }
};
/// Metal taken from the cells of one detail.
struct Taken {
  int detail{-1};
  VolumeCount removed;
};
struct CutResult {
  double length_mm{};
  VolumeCount removed;
  std::vector<Taken> taken;         ///< details in rising order, -1 (shared) first; sums to `removed`
  std::vector<Stretch> stretches;   ///< lengths sum to the path's
  double air_mm{}, fullWidth_mm{};  ///< lengths of path
  double gouge_mm{};                ///< deepest cut below the target, 0 when none is beyond the tolerance
};

/// What a walk is held against; both grids lie on the setup grid.
struct Aim {
  HeightField target;         ///< finished part as seen from the spindle, um; kNoMetal where there is no part
  Grid<std::int32_t> detail;  ///< detail index per cell, -1: shared. No cells: all shared
};

class Removal {
public:
  /// Works on one side of the plate. The block is written when `store` is called and when the object goes.
  Removal(StockBlock& stock, const Frame& plateToSetup, Aim aim);
  /// For a direction that is no plate side: one field of heights, metal down to `underside_um`; grid of the setup.
  Removal(HeightField& stock, std::int32_t underside_um, Aim aim);
  Removal(const Removal&) = delete;
  Removal& operator=(const Removal&) = delete;
  ~Removal();

  CutResult cut(const Segment& segment, const Profile& profile);
  /// The same as one after the other, with the rows of the grid shared out among threads where that is worth it.
  std::vector<CutResult> cut(const std::vector<Segment>& segments, const Profile& profile);
  /// Highest metal above the cutter's underside (body included) along the way, um; 0 when it passes free. Cuts nothing.
  std::int32_t touch(const Segment& segment, const Profile& profile) const;
  /// Whether there is any such metal: looks no further than the first of it.
  bool touches(const Segment& segment, const Profile& profile) const;
  /// The next cut does not continue the last one (after a rapid, a change of cutter).
  void lift();

  const GridSpec& grid() const { return near_.spec; }
  const HeightField& heights() const { return near_; }   ///< stock seen from the spindle; kNoMetal where cut through
  const HeightField& underside() const { return far_; }  ///< where that metal ends below
  const HeightField& target() const { return aim_.target; }
  VolumeCount removed() const { return volume(removed_); }
  VolumeCount metalLeft() const;
  /// Metal of the target that is gone although it should be there (cells met by a gouge).
  VolumeCount gouged() const;
  void store();

private:
  /// As `touch`, but ends once it has found `enough`.
  std::int32_t touchUpTo(std::int32_t enough, const Segment& segment, const Profile& profile) const;
  struct Step;
  struct Sweep;
  class Band;
  struct Way;
  struct Trail {
    double length_mm{};
    std::int64_t cells{};
    bool falling{};
  };
  void load();
  void forEachRow(const std::function<void(int)>& body) const;
  VolumeCount volume(std::int64_t umCells) const;
  std::int32_t voidsTaken(std::size_t cell, std::int32_t from, std::int32_t height);
  void prepare(const Profile& profile);
  Way plan(const Segment& segment, int index, bool follows, const Profile& profile, std::vector<Sweep>& sweeps,
           int& steps) const;
  void closeWay(const Way& way, std::vector<Step>& steps, const Profile& profile, CutResult& result);
  void close(const Step& step, double length_mm, bool falling, Vec2 middle, const Profile& profile, CutResult& result);

  StockBlock* block_{};
  HeightField* single_{};
  CellMap map_;
  HeightField near_, far_;
  std::vector<Gap> gaps_;               ///< voids inside the metal, by cell
  std::vector<std::int32_t> firstGap_;  ///< per cell: index into gaps_, -1; empty when there are none
  Aim aim_;
  std::vector<std::uint8_t> gougeCells_;
  std::int64_t removed_{};
  std::size_t details_{};  // places to book to: detail + 1
  std::deque<Trail> trail_;
  Vec3 last_{};
  Profile lastProfile_;
  bool continued_{};
  bool suspects_{};  ///< some cell of the target may have been cut too deep: the slower check runs from then on
  bool checked_{};   ///< the last level sweep was checked
  Profile shaped_;
  static constexpr int kUndersideBins = 512;  ///< of squared distance
  std::vector<std::int32_t> lowest_um_;       ///< lower bound of shaped_'s underside by squared distance
};

}  // namespace chipledger::field
