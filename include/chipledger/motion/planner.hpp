#pragma once
// How long a machine takes over a path of lines, arcs and helices. Three answers:
//   lower   length over feed, rapids at full speed, nothing else
//   likely  corners blended within the machine's tolerance, jerk-limited ramps in between, rapids settled
//   upper   the same with a full stop at every corner
// Laws (tested by these names): lower <= likely <= upper; more acceleration, jerk or tolerance never lengthens; a path
// run backwards takes the same time; cutting a straight line into pieces changes nothing but rounding.
//
// Method. Joined pieces of one straight line, or of one arc, at one feed become one span, so acceleration is not
// started anew where nothing turns. A span's top speed is the least of: feed; axis top speed along it; sqrt(a r) and (j
// r^2)^(1/3) on arcs; length / block time. A corner is passed at no more than
//   k min( junction form of the acceleration, (4.5 e^2 j)^(1/3) / sin(phi/2) )      (closed_forms.hpp; jerk nearly
//   always governs)
// with a and j along the bisector, and no faster than sqrt(a r), (j r^2)^(1/3) of the circle that fits the shorter side
// (r = l / 2 tan(phi/2)), for chords of a curve lie closer than the tolerance sees; that second limit never goes below
// the speed at which any shape inside the tolerance can be run. One pass back and one forward make every corner speed
// reachable from both sides; each span is then one closed-form jerk-limited run, no acceleration at its ends.
// Across a gap, before and after a rapid and at a dwell the machine stands still. O(n); memory is a fixed window of
// spans. Not modelled: servo lag, sharing of acceleration between tangential and centripetal direction, feed override.
#include <chipledger/motion/machine.hpp>
#include <chipledger/path/move.hpp>

#include <cstddef>
#include <span>
#include <vector>

namespace chipledger::motion {

struct Times {
  Duration lower{}, likely{}, upper{};
  constexpr Times& operator+=(const Times& o) {
    lower += o.lower;
    likely += o.likely;
    upper += o.upper;
    return *this;
  }
};
inline Times operator+(Times a, const Times& b) { return a += b; }

/// What held the speed at the end of a span.
enum class EndLimit { Stop, Corner, Curvature, Top, Reach };
const char* word(EndLimit limit);

/// One span as planned, for drawings and tests. Speeds mm/s, length mm, times s.
struct Span {
  std::size_t firstMove{}, lastMove{};
  double length{}, top{}, acceleration{}, jerk{};
  double startSpeed{}, endSpeed{};
  double lower{}, likely{}, upper{};
  EndLimit end{EndLimit::Stop};
};

/// Fails: Usage when a cutting move has no feed (says which).
Result<Times> planTimes(std::span<const path::Move> moves, const Machine& machine);
/// The same, and the time of every move (a span's time is dealt to its moves by length over feed).
Result<Times> planTimes(std::span<const path::Move> moves, const Machine& machine, std::vector<Times>& perMove);
/// The same as a list of spans.
Result<std::vector<Span>> planSpans(std::span<const path::Move> moves, const Machine& machine);

}  // namespace chipledger::motion
