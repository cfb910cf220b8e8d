// Stages that work on what is neither level nor a wall: carved faces, and the fillets at the feet of walls.
#include <chipledger/field/reach.hpp>
#include <chipledger/path/carve.hpp>
#include <chipledger/path/row_of_region.hpp>
#include <chipledger/path/wall.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "path/planner.hpp"

namespace chipledger::path {
namespace {

constexpr double kSemiCusp_mm = 0.06;   // the pass before the last leaves cusps the last one takes with ease
constexpr double kSemiRaise_mm = 0.10;  // and this much on the face. Common practice, no source
constexpr double kOneCut_mm = 0.20;     // metal that the last pass may take alone
constexpr double kRestOver_mm = 0.03;   // metal over the face that is work for a smaller cutter
constexpr double kLeastRest_mm2 = 0.5;
constexpr double kLiftShare = 0.45;    // of the radius: a tip lifted more stands at a wall, not on the face
constexpr int kCoarse_um = 200;        // cells for choosing a cutter
constexpr double kWayInSeconds = 3.0;  // per piece of a rest, only for weighing

field::Profile ballWithBody(const cutting::Cutter& c) {
  field::Above above;
  above.flutes_mm = toMm(c.fluteLength);
  above.neckDiameter_mm = toMm(c.neckDiameter);
  above.neckLength_mm = toMm(c.neckLength);
  above.shankDiameter_mm = toMm(c.shankDiameter);
  above.stickOut_mm = toMm(c.stickOut);
  above.holderDiameter_mm = toMm(c.holderDiameter);
  return field::withBody(profileOf(c), above);
}

// Highest height per block of cells.
field::HeightField coarser(const field::HeightField& fine, int cell_um) {
  const int by = std::max(1, cell_um / fine.spec.cell_um);
  field::GridSpec g = fine.spec;
  g.cell_um = fine.spec.cell_um * by;
  g.nx = (fine.spec.nx + by - 1) / by;
  g.ny = (fine.spec.ny + by - 1) / by;
  field::HeightField out(g, field::kNoMetal);
  for (int j = 0; j < fine.spec.ny; ++j)
    for (int i = 0; i < fine.spec.nx; ++i) out(i / by, j / by) = std::max(out(i / by, j / by), fine(i, j));
  return out;
}

// Lowest metal of the part over a region, looked at every few cells.
double lowestIn(const field::HeightField& target, const Region& region) {
  constexpr int kApart = 3;
  const field::GridSpec& g = target.spec;
  const Box2 b = box(region);
  std::int32_t low = std::numeric_limits<std::int32_t>::max();
  for (int j = std::max(0, g.row(b.min.y)); j <= std::min(g.ny - 1, g.row(b.max.y)); j += kApart) {
    const RowOfRegion row(region, g.centre(0, j).y);
    for (int i = std::max(0, g.column(b.min.x)); i <= std::min(g.nx - 1, g.column(b.max.x)); i += kApart)
      if (target(i, j) != field::kNoMetal && target(i, j) < low && row.holds(g.centre(i, j).x)) low = target(i, j);
  }
  return low / 1000.0;
}

}  // namespace

// Where more metal than `over_mm` stands over the ground now.
Region Planner::carveRest(double over_mm) const {
  const field::GridSpec& g = removal_.grid();
  const auto over = static_cast<std::int32_t>(std::lround(over_mm * 1000.0));
  std::vector<std::uint8_t> mask(g.count(), 0);
  const std::vector<std::int32_t>& now = removal_.heights().cells;
  const std::vector<std::int32_t>& target = removal_.target().cells;
  for (std::size_t c = 0; c < mask.size(); ++c) mask[c] = ground_.cells[c] != 0 && now[c] > target[c] + over ? 1 : 0;
  Region region = intersect(regionOfCells(g, mask), ground_.region);
  const double sliver = 1.2 * g.cell();
  region = offset(offset(region, -sliver), sliver);
  std::vector<Region> kept;
  for (Region& piece : pieces(region))
    if (area(piece) >= kLeastRest_mm2) kept.push_back(std::move(piece));
  return kept.empty() ? Region{} : unite(kept);
}

void Planner::carve() {
  if (ground_.empty()) return;
  const double finalCusp = toMm(work_.practice.cusp);
  std::vector<const cutting::Cutter*> balls;
  for (const cutting::Cutter& c : work_.crib)
    if (c.kind == cutting::CutterKind::Ball) balls.push_back(&c);
  std::stable_sort(balls.begin(), balls.end(), [](const cutting::Cutter* a, const cutting::Cutter* b) {
    return a->diameter != b->diameter ? a->diameter > b->diameter : a->id < b->id;
  });
  // What each ball alone would cost, and what it leaves to the others, on coarse cells.
  struct Choice {
    const cutting::Cutter* cutter{};
    double secondsPerMm2{}, money{};  // money for a second
    std::vector<std::uint8_t> left;   // coarse cells of the ground it does not finish
    double leftArea{};
  };
  const field::HeightField coarse = coarser(removal_.target(), kCoarse_um);
  const field::GridSpec& g = coarse.spec;
  std::vector<std::uint8_t> wanted(g.count(), 0);
  double whole = 0.0;
  const Box2 over = box(ground_.region);
  for (int j = 0; j < g.ny; ++j) {
    const RowOfRegion row(ground_.region, g.centre(0, j).y);
    for (int i = 0; i < g.nx; ++i)
      if (row.holds(g.centre(i, j).x)) {
        wanted[g.at(i, j)] = 1;
        whole += g.cell() * g.cell();
      }
  }
  std::vector<Choice> choices;
  for (const cutting::Cutter* c : balls) {
    const std::optional<Mill> m = carveMill(work_, *c, kOneCut_mm, finalCusp);
    if (!m || m->conditions.feed.base <= 0) continue;
    Choice choice;
    choice.cutter = c;
    choice.secondsPerMm2 = 1.0 / (cuspStep(m->radius(), finalCusp) * m->conditions.feed.base);
    choice.money = moneyPerSecond(work_, *c, m->conditions);
    const field::HeightField left = field::surfaceLeft(field::tipHeights(coarse, field::ballProfile(toMm(c->diameter))),
                                                       field::ballProfile(toMm(c->diameter)));
    choice.left.assign(g.count(), 0);
    for (std::size_t k = 0; k < g.count(); ++k)
      if (wanted[k] != 0 && left.cells[k] > coarse.cells[k] + static_cast<std::int32_t>(2000.0 * kRestOver_mm)) {
        choice.left[k] = 1;
        choice.leftArea += g.cell() * g.cell();
      }
    choices.push_back(std::move(choice));
  }
  if (choices.empty()) {
    note(NoteSeverity::LeftOut, "no-ball-cutter",
         "No ball cutter in the crib has conditions for carved faces in this material, so they are not priced.");
    return;
  }
  double leastLeft = 1e300;
  for (const Choice& c : choices) leastLeft = std::min(leastLeft, c.leftArea);
  const double change = toSeconds(work_.toolChange) * work_.moneyPerMachineMinute / 60.0;
  const auto stays = [&](double area) { return 1e3 * std::max(0.0, area - leastLeft - kLeastRest_mm2); };
  double least = 1e300;
  std::vector<const cutting::Cutter*> chosen;
  for (std::size_t a = 0; a < choices.size(); ++a) {
    const double first = change + whole * choices[a].secondsPerMm2 * choices[a].money;
    if (first + stays(choices[a].leftArea) < least) {
      least = first + stays(choices[a].leftArea);
      chosen = {choices[a].cutter};
    }
    for (std::size_t b = a + 1; b < choices.size(); ++b) {
      double both = 0.0;
      for (std::size_t k = 0; k < g.count(); ++k)
        if (choices[a].left[k] != 0 && choices[b].left[k] != 0) both += g.cell() * g.cell();
      const double money = first + change + stays(both) +
                           (choices[a].leftArea * choices[b].secondsPerMm2 + kWayInSeconds) * choices[b].money;
      if (money < least) {
        least = money;
        chosen = {choices[a].cutter, choices[b].cutter};
      }
    }
  }

  for (std::size_t k = 0; k < chosen.size(); ++k) {
    const cutting::Cutter& cutter = *chosen[k];
    const double R = 0.5 * toMm(cutter.diameter);
    const TipMap tips(removal_.target(), ballWithBody(cutter), {over.min - Vec2{R, R}, over.max + Vec2{R, R}});
    // Where the tip is lifted it stands at a wall: no place to pass.
    const field::GridSpec& fine = tips.tips().spec;
    const field::HeightField target =
        path::over(removal_.target(), {fine.centre(0, 0), fine.centre(fine.nx - 1, fine.ny - 1)});
    std::vector<std::uint8_t> atWall(fine.count(), 0);
    const auto lift = static_cast<std::int32_t>(std::lround(kLiftShare * R * 1000.0));
    for (std::size_t c = 0; c < atWall.size(); ++c) {
      const std::int32_t t = tips.tips().cells[c];
      atWall[c] = t != field::kNoMetal && target.cells[c] != field::kNoMetal && t > target.cells[c] + lift ? 1 : 0;
    }
    const Region lifted = regionOfCells(fine, atWall);
    const auto carveOver = [&](const Mill& m, const Region& ground, double step, double raise) {
      CarveTask task;
      task.region = offset(ground, 0.5 * step);
      if (!lifted.empty()) task.region = subtract(task.region, lifted);
      task.tips = &tips;
      task.radius_mm = m.radius();
      task.step_mm = step;
      task.raise_mm = raise;
      task.sample_mm = 2.0 * fine.cell();
      for (const Pass& pass : carvePasses(task)) walk_.surface(pass);
    };
    double metal = 0.0;  // over the ground now
    for (std::size_t c = 0; c < ground_.cells.size(); ++c)
      if (ground_.cells[c] != 0)
        metal = std::max(metal, (removal_.heights().cells[c] - removal_.target().cells[c]) / 1000.0);
    const Region ground = k == 0 ? ground_.region : carveRest(kRestOver_mm);
    if (ground.empty()) break;
    const std::string why = k == 0 ? "cheapest ball cutter over the carved faces" : "what the larger ball leaves";
    if (metal > kOneCut_mm) {
      const std::optional<Mill> semi = carveMill(work_, cutter, metal, kSemiCusp_mm);
      if (semi && semi->conditions.axialStep.base > 0) {
        start(OperationKind::Carve, *semi, style(false, *semi, top_mm_), why + ", wide steps");
        const double each = toMm(semi->conditions.axialStep);
        const int layers = std::max(1, static_cast<int>(std::ceil((metal - kSemiRaise_mm) / each - 1e-9)));
        for (int i = layers; i-- > 0;)
          carveOver(*semi, i == 0 ? ground : carveRest(kSemiRaise_mm + i * each),
                    cuspStep(semi->radius(), kSemiCusp_mm), kSemiRaise_mm + i * each);
        finish();
      }
    }
    const std::optional<Mill> last = carveMill(work_, cutter, kOneCut_mm, finalCusp);
    if (!last) continue;
    start(OperationKind::Carve, *last, style(false, *last, top_mm_), why);
    carveOver(*last, ground, cuspStep(last->radius(), finalCusp), 0.0);
    finish();
  }
}

// Fillets at the feet of islands and along the floors of recesses: round the wall with a bull cutter of the fillet's
// own radius or a smaller ball, the tip riding on floor and fillet.
void Planner::roots() {
  if (work_.details == nullptr || (work_.setup != nullptr && !work_.setup->plateSide)) return;
  struct Root {
    int detail{};
    double radius{}, low{}, high{};
    Region wall, band;
  };
  std::vector<Root> todo;
  for (int index : work_.served) {
    const detail::Detail& d = work_.details->list[static_cast<std::size_t>(index)];
    if (!d.dimensions.rootRadius || d.through || d.footprint.empty()) continue;
    Root root;
    root.detail = index;
    root.radius = toMm(*d.dimensions.rootRadius);
    std::tie(root.low, root.high) = heightsInSetup(work_, d);
    if (root.radius <= 0 || root.high <= root.low + root.radius) continue;
    constexpr double kBand_mm = 0.4;
    const Region foot = footprintInSetup(work_, d);
    const double wide = root.radius + kBand_mm;
    root.band = subtract(offset(foot, wide), offset(foot, -wide));
    root.wall = chart_.obstacle(0.5 * (root.low + root.radius + root.high));
    if (!root.wall.empty()) todo.push_back(std::move(root));
  }
  while (!todo.empty()) {
    const double radius = todo.front().radius;
    std::vector<Root> alike;
    std::vector<Root> others;
    for (Root& r : todo) (std::abs(r.radius - radius) < 0.02 ? alike : others).push_back(std::move(r));
    todo = std::move(others);
    // The largest cutter whose corner is that of the fillet or smaller and that comes all the way round.
    const cutting::Cutter* best = nullptr;
    double bestLeft = 1e300;
    for (const cutting::Cutter& c : work_.crib) {
      if (c.kind != cutting::CutterKind::Bull && c.kind != cutting::CutterKind::Ball) continue;
      const double corner = toMm(c.cornerRadius), R = 0.5 * toMm(c.diameter);
      if (corner > radius + 0.02 || corner < 0.5 * radius) continue;
      double left = 0.0;
      for (const Root& r : alike) {
        const Region ring = intersect(subtract(offset(r.wall, 0.5 * radius), r.wall), r.band);
        const Region closed = bodyKeepOut(c, r.low);
        const Region stays = closed.empty() ? r.wall : unite(r.wall, offset(closed, -R));
        left += area(unreachable(ring, stays, R, fit()));
      }
      // Corners of one radius first, then the stiffer cutter.
      left += 1e-3 * std::abs(corner - radius) - 1e-6 * R;
      if (left < bestLeft) {
        bestLeft = left;
        best = &c;
      }
    }
    if (best == nullptr) {
      note(NoteSeverity::LeftOut, "no-root-cutter",
           fmt::format("Fillets of radius {:.2f} mm at the foot of walls need a bull or ball cutter of that corner; "
                       "the crib has none, so they are not priced.",
                       radius),
           work_.details->list[static_cast<std::size_t>(alike.front().detail)].name);
      continue;
    }
    double height = 0.0;
    for (const Root& r : alike) height = std::max(height, r.high - r.low);
    const std::optional<Mill> m = mill(*best, cutting::CutKind::Wall, std::min(height, reachOf(*best)));
    if (!m) continue;
    start(OperationKind::RootRadius, *m, style(false, *m, top_mm_),
          fmt::format("fillet of radius {:.2f} mm at the foot", radius));
    for (const Root& r : alike) {
      const double R = m->radius();
      const Box2 band = box(r.band);
      const StandsOver over(removal_.target(), {band.min - Vec2{3.0 * R, 3.0 * R}, band.max + Vec2{3.0 * R, 3.0 * R}},
                            std::min(r.low, lowestIn(removal_.target(), r.band)));
      WallTask task;
      task.obstacle = r.wall;
      task.beside = r.band;
      task.z_mm = r.low;
      task.radius_mm = R;
      // Roughing stood off the fillet where it is widest at its allowance's height.
      const double over1 = std::min(toMm(work_.practice.roughFloorAllowance), radius);
      const double lean = radius - std::sqrt(std::max(0.0, radius * radius - (radius - over1) * (radius - over1)));
      task.allowance_mm = wallAllowance() + lean;
      task.passStep_mm = toMm(work_.practice.finishWallPass);
      task.springPasses = work_.practice.springPasses;
      task.fit_mm = fit();
      task.closed = bodyKeepOut(*best, r.low);
      // From high to low where the wall is higher than one pass.
      const double axial = std::max(toMm(m->conditions.axialStep), radius);
      const int layers = std::max(1, static_cast<int>(std::ceil((r.high - r.low) / axial - 1e-9)));
      for (int i = layers; i-- > 0;)
        for (const Pass& pass : wallPasses(task))
          walk_.surface(laidBeside(pass, over, profileOf(*best), kFinishGuard_mm + (r.high - r.low) * i / layers));
    }
    finish();
  }
}

}  // namespace chipledger::path
