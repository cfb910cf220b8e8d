#pragma once
// Walks operations over the stock: links and entries are chosen where the cutter stands, every move is cut in the
// field, and what was met there sets the feed.
//
// Feed from engagement (roughing): cos phi = 1 - a_e / R. Below 90 degrees the feed grows as 1 / sin phi, at most 2.5
// times; from 90 to 180 degrees it falls evenly to the slot feed. Pieces of path whose feeds lie within 6 % are run as
// one at their harmonic mean, so that length over feed stays the sum of the pieces (engine notes 4).
// Full-width passes go down in slot steps. An open one is cut to and fro: each layer begins where the last one ended,
// by a ramp of one step to and fro (t / tan a long, at entry feed), so with n layers of length L
//   seconds = n L / slot feed + n t / (sin a * entry feed) + the way down to the metal
// A closed one goes down in a spiral of one step a turn; its feed lies between the slot feed (level) and the entry feed
// (at the ramp angle), by its slope.
// Holds: the metal booked to an operation's details is the metal the field lost, to the last count.
#include <chipledger/cutting/conditions.hpp>
#include <chipledger/cutting/cutter.hpp>
#include <chipledger/field/removal.hpp>
#include <chipledger/path/entry.hpp>
#include <chipledger/path/link.hpp>
#include <chipledger/path/move.hpp>
#include <chipledger/path/pass.hpp>
#include <chipledger/path/work.hpp>

#include <optional>

namespace chipledger::path {

/// The cutting part of a cutter as the field sees it.
field::Profile profileOf(const cutting::Cutter& cutter);

/// Feed at the measured radial engagement.
Speed engagedFeed(const cutting::Conditions& conditions, double radius_mm, double width_mm);

/// A cutter in cleared room slows to its cutting feed this far before metal. Common practice, no source.
inline constexpr double kBeforeMetal_mm = 0.5;

/// How one operation is walked.
struct Style {
  bool engaged{};  ///< feed follows engagement (roughing); else the feed of the conditions
  double fitTolerance_mm{0.02};
  double slotStep_mm{1.0};  ///< depth of one full-width pass
  Speed slotStepFeed{};     ///< feed of such a pass; 0: the slot feed of the conditions
  double step_mm{0.3};      ///< radial step, for links
  double top_mm{};          ///< where the metal of this operation begins
  double entryClearance_mm{0.5}, clearance_mm{1.0};
};

class Walk {
public:
  explicit Walk(field::Removal& removal) : removal_(removal) {}

  void begin(Operation operation, const cutting::Cutter& cutter, const Style& style);
  /// The region the tip centre stays out of, for links and entries of the passes that follow.
  void keepOutOf(const Region& region, double slack_mm);
  void setTop(double top_mm) { style_.top_mm = top_mm; }
  void follow(const Pass& pass);
  void follow(const std::vector<Pass>& passes);
  /// Retracts: the next pass is entered anew.
  void up();
  /// A pass that rides on a surface: down onto its start in plunge feed, then along all its points.
  void surface(const Pass& pass);

  /// Plain moves, for holes: rapid to a place, feed along a line, stand still.
  void rapid(Vec3 to);
  void feed(Vec3 to, Speed speed, MoveKind kind = MoveKind::Cut);
  /// A move that meets no metal of the drawing (taps).
  void pass(Vec3 to, Speed speed, MoveKind kind);
  void along(const std::vector<Segment>& segments, MoveKind kind, Speed speed);
  void dwell(Duration time);
  void countHole() { operation_.holes += 1.0; }

  /// Retracts and hands the operation back; an operation that cut nothing has no cutting moves.
  Operation end();
  double gouge_mm() const { return gouge_mm_; }
  Operation& operation() { return operation_; }
  double safe_mm() const { return safe_mm_; }

private:
  void cut(const Segment& segment, MoveKind kind, Speed speed, bool engaged);
  void cut(const std::vector<Segment>& segments, MoveKind kind, Speed speed, bool engaged);
  void record(const Segment& segment, const field::CutResult& result, MoveKind kind, Speed speed, bool engaged);
  void book(const field::CutResult& result);
  void to(const Pass& pass);
  void enter(const Pass& pass);
  /// The pass begun where the walk gets to it best: a closed one may begin anywhere along it. A lead is put on.
  Pass begun(const Pass& pass) const;
  Pass begunWhereFree(const Pass& pass) const;
  Pass withItsLead(Pass pass) const;
  /// How the tip comes down at a place.
  enum class Down {
    Free,    ///< through air
    Grazes,  ///< beside metal by no more than what the pass itself may graze
    Metal
  };
  Down downAt(Vec3 place) const;
  /// A place beside the start of a pass from which it is cut into from the side.
  std::optional<Vec2> besideStart(const Pass& pass) const;
  /// Half way to the wall across on the left; nothing where there is none within a diameter.
  std::optional<Vec2> middleBeside(Vec2 start, Vec2 ahead) const;
  bool spares(Vec3 a, Vec3 b) const;
  bool slotAlong(Vec3 a, Vec3 b) const;
  bool isSlot(const Pass& pass) const;
  LinkQuestion questionTo(Vec3 start) const;
  /// A small closed pass, as a helix round its middle that takes it along.
  bool helixOver(const Pass& pass, double top_mm);
  /// Whether the cutter meets metal on the straight way.
  bool meets(Vec3 a, Vec3 b) const;
  /// The pass without what of its beginning and end meets nothing; empty when all of it does. Roughing only.
  Pass trimmed(const Pass& pass) const;
  void over(Vec2 place);
  void comeDown(Vec3 to);
  bool legal(Vec2 a, Vec2 b) const;
  bool open(Vec2 p) const;
  double room(Vec2 p) const;
  void fullWidthOpen(const Pass& pass);
  Angle rampAngle() const;
  Speed entryFeed() const;
  Speed slotFeed() const;
  /// Along a full-width way that falls by `slope`.
  Speed fallingFeed(double slope) const;

  field::Removal& removal_;
  Operation operation_;
  field::Profile profile_, probe_, graze_;
  Style style_;
  Region keepOut_;
  double slack_mm_{};          // by which it is smaller than what the tip must stay out of
  Region leadOut_;             // which is this
  std::vector<Segment> back_;  // the last open pass, for ways back
  Vec3 here_{};
  bool down_{};
  double safe_mm_{}, radius_mm_{};
  double gouge_mm_{};
};

}  // namespace chipledger::path
