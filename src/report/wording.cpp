#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include <algorithm>
#include <numeric>

namespace chipledger::report {

namespace {

using estimate::Estimate;

constexpr From kGuessedFirst[] = {From::Guessed, From::Table, From::Entered, From::Clocked};
constexpr From kFromOrder[] = {From::Entered, From::Table, From::Guessed, From::Clocked};

std::size_t countOf(const Assumptions& all, From from) {
  return static_cast<std::size_t>(
      std::count_if(all.begin(), all.end(), [&](const Assumption& a) { return a.from == from; }));
}

const std::vector<std::string>& prefixesOf(ledger::Line line) {
  using ledger::Line;
  static const std::vector<std::string> metal{"plate", "blank"};
  static const std::vector<std::string> machine{"machine.",
                                                "rates.machine_per_hour",
                                                "hands.roughing_derate",
                                                "practice",
                                                "speed",
                                                "chip load",
                                                "axial step",
                                                "radial step",
                                                "material",
                                                "reach",
                                                "thin"};
  static const std::vector<std::string> people{"rates.machinist", "rates.bench",   "rates.attended", "hands.load",
                                               "hands.bow",       "hands.reclamp", "bench"};
  static const std::vector<std::string> cutters{"cutter.", "tool life", "life", "chipping", "breakage"};
  static const std::vector<std::string> setup{"hands.setup_per_batch", "rates.machinist"};
  static const std::vector<std::string> fixture{"once", "rates.machinist"};
  static const std::vector<std::string> scrap{"scrap"};
  static const std::vector<std::string> overhead{"rates.overhead"};
  switch (line) {
    case Line::Metal:
      return metal;
    case Line::Machine:
      return machine;
    case Line::People:
      return people;
    case Line::Cutters:
      return cutters;
    case Line::Setup:
      return setup;
    case Line::Fixture:
      return fixture;
    case Line::Scrap:
      return scrap;
    case Line::Overhead:
      return overhead;
  }
  return metal;
}

std::string joined(const std::vector<std::string>& parts, const std::string& between) {
  std::string out;
  for (const std::string& part : parts) out += (out.empty() ? "" : between) + part;
  return out;
}

std::string costSentence(const estimate::Estimate& e) {
  const estimate::BatchPrice& b = e.batches[referenceBatch(e)];
  std::string out = moneyRounded(b.perPiece) + " " + e.currency + " a piece in a batch of " + std::to_string(b.size) +
                    (e.piecesPerSet > 1 ? " sets of " + std::to_string(e.piecesPerSet) : "");
  std::vector<std::string> others;
  for (const estimate::BatchPrice& other : e.batches) {
    if (other.size != b.size) others.push_back(moneyRounded(other.perPiece) + " at " + std::to_string(other.size));
  }
  if (!others.empty()) out += "; " + joined(others, ", ");
  return out + ".";
}

std::string becauseSentence(const estimate::Estimate& e) {
  constexpr std::size_t kLinesNamed = 3;
  const estimate::BatchPrice& b = e.batches[referenceBatch(e)];
  std::vector<std::size_t> order(b.lines.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t i, std::size_t j) { return b.lines[i] > b.lines[j]; });
  std::vector<std::string> parts;
  for (std::size_t i = 0; i < kLinesNamed; ++i) {
    if (b.lines[order[i]].micros > 0) {
      parts.push_back(std::string(ledger::word(ledger::kLines[order[i]])) + " " + moneyRounded(b.lines[order[i]]));
    }
  }
  std::string out = joined(parts, ", ");
  if (e.blankVolume.um3 > 0) {
    out += (out.empty() ? "" : "; ") + percentText(mm3Of(e.removed) / mm3Of(e.blankVolume)) + " of the " +
           mmText(e.blank.step) + " mm plate is cut away";
  }
  return out + ".";
}

// What a price is made of, in one clause: "island-1, 40.4 EUR of it: 6.35 plate instead of 2.54".
std::string clause(const std::string& name, Money money, const std::string& currency, const std::string& why) {
  return name + ", " + moneyRounded(money) + " " + currency + " of it" + (why.empty() ? "" : ": " + why) + ".";
}

std::string dearestSentence(const Estimate& e, const std::vector<std::size_t>& order) {
  const std::size_t batch = referenceBatch(e);
  const estimate::DetailPrice* alone = order.empty() ? nullptr : &e.detailPrices[order.front()];
  const estimate::Difference* single = alone == nullptr ? nullptr : differenceAt(*alone, batch);
  const estimate::GroupPrice* group = nullptr;
  for (const estimate::GroupPrice& g : e.groups) {
    const estimate::Difference* d = differenceAt(g.withMinusWithout, batch);
    if (d == nullptr || (single != nullptr && d->money <= single->money)) continue;
    if (group == nullptr || d->money > differenceAt(group->withMinusWithout, batch)->money) group = &g;
  }
  if (single == nullptr && group == nullptr) return "No detail was priced by taking it away.";
  std::string out;
  if (group != nullptr) {
    out =
        clause(group->name + " together", differenceAt(group->withMinusWithout, batch)->money, e.currency, group->why);
    out.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(out.front())));
  }
  if (single != nullptr) {
    if (!out.empty()) out += " Alone: ";
    out += clause(e.details.list[static_cast<std::size_t>(alone->detail)].name, single->money, e.currency, alone->why);
  }
  return out;
}

std::string changeSentence(const estimate::Estimate& e, const std::vector<std::size_t>& order) {
  constexpr std::size_t kChangesNamed = 3;
  const std::size_t batch = referenceBatch(e);
  std::vector<std::string> parts;
  for (const estimate::Advice& advice : e.advice) {
    const estimate::Difference* saves = differenceAt(advice.saves, batch);
    if (saves == nullptr || saves->money.micros <= 0 || parts.size() == kChangesNamed) continue;
    parts.push_back(advice.change + ", which saves " + moneyRounded(saves->money));
  }
  // Without advice: what leaving out the dearest would bring.
  for (std::size_t i = 0; e.advice.empty() && i < order.size() && parts.size() < kChangesNamed; ++i) {
    const estimate::DetailPrice& price = e.detailPrices[order[i]];
    const estimate::Difference* difference = differenceAt(price, batch);
    if (difference == nullptr || difference->money.micros <= 0) continue;
    if (!canBeLeftOut(e.details.list[static_cast<std::size_t>(price.detail)].kind)) continue;
    parts.push_back("without " + e.details.list[static_cast<std::size_t>(price.detail)].name + " a piece costs " +
                    moneyRounded(e.batches[batch].perPiece - difference->money));
  }
  std::string out = joined(parts, "; ");
  if (e.blank.listed && toMm(e.blank.leftBeforeNextStep) > 0 && toMm(e.blank.step) > 0) {
    out += (out.empty() ? "" : "; ") + std::string("the part may grow ") + mmText(e.blank.leftBeforeNextStep) +
           " mm in height before the next plate";
  }
  if (out.empty()) return "Nothing stands out.";
  out.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(out.front())));
  return out + ".";
}

std::string doubtSentence(const Estimate& e) {
  std::string out;
  if (!e.doubts.empty()) out += "Most in doubt: " + e.doubts.front().name + ", " + e.doubts.front().range + ". ";
  std::vector<std::string> parts;
  const Assumptions values = allValues(e);
  if (!values.empty())
    parts.push_back(std::to_string(countOf(values, From::Guessed)) + " of " + std::to_string(values.size()) +
                    " values are guessed");
  const Notes notes = allNotes(e);
  const auto leftOut =
      std::count_if(notes.begin(), notes.end(), [](const Note& n) { return n.severity == NoteSeverity::LeftOut; });
  if (!e.details.questions.empty()) parts.push_back("questions open: " + std::to_string(e.details.questions.size()));
  if (leftOut > 0) parts.push_back("left out of the price: " + std::to_string(leftOut));
  out += joined(parts, ", ");
  if (!parts.empty()) out += ".";
  return out;
}

std::string sureSentence(const estimate::Estimate& e) {
  const estimate::BatchPrice& b = e.batches[referenceBatch(e)];
  std::string out = "Between " + moneyRounded(b.low) + " and " + moneyRounded(b.high);
  if (b.perPiece.micros > 0) out += " (" + bandText(e) + ")";
  const std::string doubt = doubtSentence(e);
  return out + "." + (doubt.empty() ? "" : " " + doubt);
}

}  // namespace

std::string countedIn(const estimate::Estimate& e) { return e.piecesPerSet > 1 ? "sets" : "pieces"; }

std::string countedText(const estimate::Estimate& e, int count) {
  const std::string what = countedIn(e);
  return std::to_string(count) + " " + (count == 1 ? what.substr(0, what.size() - 1) : what);
}

std::string setText(const estimate::Estimate& e, Money perPiece) {
  return moneyText(Money{perPiece.micros * e.piecesPerSet});
}

std::string leftBeforeNextText(const stock::Blank& blank) {
  return blank.listed ? mmText(blank.leftBeforeNextStep) + " mm of height left before the next plate"
                      : "thicker than any plate listed: there is no next one";
}

std::string dimensionText(Length length) { return trimmed(toMm(length), 2); }

std::string dimensionsText(const detail::Dimensions& d) {
  std::vector<std::string> parts;
  const auto length = [&](const std::optional<Length>& value, const std::string& before, const std::string& after) {
    if (value) parts.push_back(before + dimensionText(*value) + after);
  };
  if (d.length && d.width) {
    parts.push_back(dimensionText(*d.length) + " x " + dimensionText(*d.width));
  } else {
    length(d.length, "", " long");
    length(d.width, "", " wide");
  }
  length(d.diameter, "\u00d8", "");
  length(d.height, "", " high");
  length(d.depth, "", " deep");
  length(d.thickness, "", " thick");
  length(d.gap, "gap ", "");
  length(d.cornerRadius, "R", "");
  length(d.rootRadius, "root R", "");
  length(d.counterDiameter, "counter \u00d8", "");
  length(d.counterDepth, "counter ", " deep");
  if (d.angle) parts.push_back(trimmed(toDegrees(*d.angle), 2) + "\u00b0");
  return joined(parts, ", ");
}

std::string directionText(Vec3 direction) {
  const char names[] = {'X', 'Y', 'Z'};
  const double v[] = {direction.x, direction.y, direction.z};
  constexpr double kAlong = 1 - 1e-9;
  for (int i = 0; i < 3; ++i) {
    if (std::abs(v[i]) > kAlong) return std::string(1, names[i]) + (v[i] > 0 ? "+" : "-");
  }
  return trimmed(v[0]) + " " + trimmed(v[1]) + " " + trimmed(v[2]);
}

std::string partTitle(const estimate::Estimate& e) {
  const std::string file = e.file.substr(e.file.find_last_of("/\\") + 1);
  const bool same = e.bodyName.empty() || e.bodyName == file || e.bodyName == file.substr(0, file.rfind('.'));
  return same ? file : file + ", " + e.bodyName;
}

std::string fromWords(const Assumptions& all) {
  std::vector<std::string> parts;
  for (const From from : kFromOrder) {
    if (const std::size_t n = countOf(all, from); n > 0) parts.push_back(std::to_string(n) + " " + word(from));
  }
  return joined(parts, ", ");
}

std::string fromLetters(const Assumptions& all) {
  std::vector<std::string> parts;
  for (const From from : kFromOrder) {
    if (const std::size_t n = countOf(all, from); n > 0)
      parts.push_back(std::string(1, word(from)[0]) + std::to_string(n));
  }
  return joined(parts, " ");
}

std::string fromKey() { return "e entered, t table, g guessed, c clocked; the figure says how many values"; }

Notes allNotes(const Estimate& e) {
  Notes out = e.notes;
  const auto add = [&](const Notes& more) {
    for (const Note& note : more) {
      const bool there = std::any_of(out.begin(), out.end(), [&](const Note& n) {
        return n.code == note.code && n.about == note.about && n.text == note.text;
      });
      if (!there) out.push_back(note);
    }
  };
  add(e.blank.notes);
  add(e.details.notes);
  return out;
}

std::string noteSentence(const Note& note) {
  return note.about.empty() || note.text.starts_with(note.about) ? note.text : note.about + ": " + note.text;
}

Assumptions allValues(const Estimate& e) {
  Assumptions out;
  const auto add = [&](const Assumptions& more) {
    for (const Assumption& a : more) {
      const bool there = std::any_of(out.begin(), out.end(),
                                     [&](const Assumption& b) { return b.name == a.name && b.value == a.value; });
      if (!there) out.push_back(a);
    }
  };
  add(e.assumptions);
  for (const estimate::OperationResult& o : e.operations) add(o.operation.conditions.assumptions);
  return out;
}

Assumptions startingWith(const Assumptions& all, const std::vector<std::string>& prefixes) {
  Assumptions out;
  for (const Assumption& a : all) {
    const bool match =
        std::any_of(prefixes.begin(), prefixes.end(), [&](const std::string& p) { return a.name.starts_with(p); });
    if (match) out.push_back(a);
  }
  return out;
}

Assumptions inputsOf(ledger::Line line, const Assumptions& all) { return startingWith(all, prefixesOf(line)); }

Assumptions guessedFirst(const Assumptions& all) {
  Assumptions out;
  for (const From from : kGuessedFirst) {
    for (const Assumption& a : all)
      if (a.from == from) out.push_back(a);
  }
  return out;
}

const char* word(Age age) {
  switch (age) {
    case Age::Sketch:
      return "sketch";
    case Age::Drawn:
      return "drawn";
    case Age::Mocked:
      return "mocked";
    case Age::Proved:
      return "proved";
    case Age::Run:
      return "run";
  }
  return "sketch";
}

Result<Age> readAge(const std::string& text) {
  for (const Age age : kAges)
    if (text == word(age)) return age;
  return fault(FaultCode::Usage, "--age " + text, "An estimate has no such age.",
               "There are: sketch, drawn, mocked, proved, run.");
}

Age ageOf(const Assumptions& values) {
  if (countOf(values, From::Clocked) > 0) return Age::Mocked;
  return countOf(values, From::Entered) > 0 ? Age::Drawn : Age::Sketch;
}

Age ageOf(const Estimate& e, std::optional<Age> said) { return said.value_or(ageOf(allValues(e))); }

std::string bandText(const Estimate& e) {
  if (e.batches.empty()) return "";
  const estimate::BatchPrice& b = e.batches[referenceBatch(e)];
  if (b.perPiece.micros <= 0) return "";
  const double price = toUnits(b.perPiece);
  return withSign(100 * (toUnits(b.low) / price - 1), 0) + " to " + withSign(100 * (toUnits(b.high) / price - 1), 0) +
         " %";
}

Summary summarise(const estimate::Estimate& e) {
  if (e.batches.empty()) {
    const std::string none = "No batch was priced.";
    return {none, none, none, none, none, ""};
  }
  const std::vector<std::size_t> order = dearestFirst(e);
  return {costSentence(e),          becauseSentence(e), dearestSentence(e, order),
          changeSentence(e, order), sureSentence(e),    doubtSentence(e)};
}

}  // namespace chipledger::report
