#include "report/sheet_parts.hpp"

#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>

#include <algorithm>

namespace chipledger::report {

std::string fromMark(From from) {
  const std::string name = word(from);
  return "<span class=\"from " + name + "\">" + name + "</span>";
}

std::string opened(const std::string& shown, const std::string& made, const Assumptions& inputs,
                   const std::string& more) {
  constexpr std::size_t kInputsShown = 10;  // the rest stands in the table of values
  std::string out =
      "<details class=\"n\"><summary>" + escaped(shown) + "</summary><div><p>" + escaped(made) + "</p>" + more;
  if (!inputs.empty()) {
    out += "<ul>";
    for (std::size_t i = 0; i < std::min(inputs.size(), kInputsShown); ++i) {
      const Assumption& a = inputs[i];
      out += "<li>" + escaped(a.name) + " = " + trimmed(a.value, 4) + " " + escaped(a.unit) + " " + fromMark(a.from) +
             " " + escaped(a.source) + "</li>";
    }
    if (inputs.size() > kInputsShown) {
      out += "<li>and " + std::to_string(inputs.size() - kInputsShown) +
             " more in <a href=\"#values\">the values</a></li>";
    }
    out += "</ul>";
  }
  return out + "</div></details>";
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
  head_ = "<div class=\"scroll\" tabindex=\"0\" role=\"region\"" + attribute("aria-label", caption) +
          "><table><caption>" + escaped(caption) + "</caption><thead><tr>";
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
  body_ += "<tr" + attributes + ">" + cells(row) + "</tr>\n";
}

void HtmlTable::foot(const std::vector<std::string>& row, const std::string& attributes) {
  foot_ += "<tr" + attributes + ">" + cells(row) + "</tr>\n";
}

std::string HtmlTable::markup() const {
  return head_ + body_ + "</tbody>" + (foot_.empty() ? "" : "<tfoot>\n" + foot_ + "</tfoot>") + "</table></div>\n";
}

}  // namespace chipledger::report
