#include <chipledger/report/number.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/terminal.hpp>
#include <chipledger/report/wording.hpp>

#include "report/terminal_parts.hpp"

namespace chipledger::report {

namespace {

using estimate::Estimate;

std::string lineByLine(const Estimate& e, const estimate::Difference& difference, const estimate::BatchPrice& with,
                       const TerminalOptions& options) {
  Table table({{"line", "", Align::Left}, {"with", e.currency}, {"without", e.currency}, {"difference", e.currency}});
  for (std::size_t l = 0; l < estimate::kLineCount; ++l) {
    table.add({ledger::word(ledger::kLines[l]), moneyText(with.lines[l]),
               moneyText(with.lines[l] - difference.lines[l]), moneySigned(difference.lines[l])});
  }
  table.rule();
  table.add(
      {"each", moneyText(with.perPiece), moneyText(with.perPiece - difference.money), moneySigned(difference.money)},
      Tone::Strong);
  return table.text(options);
}

std::string batchByBatch(const Estimate& e, const estimate::DetailPrice& price, const TerminalOptions& options) {
  Table table({{countedIn(e), "", Align::Left},
               {"with", e.currency},
               {"without", e.currency},
               {"difference", e.currency},
               {"of the price", ""}});
  for (std::size_t b = 0; b < e.batches.size(); ++b) {
    const estimate::Difference* d = differenceAt(price, b);
    if (d == nullptr) continue;
    const Money with = e.batches[b].perPiece;
    table.add({std::to_string(d->size), moneyText(with), moneyText(with - d->money), moneySigned(d->money),
               with.micros > 0 ? percentText(toUnits(d->money) / toUnits(with)) : ""});
  }
  return table.text(options);
}

}  // namespace

std::string renderDetail(const Estimate& e, int index, const TerminalOptions& options) {
  if (index < 0 || index >= static_cast<int>(e.details.list.size()) ||
      index >= static_cast<int>(e.detailPrices.size())) {
    return paragraph("There is no such detail.", options, 0);
  }
  const detail::Detail& d = e.details.list[static_cast<std::size_t>(index)];
  const estimate::DetailPrice& p = e.detailPrices[static_cast<std::size_t>(index)];
  std::string out = titleText(d.name, partTitle(e) + ", " + kEstimateNotQuote, options);
  out += labelled("kind", detail::word(d.kind), options);
  out += labelled("dimensions", dimensionsText(d.dimensions) + (d.through ? ", through" : ""), options);
  out += labelled("side", detail::word(d.side), options);
  if (!d.hint.empty()) out += labelled("the file says", d.hint, options);
  out += labelled("booked",
                  cm3Text(p.removed) + " cm\u00b3, " + minutesText(p.minutes.lower) + " / " +
                      minutesText(p.minutes.likely) + " / " + minutesText(p.minutes.upper) +
                      " min (lower / likely / upper), " + moneyText(p.booked) + " " + e.currency,
                  options);

  if (p.withMinusWithout.empty()) {
    out +=
        '\n' + paragraph(p.cannot.empty() ? "This detail cannot be taken away from the part, so it has no price of its "
                                            "own; its cost is within the shared cost."
                                          : "This detail cannot be taken away. " + p.cannot,
                         options);
  } else {
    const std::size_t reference = referenceBatch(e);
    out +=
        labelled("machine", withSign(minutesOf(p.machineDifference), 1) + " min a piece with minus without", options);
    if (!p.why.empty()) out += labelled("why", p.why, options, Tone::Strong);
    if (const estimate::Difference* difference = differenceAt(p, reference)) {
      out += headingText("With and without, " + std::to_string(difference->size) + " " + countedIn(e), options);
      out += lineByLine(e, *difference, e.batches[reference], options);
    }
    out += headingText(kByBatch, options);
    out += batchByBatch(e, p, options);
  }

  out += adviceText(e, d.name, options);

  std::vector<detail::Question> questions;
  for (const detail::Question& q : e.details.questions)
    if (q.about == d.name) questions.push_back(q);
  std::string doubts;
  for (const Note& note : allNotes(e))
    if (note.about == d.name) doubts += paragraph(plain(note.text), options, 2, 2);
  if (!doubts.empty()) out += headingText(kDoubts, options) + doubts;
  if (!questions.empty()) out += headingText(kStillToAnswer, options) + questionsText(questions, options);
  return out;
}

}  // namespace chipledger::report
