#include <chipledger/motion/calibration.hpp>

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

namespace chipledger::motion {

namespace {

// Legs up to 3 mm do not reach it on an ordinary machine, so jerk decides; and it is below a^2/j there, so ramps never
// touch the acceleration limit and the reading does not mix the two.
constexpr double kFeed_mmPerMin = 3000.0;
constexpr double kWidth_mm = 60.0;
// Rising legs: one length alone would fit one peak speed alone.
constexpr std::array kTeeth_mm{1.0, 1.5, 2.0, 3.0, 4.0};
constexpr double kRowGap_mm = 1.0;
constexpr std::array kRadii_mm{1.0, 2.0, 3.0, 4.0, 5.0};
constexpr double kWaveRoom_mm = 5.0;  // above and below the axis of the wave
constexpr double kOuterSquare_mm = 30.0, kInnerSquare_mm = 2.0, kSquareInset_mm = 2.0;
// Halvings of the range of log s (at most log 20,000): far below the 0.1 % asked for.
constexpr int kHalvings = 50;
constexpr std::array<std::string_view, 3> kJerkKeys{"x_jerk_m_per_s3", "y_jerk_m_per_s3", "z_jerk_m_per_s3"};
constexpr std::string_view kCornerKey = "corner_factor";

class Pen {
public:
  void by(double dx, double dy) {
    const Vec3 to = at_ + Vec3{dx, dy, 0};
    add(line(at_, to));
  }
  /// Half a circle to the left of the page.
  void halfCircleLeft(double radius, bool overTheTop) {
    const Vec3 to = at_ + Vec3{-2 * radius, 0, 0};
    add(arc(at_, to, Vec2{at_.x - radius, at_.y}, overTheTop ? Segment::Shape::ArcCcw : Segment::Shape::ArcCw));
  }
  std::vector<path::Move> moves;

private:
  void add(const Segment& segment) {
    path::Move move;
    move.kind = path::MoveKind::Cut;
    move.segment = segment;
    move.feed = calibrationFeed();
    moves.push_back(move);
    at_ = segment.end;
  }
  Vec3 at_{};
};

void combs(Pen& pen) {
  double along = 1.0;
  for (const double tooth : kTeeth_mm) {
    const int count = static_cast<int>(kWidth_mm / (2 * tooth));
    for (int i = 0; i < count; ++i) {
      pen.by(0, tooth);
      pen.by(along * tooth, 0);
      pen.by(0, -tooth);
      pen.by(along * tooth, 0);
    }
    pen.by(0, tooth + kRowGap_mm);
    along = -along;
  }
}

void wave(Pen& pen) {
  bool overTheTop = true;
  for (const double radius : kRadii_mm) {
    pen.halfCircleLeft(radius, overTheTop);
    overTheTop = !overTheTop;
  }
}

void squares(Pen& pen) {
  for (double side = kOuterSquare_mm; side >= kInnerSquare_mm; side -= 2 * kSquareInset_mm) {
    pen.by(0, side);
    pen.by(side, 0);
    pen.by(0, -side);
    pen.by(-side, 0);
    if (side - 2 * kSquareInset_mm >= kInnerSquare_mm) {
      pen.by(0, kSquareInset_mm);
      pen.by(kSquareInset_mm, 0);
    }
  }
}

const MachineValue& valueOf(std::string_view key) {
  const auto& all = machineValues();
  return *std::find_if(all.begin(), all.end(), [&](const MachineValue& v) { return v.key == key; });
}

Machine scaled(const Machine& machine, double s) {
  Machine m = machine;
  const auto multiply = [&](std::string_view key, double factor) {
    const MachineValue& v = valueOf(key);
    v.set(m, std::clamp(v.get(machine) * factor, v.low, v.high));
  };
  for (const std::string_view key : kJerkKeys) multiply(key, s);
  multiply(kCornerKey, std::cbrt(s));
  return m;
}

struct Range {
  double low, high;
};
/// Scales that keep the jerk of every axis possible.
Range possibleScales(const Machine& machine) {
  Range r{0.0, HUGE_VAL};
  for (const std::string_view key : kJerkKeys) {
    const MachineValue& v = valueOf(key);
    r.low = std::max(r.low, v.low / v.get(machine));
    r.high = std::min(r.high, v.high / v.get(machine));
  }
  return r;
}

void mark(Machine& m, std::string_view key, std::string source) {
  const MachineValue& v = valueOf(key);
  const Assumption entry{std::string(key), v.get(m), v.unit, From::Clocked, std::move(source)};
  const auto old =
      std::find_if(m.sources.begin(), m.sources.end(), [&](const Assumption& a) { return a.name == entry.name; });
  if (old == m.sources.end()) {
    m.sources.push_back(entry);
  } else {
    *old = entry;
  }
}

}  // namespace

Speed calibrationFeed() { return mmPerMin(kFeed_mmPerMin); }

std::vector<path::Move> calibrationPath() {
  Pen pen;
  combs(pen);
  pen.by(0, kWaveRoom_mm);
  wave(pen);
  pen.by(0, kWaveRoom_mm + kRowGap_mm);
  squares(pen);
  return std::move(pen.moves);
}

Result<Times> calibrationTime(const Machine& machine) {
  if (const auto sound = checked(machine); !sound) return tl::make_unexpected(sound.error());
  return planTimes(calibrationPath(), machine);
}

Result<Machine> calibrated(const Machine& machine, Duration stopwatch) {
  const auto asDescribed = calibrationTime(machine);
  if (!asDescribed) return tl::make_unexpected(asDescribed.error());
  const auto path = calibrationPath();
  // Every move of the path has a feed, so planning it cannot fail.
  const auto likely = [&](double s) { return toSeconds(planTimes(path, scaled(machine, s))->likely); };

  const double reading = toSeconds(stopwatch);
  const Range scales = possibleScales(machine);
  const double quickest = likely(scales.high), slowest = likely(scales.low);
  if (!(reading >= quickest && reading <= slowest)) {
    const double least = toSeconds(asDescribed->lower);
    const std::string why = reading < least      ? fmt::format("its length over its feed alone is {:.1f} s", least)
                            : reading < quickest ? std::string("no jerk makes this machine so quick")
                            : reading > slowest  ? std::string("no jerk makes this machine so slow")
                                                 : std::string("it is not a number");
    return fault(FaultCode::Usage, "stopwatch reading",
                 fmt::format("{:.1f} s for the calibration path cannot be: {}; possible is {:.1f} to {:.1f} s.",
                             reading, why, quickest, slowest),
                 fmt::format("Clock it again from the first movement to the last, feed override at 100 %, "
                             "and check the feed of {:g} mm/min and the machine's acceleration and top speeds.",
                             kFeed_mmPerMin));
  }

  // From 1 outwards, so that where time does not answer to s the machine is changed least.
  const bool slower = reading > toSeconds(asDescribed->likely);
  double near = 0.0, far = std::log(slower ? scales.low : scales.high);
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = (near + far) / 2;
    const double t = likely(std::exp(middle));
    ((slower ? t < reading : t > reading) ? near : far) = middle;
  }
  const double s = std::exp(far);
  Machine fitted = scaled(machine, s);
  const std::string read = fmt::format("stopwatch reading of {:.1f} s for the calibration path", reading);
  mark(fitted, kJerkKeys[0], read);
  mark(fitted, kJerkKeys[1], read);
  mark(fitted, kJerkKeys[2], read + "; z did not move, scaled as x and y");
  mark(fitted, kCornerKey, read);
  return fitted;
}

}  // namespace chipledger::motion
