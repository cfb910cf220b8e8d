#include <chipledger/field/cell_map.hpp>
#include <chipledger/field/setup_view.hpp>
#include <chipledger/parallel/parallel.hpp>

#include <algorithm>
#include <cmath>

namespace chipledger::field {

namespace {
constexpr std::size_t kRowsPerTask = 64;

// First `inner`, then `outer`.
Frame after(const Frame& inner, const Frame& outer) {
  const auto row = [&](Vec3 r) { return inner.x * r.x + inner.y * r.y + inner.z * r.z; };
  return {row(outer.x), row(outer.y), row(outer.z), outer.apply(inner.shift)};
}
Frame inverse(const Frame& f) {
  const Frame turned{{f.x.x, f.y.x, f.z.x}, {f.x.y, f.y.y, f.z.y}, {f.x.z, f.y.z, f.z.z}, {}};
  Frame out = turned;
  out.shift = -turned.turn(f.shift);
  return out;
}
}  // namespace

SetupView::SetupView(const Solid& solid, const part::Body& body, const setup::Plan& plan, int setupIndex)
    : solid_(solid) {
  const setup::Setup& setup = plan.setups.at(static_cast<std::size_t>(setupIndex));
  plateToSetup_ = after(inverse(plan.partToPlate), setup.partToSetup);
  if (setup.plateSide) {
    sight_ = setup.fromAbove ? Sight::Down : Sight::Up;
    // A change may have moved the lowest point seen from here, and a face drawn on over what was there may rise above
    // it: z = 0 stays at the lowest point.
    constexpr double kMoved_mm = 0.02;  // less is what the triangles of a crest miss
    const bool up = sight_ == Sight::Up;
    const double lowest = up ? plateToSetup_.shift.z - solid_.high() : plateToSetup_.shift.z + solid_.low();
    if (!solid.changes().empty() || std::abs(lowest) > kMoved_mm)
      plateToSetup_.shift.z = up ? solid_.high() : plateToSetup_.shift.z - solid_.low();
    solidToSetup_ = plateToSetup_;
  } else {
    sight_ = Sight::Own;
    leftOut_ = !solid.changes().empty();
    solid_ = Solid(body, setup.partToSetup);
  }
}

Region SetupView::toSetup(Region region) const {
  if (sight_ == Sight::Own) return region;
  const Frame& f = solidToSetup_;
  const bool mirrors = f.x.x * f.y.y - f.x.y * f.y.x < 0;
  for (Ring& ring : region.rings) {
    for (Vec2& p : ring) {
      const Vec3 q = f.apply({p.x, p.y, 0});
      p = q.xy();
    }
    if (mirrors) std::reverse(ring.begin(), ring.end());
  }
  return region;
}

double SetupView::high() const {
  return sight_ == Sight::Up ? solidToSetup_.shift.z - solid_.low() : solid_.high() + solidToSetup_.shift.z;
}

std::vector<double> SetupView::levels() const {
  std::vector<double> z = solid_.levels();
  for (double& height : z)
    height = sight_ == Sight::Up ? solidToSetup_.shift.z - height : height + solidToSetup_.shift.z;
  std::sort(z.begin(), z.end());
  return z;
}

Region SetupView::section(double z_mm) const {
  if (sight_ != Sight::Up) return toSetup(solid_.section(z_mm - solidToSetup_.shift.z));
  // Just below a level as seen here is just above it in the plate frame.
  double z = solidToSetup_.shift.z - z_mm;
  for (double level : solid_.levels())
    if (std::abs(level - z) < kJustAbove_mm) z = level + kJustAbove_mm;
  return toSetup(solid_.section(z));
}

Region SetupView::shadow(double z_mm) const {
  if (sight_ != Sight::Up) return toSetup(solid_.shadowFromAbove(z_mm - solidToSetup_.shift.z));
  double z = solidToSetup_.shift.z - z_mm;
  for (double level : solid_.levels())
    if (std::abs(level - z) < kJustAbove_mm) z = level;
  return toSetup(solid_.shadowFromBelow(z));
}

Solid::View SetupView::view(const GridSpec& spec) const {
  if (sight_ == Sight::Own) return solid_.fromAbove(spec);
  // The same cells in the plate frame, looked at there, and turned back.
  const CellMap back = cellMap(spec, inverse(solidToSetup_));
  const Solid::View seen = sight_ == Sight::Up ? solid_.fromBelow(back.setup) : solid_.fromAbove(back.setup);
  const CellMap map = cellMap(back.setup, solidToSetup_);
  Solid::View out{HeightField(spec, kNoMetal), Grid<std::int32_t>(spec, -1)};
  forEachRange(static_cast<std::size_t>(spec.ny), kRowsPerTask, [&](std::size_t begin, std::size_t end) {
    for (int j = static_cast<int>(begin); j < static_cast<int>(end); ++j) {
      for (int i = 0; i < spec.nx; ++i) {
        const std::size_t from = map.plateIndex(i, j), to = spec.at(i, j);
        out.face.cells[to] = seen.face.cells[from];
        const std::int32_t z = seen.height.cells[from];
        if (z != kNoMetal && z != -kNoMetal) out.height.cells[to] = (map.lookingUp ? -z : z) + map.shift_um;
      }
    }
  });
  return out;
}

HeightField SetupView::heights(const GridSpec& spec) const { return view(spec).height; }
Grid<std::int32_t> SetupView::faces(const GridSpec& spec) const { return view(spec).face; }

}  // namespace chipledger::field
