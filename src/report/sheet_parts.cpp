#include "report/sheet_parts.hpp"

#include "report/formula.hpp"

#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/wording.hpp>

#include <algorithm>

namespace chipledger::report {

std::string fromMark(From from) {
  const std::string name = word(from);
  return "<span class=\"from " + name + "\">" + name + "</span>";
}

std::string openedMarkup(const std::string& shown, const std::string& body, const std::string& name) {
  return "<details class=\"n\"><summary>" + shown + "</summary><div" + (name.empty() ? "" : attribute("id", name)) +
         ">" + body + "</div></details>";
}

std::string openedValues(const Assumptions& values) {
  constexpr std::size_t kShown = 12;  // the rest stands in the table of values
  static const std::string kAll = "<a href=\"#values\">the values it stands on</a>";
  if (values.empty()) return "<p class=\"all\">" + kAll + "</p>";
  const std::size_t shown = std::min(values.size(), kShown);
  std::string out = "<ul>" + valueItems({values.begin(), values.begin() + static_cast<std::ptrdiff_t>(shown)});
  if (values.size() > shown) out += "<li>and " + std::to_string(values.size() - shown) + " more: " + kAll + "</li>";
  return out + "</ul>";
}

std::string opened(const std::string& shown, const std::string& made, const Assumptions& inputs,
                   const std::string& more, const std::string& name) {
  return openedMarkup(escaped(shown), "<p>" + escaped(made) + "</p>" + more + openedValues(inputs), name);
}

void addOnce(Assumptions& all, const Assumptions& more) {
  for (const Assumption& a : more)
    if (std::none_of(all.begin(), all.end(),
                     [&](const Assumption& b) { return b.name == a.name && b.value == a.value; }))
      all.push_back(a);
}

std::string ageWords(const estimate::Estimate& e, const SheetOptions& options) {
  const std::string band = bandText(e);
  return std::string("age: ") + word(ageOf(e, options.age)) + (band.empty() ? "" : "; band " + band);
}

std::string stackList(const estimate::Stack& lines, const std::string& currency) {
  std::string out = "<ul>";
  for (std::size_t l = 0; l < lines.size(); ++l) {
    if (lines[l].micros == 0) continue;
    out += "<li>" + std::string(ledger::word(ledger::kLines[l])) + " " + moneyText(lines[l]) + " " + escaped(currency) +
           "</li>";
  }
  return out + "</ul>";
}

HtmlTable::HtmlTable(const std::string& caption, const std::vector<Head>& heads) : attributes_(heads.size()) {
  head_ = " tabindex=\"0\" role=\"region\"" + attribute("aria-label", caption) + "><table><caption><span>" +
          escaped(caption) + "</span></caption><thead><tr>";
  for (const Head& head : heads) {
    head_ += "<th scope=\"col\"" + head.attributes + ">" + escaped(head.words) +
             (head.unit.empty() ? "" : "<small>" + escaped(head.unit) + "</small>") + "</th>";
  }
  head_ += "</tr></thead>\n<tbody>\n";
}

void HtmlTable::column(std::size_t index, const std::string& attributes) { attributes_[index] = attributes; }

std::string HtmlTable::cells(const std::vector<std::string>& cells) const {
  std::string out;
  for (std::size_t c = 0; c < cells.size(); ++c) {
    const std::string marks = c < attributes_.size() ? attributes_[c] : std::string{};
    out += c == 0 ? "<th scope=\"row\"" + marks + ">" + cells[c] + "</th>" : "<td" + marks + ">" + cells[c] + "</td>";
  }
  return out;
}

void HtmlTable::row(const std::vector<std::string>& row, const std::string& attributes) {
  ++rows_;
  body_ += "<tr" + attributes + ">" + cells(row) + "</tr>\n";
}

void HtmlTable::foot(const std::vector<std::string>& row, const std::string& attributes) {
  foot_ += "<tr" + attributes + ">" + cells(row) + "</tr>\n";
}

std::string HtmlTable::markup() const {
  constexpr std::size_t kShort = 12;  // rows that stay on one page
  return std::string("<div class=\"scroll") + (rows_ <= kShort ? " short\"" : "\"") + head_ + body_ + "</tbody>" +
         (foot_.empty() ? "" : "<tfoot>\n" + foot_ + "</tfoot>") + "</table></div>\n";
}

}  // namespace chipledger::report
