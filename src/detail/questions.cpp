#include "detail/questions.hpp"

#include <fmt/format.h>

namespace chipledger::detail {

void addQuestions(Details& details, const RecogniseOptions&) {
  std::string bores;
  for (const Detail& d : details.list) {
    const bool bore = d.kind == DetailKind::Bore || d.kind == DetailKind::Thread || d.kind == DetailKind::Seat;
    if (!bore) continue;
    if (d.kind != DetailKind::Thread && !d.thread.empty()) {
      details.questions.push_back(
          {d.name + ".thread", d.name,
           fmt::format("Is this bore of {:.2f} mm an {} thread?", toMm(*d.dimensions.diameter), d.thread),
           "a plain bore, not tapped"});
    } else if (d.kind == DetailKind::Thread && d.thread.empty()) {
      details.questions.push_back(
          {d.name + ".thread", d.name,
           fmt::format("Which thread does this bore of {:.2f} mm carry?", toMm(*d.dimensions.diameter)),
           "the coarse thread whose tap drill is nearest"});
    }
    if (d.hint == "tight") continue;
    bores += (bores.empty() ? "" : ", ") + d.name;
  }
  if (!bores.empty()) {
    details.questions.push_back({"part.tight-bores", "",
                                 fmt::format("Which bores are tight (reamed, gauged): {}?", bores),
                                 "none; all within 0.05 mm as drilled"});
  }
  bool cosmetic = false;
  for (const Detail& d : details.list) cosmetic = cosmetic || d.hint == "cosmetic";
  if (!cosmetic) {
    details.questions.push_back(
        {"part.seen-side", "", "Which side is seen on the finished tool: outer, back, both or none?", "outer"});
  }
  details.questions.push_back({"part.mate", "",
                               "Is the second plate of a set the same, a mirror of this one, or another drawing?",
                               "the same"});
}

}  // namespace chipledger::detail
