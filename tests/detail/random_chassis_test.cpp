// Random chassis drawn by our own generator, written as STEP, read back, and found again. The drawn details are the
// truth. Face names are taken off the part first, so that nothing can be read from them.
#include <gtest/gtest.h>
#include <unistd.h>
#include <chipledger/detail/detail.hpp>
#include <chipledger/draw/drawn.hpp>
#include <chipledger/draw/read_chassis.hpp>
#include <chipledger/part/read.hpp>

#include <cstdlib>
#include <filesystem>
#include <iostream>
#include <map>
#include <sstream>

#include "support/random_chassis.hpp"

using namespace chipledger;
using detail::DetailKind;
using draw::DrawnKind;

namespace {

// Drawing and reading back take 0.7 s a plate: the ordinary run takes the first plates, CHIPLEDGER_SEEDS=200 all of
// them (2,764 details, all found, none invented).
constexpr int kSeeds = 15;
constexpr double kSize = 0.01;  // mm: dimensions
// On a crown heights count from its crest; where a window took the crest away, from the highest point left.
constexpr double kCrestCutAway = 0.03;
constexpr double kPlace = 0.02;  // mm: centres

/// Kinds that answer to what was drawn. Some shapes are one and the same solid under two words: a round pocket and a
/// blind bore with a flat floor, a round window and a through bore, an oblong pocket or window and a short slot.
bool answers(const draw::DrawnDetail& truth, const detail::Detail& found) {
  const bool round = truth.diameter.has_value();
  switch (truth.kind) {
    case DrawnKind::Island:
      return found.kind == DetailKind::Island;
    case DrawnKind::Pocket:
    case DrawnKind::Thinning:
      return found.kind == DetailKind::Pocket || found.kind == DetailKind::Thinning ||
             (!round && found.kind == DetailKind::Slot) ||
             (round && !found.through && (found.kind == DetailKind::Bore || found.kind == DetailKind::Seat));
    case DrawnKind::OpenPocket:
      return found.kind == DetailKind::OpenPocket;
    case DrawnKind::Window:
      return found.kind == DetailKind::Window || (!round && found.kind == DetailKind::Slot && found.through) ||
             (round && found.kind == DetailKind::Bore && found.through);
    case DrawnKind::Slot:
    case DrawnKind::LockCut:
      return found.kind == DetailKind::Slot || found.kind == DetailKind::LockCut ||
             (truth.through && found.kind == DetailKind::Window) ||
             (!truth.through && found.kind == DetailKind::Pocket);
    case DrawnKind::Bore:
    case DrawnKind::Thread:
    case DrawnKind::Seat:
      return found.kind == DetailKind::Bore || found.kind == DetailKind::Seat || found.kind == DetailKind::Thread ||
             (!truth.through && found.kind == DetailKind::Pocket) ||
             (truth.through && found.kind == DetailKind::Window && found.dimensions.diameter);
    case DrawnKind::Undercut:
      return found.kind == DetailKind::Undercut;
  }
  return false;
}

/// What differs, empty when nothing does.
std::string differences(const draw::DrawnDetail& truth, const detail::Detail& found, double heightSlack) {
  std::ostringstream text;
  const auto compare = [&](const char* what, std::optional<Length> a, std::optional<Length> b) {
    if (!a) return;
    if (!b) {
      text << " no " << what;
    } else if (std::abs(toMm(*a) - toMm(*b)) > kSize) {
      text << " " << what << " " << toMm(*b) << " for " << toMm(*a);
    }
  };
  const detail::Dimensions& d = found.dimensions;
  if (truth.height && d.height && std::abs(toMm(*truth.height) - toMm(*d.height)) > heightSlack) {
    text << " height " << toMm(*d.height) << " for " << toMm(*truth.height);
  }
  compare("depth", truth.depth, d.depth);
  compare("diameter", truth.diameter, d.diameter);
  // Whatever was drawn as its width, the longer side is the length.
  if (truth.length && truth.width) {
    compare("length", std::max(*truth.length, *truth.width), d.length);
    compare("width", std::min(*truth.length, *truth.width), d.width);
  } else {
    compare("width", truth.width, d.width);
  }
  if (truth.cornerRadius && toMm(*truth.cornerRadius) > 0) compare("corner radius", truth.cornerRadius, d.cornerRadius);
  compare("root radius", truth.rootRadius, d.rootRadius);
  compare("counter diameter", truth.counterDiameter, d.counterDiameter);
  compare("counter depth", truth.counterDepth, d.counterDepth);
  if (truth.angle && (!d.angle || std::abs(truth.angle->rad - d.angle->rad) > 1e-4)) text << " angle";
  if (truth.through != found.through) text << " through";
  return text.str();
}

/// A region of the plate frame in part coordinates; the part was drawn with its plate in xy.
Region inPart(const Region& region, const Frame& partToPlate) {
  std::vector<Ring> rings = region.rings;
  for (Ring& ring : rings) {
    for (Vec2& p : ring) p = partToPlate.applyBack({p.x, p.y, 0}).xy();
  }
  return clean(rings);
}

struct Tally {
  int drawn{}, found{}, invented{}, unowned{}, faces{}, facesRight{};
  std::ostringstream text;
};

void checkDrawn(const draw::Drawn& drawn, const std::string& label, const draw::StepOptions& step, Tally& tally,
                bool crowned = false) {
  const std::string path = (std::filesystem::temp_directory_path() /
                            ("chipledger-detail-" + std::to_string(::getpid()) + "-" + label + ".step"))
                               .string();
  ASSERT_TRUE(draw::writeStep(drawn, path, step));
  auto part = part::readPart(path);
  ASSERT_TRUE(part) << sentence(part.error());
  if (!std::getenv("CHIPLEDGER_KEEP")) std::filesystem::remove(path);
  part::Body& body = part->bodies.front();
  std::vector<std::string> drawnAs;
  for (part::Face& f : body.faces) {
    drawnAs.push_back(f.name);
    f.name.clear();
  }
  const auto plan = setup::planSetups(body);
  ASSERT_TRUE(plan);
  const auto details = detail::findDetails(body, *plan);
  ASSERT_TRUE(details);
  for (const int owner : details->faceDetail) tally.unowned += owner < 0;
  std::vector<char> used(details->list.size(), 0);
  std::map<std::string, int> foundAs;
  for (const draw::DrawnDetail& truth : drawn.details) {
    ++tally.drawn;
    std::string note = " nothing there";
    bool good = false;
    // A round recess about a bore is that bore's counterbore, whichever of the two words it was drawn with.
    for (std::size_t k = 0; k < details->list.size() && truth.diameter && truth.depth && !good; ++k) {
      const detail::Detail& d = details->list[k];
      good = d.kind == DetailKind::Bore && d.dimensions.counterDiameter && d.dimensions.counterDepth &&
             norm(d.dimensions.centre->xy() - truth.centre_mm.xy()) < kPlace &&
             std::abs(toMm(*d.dimensions.counterDiameter) - toMm(*truth.diameter)) < kSize &&
             std::abs(toMm(*d.dimensions.counterDepth) - toMm(*truth.depth)) < kSize;
      if (good) foundAs[truth.name] = static_cast<int>(k);
    }
    for (std::size_t k = 0; k < details->list.size() && !good; ++k) {
      const detail::Detail& d = details->list[k];
      if (used[k] || !answers(truth, d) || !d.dimensions.centre) continue;
      const Vec2 at = d.dimensions.centre->xy();
      // Bent and many-cornered shapes have no middle that two descriptions must share: their footprints must overlap.
      const bool exact = truth.diameter || truth.length;
      const Region common = intersect(truth.footprint, inPart(d.footprint, plan->partToPlate));
      if (exact ? norm(at - truth.centre_mm.xy()) > kPlace : area(common) < 0.8 * area(truth.footprint)) continue;
      if (!exact && std::abs(d.dimensions.centre->z - truth.centre_mm.z) > kPlace) continue;
      note = differences(truth, d, crowned ? kCrestCutAway : kSize);
      if (!note.empty()) {
        note = " as " + d.name + ":" + note;
        continue;
      }
      used[k] = 1;
      foundAs[truth.name] = static_cast<int>(k);
      good = true;
    }
    tally.found += good;
    if (!good)
      tally.text << label << " " << draw::word(truth.kind) << " " << truth.name << " at " << truth.centre_mm.x << ","
                 << truth.centre_mm.y << note << "\n";
  }
  for (std::size_t f = 0; f < drawnAs.size(); ++f) {
    const int owner = details->faceDetail[f];
    if (owner < 0 || drawnAs[f].empty()) continue;
    const detail::Detail& d = details->list[static_cast<std::size_t>(owner)];
    const bool edge = d.kind == DetailKind::Chamfer || d.kind == DetailKind::Round;
    const int grown = edge ? d.parent : owner;
    const DetailKind grownKind = grown < 0 ? DetailKind::Body : details->list[static_cast<std::size_t>(grown)].kind;
    bool right = foundAs.contains(drawnAs[f]) && foundAs[drawnAs[f]] == grown;
    if (drawnAs[f] == "outline") right = d.kind == DetailKind::Outline;
    if (drawnAs[f] == "outer face" || drawnAs[f] == "back face")
      right = d.kind == DetailKind::Body || d.kind == DetailKind::CarvedFace;
    if (drawnAs[f] == "outer edge" || drawnAs[f] == "back edge") right = edge && grownKind == DetailKind::Outline;
    ++tally.faces;
    tally.facesRight += right;
    if (!right) tally.text << label << " face " << f << " of " << drawnAs[f] << " went to " << d.name << "\n";
  }
  for (std::size_t k = 0; k < details->list.size(); ++k) {
    const detail::Detail& d = details->list[k];
    if (used[k] || d.kind == DetailKind::Body || d.kind == DetailKind::Outline ||
        (d.kind == DetailKind::CarvedFace && crowned) || d.kind == DetailKind::Chamfer || d.kind == DetailKind::Round)
      continue;
    ++tally.invented;
    tally.text << label << " invented or wrong: " << d.name << "\n";
  }
}

void check(std::uint32_t seed, const chipledger::testing::RandomChassisOptions& options,
           const draw::DrawOptions& drawOptions, const draw::StepOptions& step, Tally& tally) {
  const auto drawn = draw::drawChassis(chipledger::testing::randomChassis(seed, options), drawOptions);
  if (!drawn) {
    ADD_FAILURE() << "seed " << seed << " not drawn: " << sentence(drawn.error());
    return;
  }
  checkDrawn(*drawn, "seed-" + std::to_string(seed), step, tally);
}

}  // namespace

TEST(RandomChassis, EveryDetailIsFoundAgain) {
  const int count = std::getenv("CHIPLEDGER_SEEDS") ? std::atoi(std::getenv("CHIPLEDGER_SEEDS")) : kSeeds;
  Tally tally;
  const int only = std::getenv("CHIPLEDGER_SEED") ? std::atoi(std::getenv("CHIPLEDGER_SEED")) : 0;
  for (int seed = 1; seed <= count; ++seed) {
    if (only && seed != only) continue;
    check(static_cast<std::uint32_t>(seed), {}, {}, {}, tally);
    if (HasFatalFailure()) FAIL() << "seed " << seed;
  }
  std::cout << "found " << tally.found << " of " << tally.drawn << ", invented " << tally.invented << "; faces "
            << tally.facesRight << " of " << tally.faces << "\n";
  EXPECT_GE(tally.found, 0.99 * tally.drawn) << tally.text.str();
  EXPECT_EQ(tally.invented, 0) << tally.text.str();
  EXPECT_EQ(tally.unowned, 0);
  EXPECT_GE(tally.facesRight, 0.999 * tally.faces) << tally.text.str();
}

TEST(RandomChassis, HoweverTheFileIsWritten) {
  struct Way {
    const char* name;
    draw::DrawOptions draw;
    draw::StepOptions step;
  };
  draw::DrawOptions halves;
  halves.halfCylinders = true;
  draw::StepOptions inch, old;
  inch.unit = draw::FileUnit::Inch;
  old.schema = draw::StepSchema::Ap203;
  for (const Way& way : {Way{"half cylinders", halves, {}}, Way{"inch", {}, inch}, Way{"AP203", {}, old}}) {
    Tally tally;
    for (std::uint32_t seed = 301; seed <= 303; ++seed) {
      check(seed, {}, way.draw, way.step, tally);
      if (HasFatalFailure()) FAIL() << way.name << " seed " << seed;
    }
    EXPECT_EQ(tally.found, tally.drawn) << way.name << "\n" << tally.text.str();
    EXPECT_EQ(tally.invented, 0) << way.name << "\n" << tally.text.str();
  }
}

TEST(RandomChassis, WrittenAsSplines) {
  Tally tally;
  draw::StepOptions step;
  step.asSplines = true;
  for (std::uint32_t seed = 305; seed <= 307; ++seed) {
    check(seed, {}, {}, step, tally);
    if (HasFatalFailure()) FAIL() << "seed " << seed;
  }
  EXPECT_EQ(tally.found, tally.drawn) << tally.text.str();
  EXPECT_EQ(tally.invented, 0) << tally.text.str();
}

TEST(ShippedSamples, EveryDetailIsFoundAgain) {
  Tally tally;
  for (const auto& entry : std::filesystem::directory_iterator(std::string(CHIPLEDGER_SOURCE_DIR) + "/step_samples")) {
    if (entry.path().extension() != ".toml") continue;
    const auto chassis = draw::readChassis(entry.path().string());
    if (!chassis) continue;  // the folder may hold other descriptions
    const auto drawn = draw::drawChassis(*chassis);
    ASSERT_TRUE(drawn) << sentence(drawn.error());
    checkDrawn(*drawn, entry.path().stem().string(), {}, tally, chassis->crown.has_value());
    if (HasFatalFailure()) FAIL() << entry.path();
  }
  std::cout << "found " << tally.found << " of " << tally.drawn << ", invented " << tally.invented << "; faces "
            << tally.facesRight << " of " << tally.faces << "\n";
  EXPECT_EQ(tally.found, tally.drawn) << tally.text.str();
  EXPECT_EQ(tally.invented, 0) << tally.text.str();
}
