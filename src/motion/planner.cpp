#include <chipledger/motion/planner.hpp>

#include "elements.hpp"
#include "ramps.hpp"

#include <fmt/format.h>

namespace chipledger::motion {

namespace {

// A step between the end of a move and the start of the next, larger than rounding: the machine stops there.
constexpr double kGap_mm = 1e-3;
// Shorter moves are points.
constexpr double kPoint_mm = 1e-9;
// Spans planned together. The plan is exact as long as no braking distance spans more than half of them.
constexpr std::size_t kWindow = 4096;

struct Piece {
  Span span;
  std::size_t count{};   ///< moves
  double cap{};          ///< speed limit of the joint at the end; after the pass back: reachable from what follows
  double turn{}, run{};  ///< of the joints inside a sampled curve
  bool rapid{};
};

// Moves come in, spans go out, in three steps: pieces of one line or arc become elements; elements of one sampled curve
// become pieces; pieces are planned together until the machine stands.
template <class Sink>
class Planner {
public:
  Planner(const Machine& machine, Sink& sink) : table_(axisTable(machine)), sink_(sink) {}

  bool add(std::size_t index, const path::Move& move) {
    const double length = chipledger::length(move.segment);
    if (length > kPoint_mm) {
      if (move.kind != path::MoveKind::Rapid && !(toMmPerSecond(move.feed) > 0.0)) return false;
      const Element e = element(move, index, length, table_);
      sink_.move(index, e.lower);
      const bool joined = last_ && norm(move.segment.start - last_->segment.end) <= kGap_mm;
      if (joined && continues(*last_, element_, move, e)) {
        extend(e);
      } else {
        if (last_) endElement();
        if (!joined || e.rapid || element_.rapid) stop();
        element_ = e;
      }
      last_ = &move;
    }
    if (const double dwell = toSeconds(move.dwell); dwell > 0.0) {
      finish();
      sink_.dwell(index, dwell);
    }
    return true;
  }

  void finish() {
    if (last_) endElement();
    stop();
    last_ = nullptr;
  }

private:
  void extend(const Element& e) {
    element_.last = e.last;
    ++element_.count;
    element_.length += e.length;
    element_.lower += e.lower;
    element_.top = std::min(element_.top, e.top);
    element_.acceleration = std::min(element_.acceleration, e.acceleration);
    element_.jerk = std::min(element_.jerk, e.jerk);
    element_.endDirection = e.endDirection;
  }

  // The element is complete, so the joint before it is known, so the one before that can be judged.
  void endElement() {
    if (holding_) place(joint(held_, element_));
    held_ = element_;
    holding_ = true;
  }

  // Puts the held element into the open piece or starts a new one with it.
  void place(const Joint& after) {
    if (before_.kind == Joint::Kind::Curve && before_.ownsChordWith(beforeThat_) && before_.ownsChordWith(after)) {
      bend();
    } else {
      if (before_.kind != Joint::Kind::Stop) {
        const Corner c = corner(before_.change, std::min(endSide_, held_.length), table_);
        endPiece(c.speed, c.byCurvature ? EndLimit::Curvature : EndLimit::Corner);
      }
      beginPiece();
    }
    endSide_ = held_.length;
    beforeThat_ = before_;
    before_ = after;
  }

  void stop() {
    if (!holding_) return;
    place(Joint{});
    endPiece(0.0, EndLimit::Stop);
    beforeThat_ = before_ = Joint{};
    holding_ = false;
  }

  void beginPiece() {
    piece_ = {};
    piece_.count = held_.count;
    piece_.rapid = held_.rapid;
    Span& s = piece_.span;
    s.firstMove = held_.first;
    s.lastMove = held_.last;
    s.length = held_.length;
    s.top = held_.top;
    s.acceleration = held_.acceleration;
    s.jerk = held_.jerk;
    s.lower = held_.lower;
  }

  void bend() {
    const Vec3 bisector = unit(before_.change);
    Span& s = piece_.span;
    s.lastMove = held_.last;
    s.length += held_.length;
    s.lower += held_.lower;
    s.top = std::min(s.top, held_.top);
    s.acceleration = std::min({s.acceleration, held_.acceleration, along(bisector, table_.perAcceleration)});
    s.jerk = std::min({s.jerk, held_.jerk, along(bisector, table_.perJerk)});
    piece_.count += held_.count;
    piece_.turn += before_.turn;
    piece_.run += before_.run;
  }

  // The piece is complete; its end is passed at no more than `cap`.
  void endPiece(double cap, EndLimit why) {
    Span& s = piece_.span;
    const ramps::Limits k{s.acceleration, s.jerk};
    if (piece_.turn > 0.0) {
      const double r = piece_.run / piece_.turn;
      s.top = std::min({s.top, std::sqrt(k.acceleration * r), std::cbrt(k.jerk * r * r)});
    }
    if (table_.blockTime > 0.0 && !piece_.rapid)
      s.top = std::min(s.top, s.length / (static_cast<double>(piece_.count) * table_.blockTime));
    s.upper = ramps::restToRest(s.length, s.top, k);
    if (piece_.rapid) {
      s.likely = s.upper = s.upper + table_.inPosition;
      sink_.span(s);
      return;
    }
    if (!pieces_.empty()) {
      Piece& before = pieces_.back();
      const double top = std::min(before.span.top, s.top);
      if (top <= before.cap) {
        before.cap = top;
        before.span.end = EndLimit::Top;
      }
    }
    piece_.cap = cap;
    s.end = why;
    pieces_.push_back(piece_);
    if (why == EndLimit::Stop) {
      plan();
    } else if (pieces_.size() == kWindow) {
      planHead();
    }
  }

  // Lowers every joint to what can still be braked for. Returns how many spans end at a joint that what follows cannot
  // lower any further.
  std::size_t passBack() {
    std::size_t settled = 0;
    double next = 0.0;  // the last joint: a stop, or not known yet and taken as one
    for (std::size_t i = pieces_.size() - 1; i-- > 0;) {
      const Span& s = pieces_[i + 1].span;
      const ramps::Limits k{s.acceleration, s.jerk};
      double& cap = pieces_[i].cap;
      if (cap > next && ramps::rampLength(next, cap, k) > s.length) {
        cap = std::min(cap, ramps::reach(next, s.length, k));
        pieces_[i].span.end = EndLimit::Reach;
      } else if (settled == 0) {
        settled = i + 1;
      }
      next = cap;
    }
    return settled;
  }

  void passForward(std::size_t count) {
    for (std::size_t i = 0; i < count; ++i) {
      Piece& p = pieces_[i];
      Span& s = p.span;
      const ramps::Limits k{s.acceleration, s.jerk};
      double end = p.cap;
      if (end > speed_ && ramps::rampLength(speed_, end, k) > s.length) {
        end = std::min(end, ramps::reach(speed_, s.length, k));
        s.end = EndLimit::Reach;
      }
      s.startSpeed = speed_;
      s.endSpeed = end;
      s.likely = std::min(s.upper, ramps::run(s.length, speed_, end, s.top, k).time);
      speed_ = end;
      sink_.span(s);
    }
  }

  void plan() {
    passBack();
    passForward(pieces_.size());
    pieces_.clear();
    speed_ = 0.0;
  }

  // The window is full: deal with the part that later spans cannot change any more; if braking from the middle takes
  // more than half a window, with the half that is there.
  void planHead() {
    std::vector<Piece>& kept = spare_;
    kept.assign(pieces_.begin(), pieces_.end());
    const std::size_t settled = passBack();
    const std::size_t count = std::max(settled, kWindow / 2);
    passForward(count);
    pieces_.assign(kept.begin() + static_cast<std::ptrdiff_t>(count), kept.end());
  }

  AxisTable table_;
  Sink& sink_;
  const path::Move* last_{};  ///< of element_; null: nothing is open
  Element element_, held_;    ///< growing; complete, not yet in a piece
  bool holding_{};
  Joint beforeThat_, before_;  ///< the two joints before held_
  double endSide_{};           ///< length of the last element in piece_
  Piece piece_;
  std::vector<Piece> pieces_, spare_;
  double speed_{};  ///< at the start of the first of pieces_
};

struct Sum {
  Times times;
  void move(std::size_t, double) {}
  void dwell(std::size_t, double t) { times += {seconds(t), seconds(t), seconds(t)}; }
  void span(const Span& s) { times += {seconds(s.lower), seconds(s.likely), seconds(s.upper)}; }
};

struct EachMove {
  std::vector<Times>& times;
  void move(std::size_t i, double naive) { times[i].lower = seconds(naive); }
  void dwell(std::size_t i, double t) { times[i] += {seconds(t), seconds(t), seconds(t)}; }
  void span(const Span& s) {
    for (std::size_t i = s.firstMove; i <= s.lastMove; ++i) {
      const double share = toSeconds(times[i].lower) / s.lower;
      times[i].likely += seconds(s.likely * share);
      times[i].upper += seconds(s.upper * share);
    }
  }
};

struct List {
  std::vector<Span> spans;
  void move(std::size_t, double) {}
  void dwell(std::size_t, double) {}
  void span(const Span& s) { spans.push_back(s); }
};

template <class Sink>
Result<bool> walk(std::span<const path::Move> moves, const Machine& machine, Sink& sink) {
  Planner<Sink> planner(machine, sink);
  for (std::size_t i = 0; i < moves.size(); ++i)
    if (!planner.add(i, moves[i]))
      return fault(FaultCode::Usage, fmt::format("move {}", i), "A cutting move has no feed.",
                   "Give every move that is not a rapid a feed above 0.");
  planner.finish();
  return true;
}

}  // namespace

const char* word(EndLimit limit) {
  switch (limit) {
    case EndLimit::Stop:
      return "stop";
    case EndLimit::Corner:
      return "corner";
    case EndLimit::Curvature:
      return "curvature";
    case EndLimit::Top:
      return "top speed";
    case EndLimit::Reach:
      return "reach";
  }
  return "stop";
}

Result<Times> planTimes(std::span<const path::Move> moves, const Machine& machine) {
  Sum sum;
  if (auto done = walk(moves, machine, sum); !done) return tl::make_unexpected(done.error());
  return sum.times;
}

Result<Times> planTimes(std::span<const path::Move> moves, const Machine& machine, std::vector<Times>& perMove) {
  perMove.assign(moves.size(), Times{});
  EachMove each{perMove};
  if (auto done = walk(moves, machine, each); !done) return tl::make_unexpected(done.error());
  Times sum;
  for (const Times& t : perMove) sum += t;
  return sum;
}

Result<std::vector<Span>> planSpans(std::span<const path::Move> moves, const Machine& machine) {
  List list;
  if (auto done = walk(moves, machine, list); !done) return tl::make_unexpected(done.error());
  return std::move(list.spans);
}

}  // namespace chipledger::motion
