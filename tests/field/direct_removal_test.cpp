// The fast removal against direct cell tests, cell by cell and to the last micrometre: equal, not bracketed.
//
// Each cell asks every move for the nearest place of the axis and takes the underside there. A level straight move of
// any cutter and a level arc of a flat one have that in closed form. Curved undersides follow an arc by chords, and
// moves that change height go in steps: both are part of what the walk promises (removal.hpp), so the direct test takes
// the same chords and steps from the same two numbers, and nothing else.
#include <gtest/gtest.h>
#include <chipledger/field/removal.hpp>

#include <numbers>
#include <random>

namespace chipledger::field {
namespace {

constexpr double kSagitta_mm = 0.001;  // removal.hpp: arcs by chords within 0.001 mm
constexpr double kOnRim_mm = 1e-6;     // cells nearer than this to the rim are outside
constexpr std::int32_t kUncut = 1'000'000'000;

std::int32_t toUm(double mm) { return static_cast<std::int32_t>(std::floor(mm * 1000.0 + 0.5)); }

/// Written from the definition of each shape.
double underside(const Profile& p, double distance) {
  if (distance <= p.flat_mm) return 0.0;
  const double out = distance - p.flat_mm;
  if (p.corner_mm > 0) return p.corner_mm - std::sqrt(std::max(0.0, p.corner_mm * p.corner_mm - out * out));
  return out * p.rise;
}

/// Height of the cut over `cell` by a straight piece: at the place of the axis nearest in plan; flat cutters cut a
/// piece at its higher end.
std::int32_t overPiece(Vec2 cell, Vec3 a, Vec3 b, const Profile& p) {
  const Vec2 d = b.xy() - a.xy();
  const double l2 = dot(d, d);
  const double t = l2 > 0 ? std::clamp(dot(cell - a.xy(), d) / l2, 0.0, 1.0) : 0.0;
  const double distance = norm(cell - a.xy() - d * t);
  if (distance > p.radius_mm - kOnRim_mm) return kUncut;
  if (p.levelTip()) return toUm(std::max(a.z, b.z));
  return toUm(a.z + (b.z - a.z) * t + underside(p, distance));
}

/// By a level arc of a flat cutter, without chords. `unsure` where the rim passes nearer than the chords may stray.
std::int32_t overArc(Vec2 cell, const Segment& s, const Profile& p, bool& unsure) {
  const double r = radius(s);
  const Vec2 from = s.start.xy() - s.centre, at = cell - s.centre;
  double turn = std::atan2(cross(from, at), dot(from, at));
  if (s.shape == Segment::Shape::ArcCw) turn = -turn;
  if (turn < 0) turn += 2 * std::numbers::pi;
  const double distance =
      turn <= sweep(s) ? std::abs(norm(at) - r) : std::min(norm(cell - s.start.xy()), norm(cell - s.end.xy()));
  unsure = unsure || std::abs(distance - p.radius_mm) < 1.1 * kSagitta_mm;
  return distance < p.radius_mm ? toUm(s.start.z) : kUncut;
}

struct Direct {
  std::vector<Segment> moves;
  Profile profile;
  double cell_mm{};

  std::int32_t over(Vec2 cell, bool& unsure) const {
    std::int32_t lowest = kUncut;
    for (const Segment& s : moves) {
      const bool level = s.start.z == s.end.z, straight = s.shape == Segment::Shape::Line;
      if (level && straight) {
        lowest = std::min(lowest, overPiece(cell, s.start, s.end, profile));
        continue;
      }
      if (level && profile.levelTip()) {
        lowest = std::min(lowest, overArc(cell, s, profile, unsure));
        continue;
      }
      double step = kEngagementWindow_mm;
      if (!level) step = std::max(cell_mm, profile.levelTip() ? 0.0 : std::sqrt(8.0 * profile.corner_mm * kSagitta_mm));
      double run = norm(s.end.xy() - s.start.xy());
      if (!straight) {
        const double r = radius(s);
        run = std::max(run, sweep(s) * r);
        step = std::min(step, 2.0 * r * std::acos(std::max(0.0, 1.0 - kSagitta_mm / r)));
      }
      const int n = std::max(1, static_cast<int>(std::ceil(run / step - 1e-9)));
      // Upwards: the lowest place is cut whole, each piece at its higher end.
      const bool falling = s.end.z < s.start.z;
      const auto place = [&](int k) { return pointAt(s, static_cast<double>(falling ? n - k : k) / n); };
      if (!level) lowest = std::min(lowest, overPiece(cell, place(0), place(0), profile));
      for (int k = 0; k < n; ++k) lowest = std::min(lowest, overPiece(cell, place(k), place(k + 1), profile));
    }
    return lowest;
  }
};

enum class Way { LevelLines, LevelArcs, Slopes, Helices };
struct Row {
  const char* name;
  Way way;
  enum class Shape { Flat, Bull, Ball, Cone } shape;
};
constexpr Row kRows[] = {
    {"flat_lines", Way::LevelLines, Row::Shape::Flat}, {"flat_arcs", Way::LevelArcs, Row::Shape::Flat},
    {"flat_slopes", Way::Slopes, Row::Shape::Flat},    {"flat_helices", Way::Helices, Row::Shape::Flat},
    {"bull_lines", Way::LevelLines, Row::Shape::Bull}, {"bull_arcs", Way::LevelArcs, Row::Shape::Bull},
    {"bull_slopes", Way::Slopes, Row::Shape::Bull},    {"ball_lines", Way::LevelLines, Row::Shape::Ball},
    {"ball_arcs", Way::LevelArcs, Row::Shape::Ball},   {"ball_slopes", Way::Slopes, Row::Shape::Ball},
    {"ball_helices", Way::Helices, Row::Shape::Ball},  {"cone_lines", Way::LevelLines, Row::Shape::Cone},
    {"cone_arcs", Way::LevelArcs, Row::Shape::Cone},   {"cone_slopes", Way::Slopes, Row::Shape::Cone},
};

class DirectRemoval : public testing::TestWithParam<Row> {};

TEST_P(DirectRemoval, EveryCellIsTheSame) {
  const Row& row = GetParam();
  std::mt19937 random(20250117);
  std::uniform_real_distribution<double> unit(0, 1);
  int compared = 0, unsureCells = 0;
  for (int trial = 0; trial < 4; ++trial) {
    const GridSpec g{64 + trial % 5, 52 + trial % 3, unit(random), unit(random), trial % 2 == 0 ? 100 : 50};
    const double wide = g.nx * g.cell(), deep = g.ny * g.cell();
    const double d = 0.5 + 2.0 * unit(random);
    Direct direct;
    direct.cell_mm = g.cell();
    switch (row.shape) {
      case Row::Shape::Flat:
        direct.profile = flatProfile(d);
        break;
      case Row::Shape::Bull:
        direct.profile = bullProfile(d, (0.05 + 0.4 * unit(random)) * d);
        break;
      case Row::Shape::Ball:
        direct.profile = ballProfile(d);
        break;
      case Row::Shape::Cone:
        direct.profile = coneProfile(d, degrees(60 + 60 * unit(random)).rad, 0.3 * d * unit(random));
        break;
    }
    StockBlock stock = fullBlank(g, Box3{{g.x0_mm, g.y0_mm, 0}, {g.x0_mm + wide, g.y0_mm + deep, 3}});
    Removal walk(stock, Frame{}, {HeightField(g, -5000), {}});
    const auto somewhere = [&](double z) {
      return Vec3{g.x0_mm + wide * (1.4 * unit(random) - 0.2), g.y0_mm + deep * (1.4 * unit(random) - 0.2), z};
    };
    for (int k = 0; k < 4; ++k) {
      const double z = -0.3 + 3 * unit(random);
      const Vec3 a = somewhere(z);
      Vec3 b = somewhere(z);
      const bool turns = row.way == Way::LevelArcs || row.way == Way::Helices;
      if (row.way == Way::Slopes || row.way == Way::Helices) b.z = -0.3 + 3 * unit(random);
      if (row.way == Way::Slopes && k == 3) b = {a.x, a.y, b.z};  // straight down
      const auto sense = random() % 2 == 0 ? Segment::Shape::ArcCcw : Segment::Shape::ArcCw;
      const Vec2 middle = (a.xy() + b.xy()) * 0.5 + perp(b.xy() - a.xy()) * (1.5 * unit(random) - 0.75);
      direct.moves.push_back(turns ? arc(a, b, middle, sense) : line(a, b));
    }
    for (const Segment& s : direct.moves) walk.cut(s, direct.profile);
    for (int j = 0; j < g.ny; ++j) {
      for (int i = 0; i < g.nx; ++i) {
        bool unsure = false;
        const std::int32_t cut = direct.over(g.centre(i, j), unsure);
        if (unsure) {
          ++unsureCells;
          continue;
        }
        ++compared;
        const std::int32_t left = std::min(3000, cut);
        ASSERT_EQ(walk.heights()(i, j), left > 0 ? left : kNoMetal) << "trial " << trial << " cell " << i << ' ' << j;
      }
    }
  }
  EXPECT_LT(unsureCells, 0.01 * compared);
}
INSTANTIATE_TEST_SUITE_P(Field, DirectRemoval, testing::ValuesIn(kRows),
                         [](const auto& row) { return row.param.name; });

}  // namespace
}  // namespace chipledger::field
