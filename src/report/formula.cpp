#include "report/formula.hpp"

#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include "report/sheet_parts.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using estimate::Estimate;

// Puts values into words and keeps which they were.
class Filler {
public:
  explicit Filler(const Assumptions& all) : all_(all) {}

  std::string value(const std::string& name) {
    const auto it = std::find_if(all_.begin(), all_.end(), [&](const Assumption& a) { return a.name == name; });
    if (it == all_.end()) return name;
    const bool there = std::any_of(used_.begin(), used_.end(), [&](const Assumption& a) { return a.name == it->name; });
    if (!there) used_.push_back(*it);
    return trimmed(it->value, 4);
  }
  Assumptions used() && { return std::move(used_); }

private:
  const Assumptions& all_;
  Assumptions used_;
};

std::string countedText(int batch, int piecesPerSet) {
  return piecesPerSet > 1 ? "(" + std::to_string(batch) + " sets \u00d7 " + std::to_string(piecesPerSet) + " pieces)"
                          : std::to_string(batch) + " pieces";
}

std::string metalWords(const PriceFacts& f, Filler& fill) {
  const std::string handling = fill.value("blank.handling_share");
  if (!f.mass_kg)
    return "Mass of the blank, cut from " + f.plate + ", \u00d7 price per kg of that plate \u00d7 (1 + " + handling +
           " for handling)";
  return "Mass of the blank \u00d7 price per kg \u00d7 (1 + handling): " + fixed(*f.mass_kg, 4) + " kg \u00d7 " +
         fill.value("plate.price_per_kg") + " \u00d7 (1 + " + handling + ")";
}

std::string peopleWords(const PriceFacts& f, Filler& fill) {
  const std::string attended = fill.value("rates.attended_share"), machinist = fill.value("rates.machinist_per_hour"),
                    bench = fill.value("rates.bench_per_hour");
  std::string out = "Attended share of machine time (" + trimmed(f.machine_min, 2) + " min \u00d7 " + attended +
                    "), loading and checking, all / 60 \u00d7 " + machinist + ", and bench minutes / 60 \u00d7 " +
                    bench + "; hand work learns over the batch";
  if (f.hands_min) out += "; all hands " + trimmed(*f.hands_min, 2) + " min, bench in it";
  return out;
}

std::string setupWords(const PriceFacts& f, Filler& fill) {
  return "Setups \u00d7 minutes per batch \u00d7 (machine + machinist) / pieces: " + std::to_string(f.setups) +
         " \u00d7 " + fill.value("hands.setup_per_batch_min") + " / 60 \u00d7 (" +
         fill.value("rates.machine_per_hour") + " + " + fill.value("rates.machinist_per_hour") + ") / " + f.counted;
}

std::string fixtureWords(const PriceFacts& f, Filler& fill) {
  const std::string machinist = fill.value("rates.machinist_per_hour");
  const std::string words =
      "(Hours once per design \u00d7 machinist + bought) \u00d7 plates they are paid for / pieces";
  if (!f.once_h) return words + ", at " + machinist + " an hour, over " + f.counted;
  return words + ": (" + trimmed(*f.once_h, 2) + " h \u00d7 " + machinist + " + " + moneyText(f.boughtOnce) +
         ") \u00d7 " + trimmed(f.platesOnce, 3) + " / " + f.counted;
}

}  // namespace

PriceFacts factsOf(const Estimate& e, std::size_t batch) {
  PriceFacts f;
  const estimate::BatchPrice& b = e.batches[batch];
  f.batch = b.size;
  f.counted = countedText(b.size, e.piecesPerSet);
  f.lines = b.lines;
  ledger::Minutes machine;
  for (const estimate::SetupResult& s : e.setups) machine += s.machine;
  f.machine_min = minutesOf(machine.likely);
  f.setups = static_cast<int>(e.setups.size());
  f.mass_kg = e.blank.mass_g / 1000;
  if (batch == referenceBatch(e) && e.ledger.hands().ns > 0) f.hands_min = minutesOf(e.ledger.hands());
  f.once_h = minutesOf(e.once.hands) / 60;
  f.boughtOnce = e.once.bought;
  f.platesOnce = e.once.plates;
  f.scrapShare = e.scrapShare;
  for (const estimate::CutterUse& use : e.cutters)
    f.cutters += (f.cutters.empty() ? "" : " + ") + use.cutter.id + " " + trimmed(use.shareUsed, 4) + " \u00d7 " +
                 moneyText(use.cutter.price) + " \u00d7 (1 + " + trimmed(use.breakage, 3) + ")";
  f.plate = mmText(e.blank.step) + " mm plate";
  f.values = allValues(e);
  return f;
}

PriceFacts factsOf(const vary::Table& table, const vary::Row& row, const Assumptions& drawn, int piecesPerSet) {
  PriceFacts f;
  f.batch = row.batch;
  f.values = drawn;
  for (std::size_t a = 0; a < table.axes.size() && a < row.at.size(); ++a) {
    const std::string& key = table.axes[a].key;
    if (!key.starts_with("shop.")) continue;
    const std::string name = key.substr(5);
    if (name == "pieces_per_set") piecesPerSet = static_cast<int>(row.at[a]);
    for (Assumption& v : f.values)
      if (v.name == name) v = {name, row.at[a], v.unit, From::Entered, "varied here"};
  }
  // The price by weight belongs to a thickness.
  std::erase_if(f.values, [](const Assumption& v) { return v.name == "plate.price_per_kg"; });
  f.counted = countedText(row.batch, piecesPerSet);
  f.lines = row.lines;
  f.machine_min = minutesOf(row.machine);
  f.hands_min = minutesOf(row.hands);
  f.setups = row.setups;
  for (const std::string& id : row.cutters) f.cutters += (f.cutters.empty() ? "" : ", ") + id;
  f.plate = mmText(row.plate) + " mm plate";
  return f;
}

Formula lineFormula(const PriceFacts& f, ledger::Line line) {
  using ledger::Line;
  Filler fill(f.values);
  std::string out;
  switch (line) {
    case Line::Metal:
      out = metalWords(f, fill);
      break;
    case Line::Machine:
      out = "Likely machine minutes \u00d7 machine rate: " + trimmed(f.machine_min, 2) + " min / 60 \u00d7 " +
            fill.value("rates.machine_per_hour");
      break;
    case Line::People:
      out = peopleWords(f, fill);
      break;
    case Line::Cutters:
      out = "Share of each cutter used up \u00d7 its price \u00d7 (1 + broken for each one worn out): " + f.cutters;
      break;
    case Line::Setup:
      out = setupWords(f, fill);
      break;
    case Line::Fixture:
      out = fixtureWords(f, fill);
      break;
    case Line::Scrap:
      out = "s / (1 - s) \u00d7 (metal + " + fill.value("scrap.spent_when_lost_share") +
            " of what the machine, its people and cutters cost), s the share of pieces lost" +
            (f.scrapShare ? " = " + trimmed(*f.scrapShare, 4) : std::string{});
      break;
    case Line::Overhead:
      out = fill.value("rates.overhead_share") + " of everything above";
      break;
  }
  return {out + " = " + moneyText(f.lines[static_cast<std::size_t>(line)]) + ".", std::move(fill).used()};
}

std::string valueItems(const Assumptions& values) {
  std::string out;
  for (const Assumption& a : values)
    out += "<li>" + escaped(a.name) + " = " + trimmed(a.value, 4) + " " + escaped(a.unit) + " " + fromMark(a.from) +
           " " + escaped(a.source) + "</li>";
  return out;
}

std::string lineByLine(const PriceFacts& f) {
  std::string lines;
  Assumptions used;
  for (std::size_t l = 0; l < f.lines.size(); ++l) {
    if (f.lines[l].micros == 0) continue;
    const Formula formula = lineFormula(f, ledger::kLines[l]);
    lines += "<li><b>" + std::string(ledger::word(ledger::kLines[l])) + " " + moneyText(f.lines[l]) +
             "</b>: " + escaped(formula.words) + "</li>";
    for (const Assumption& a : formula.values)
      if (std::none_of(used.begin(), used.end(), [&](const Assumption& b) { return b.name == a.name; }))
        used.push_back(a);
  }
  return (lines.empty() ? "" : "<ul>" + lines + "</ul>") + openedValues(used);
}

const char* bandWords() {
  return "A hundred prices of this piece with everything guessed moved together, each inside its own range: low is the "
         "tenth of them, high the ninetieth.";
}

}  // namespace chipledger::report
