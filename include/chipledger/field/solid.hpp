#pragma once
// The part as the mill sees it in the plate frame: plane sections of its triangles, plus changes (a detail taken away,
// a height moved) made of upright prisms. Fields, section polygons and shadows all come from here, so that a change is
// the same change everywhere. Plate frame: z along the plate normal, z = 0 at the lowest point of the part, +z "outer"
// side; a setup that looks from -z sees the same solid turned over (see setup/setup.hpp).
#include <chipledger/field/grid.hpp>
#include <chipledger/geometry/polygon.hpp>
#include <chipledger/part/part.hpp>
#include <chipledger/part/section.hpp>
#include <chipledger/units/counts.hpp>

#include <memory>
#include <vector>

namespace chipledger::field {

/// Metal added or taken away inside `region` between two heights.
struct Prism {
  enum class Act { Add, Remove } act{Act::Add};
  Region region;
  double low_mm{}, high_mm{};
};
/// Inside `region`, everything above `above_mm` moves by `by_mm` (> 0: the section at `above_mm` is drawn out;
/// < 0: the slice between above_mm + by_mm and above_mm is left out). For heights and depths that change.
struct Lift {
  Region region;
  double above_mm{}, by_mm{};
};
struct Change {
  enum class Kind { Prism, Lift } kind{Kind::Prism};
  Prism prism;
  Lift lift;
};

struct SolidCaches;

/// What stands within this height above a level is taken as standing on it: levels are merged within 0.002 mm.
inline constexpr double kJustAbove_mm = 0.003;

class Solid {
public:
  Solid(const part::Body& body, const Frame& partToPlate);
  Solid changed(std::vector<Change> more) const;  ///< the same solid with further changes, applied in order
  const std::vector<Change>& changes() const { return changes_; }

  /// Exact section (mm, plate frame) at a height; heights of floors count as just below them.
  Region section(double z_mm) const;
  /// Union of the sections above z: what a cutter coming down from +z must stay clear of at tip height z. At the height
  /// of a floor the floor itself is no obstacle (sections from kJustAbove_mm up count).
  Region shadowFromAbove(double z_mm) const;
  /// Union of the sections at and below z, for the setup that looks from -z.
  Region shadowFromBelow(double z_mm) const;
  /// Heights where horizontal faces lie (sorted, merged within 0.002 mm): the only places where sections jump.
  std::vector<double> levels() const;
  double low() const;
  double high() const;
  Volume volume() const;  ///< exact volume of the body plus that of the changes

  /// Highest metal per cell, um (kNoMetal outside), and the face under it (-1: a change's face or none).
  struct View {
    HeightField height;
    Grid<std::int32_t> face;
  };
  View fromAbove(const GridSpec& spec) const;
  /// Lowest metal per cell seen from -z, in the same plate frame (height of the underside; -kNoMetal outside).
  View fromBelow(const GridSpec& spec) const;
  /// Room between the highest and the lowest metal of the cells that neither plate side sees: cross bores, side slots,
  /// undercuts. Of the body without its changes; 0 for a mesh that does not close.
  VolumeCount hiddenVoids(const GridSpec& spec) const;

private:
  /// A height where metal may end on the way up (`up`) or begin (not `up`). Level faces and the ends of sloped ones.
  struct Turn {
    double z_mm{};
    bool up{}, level{};
  };
  /// One more change: what it does to the turns, and its own caches. Earlier states are shared with other solids.
  void push(const Change& change);
  Region sectionAfter(std::size_t changes, double z_mm) const;
  std::vector<Turn> turnsOfBody() const;
  Volume volumeOf(std::size_t changeIndex) const;

  std::shared_ptr<const part::Mesh> mesh_;  ///< in the plate frame
  std::shared_ptr<const part::SectionCutter> cutter_;
  Volume bodyVolume_{};
  std::vector<Change> changes_;
  std::vector<Turn> turns_;                           ///< rising, with all changes
  std::vector<std::shared_ptr<SolidCaches>> caches_;  ///< one per number of changes applied
};

}  // namespace chipledger::field
