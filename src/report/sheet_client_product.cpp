#include <chipledger/report/cautions.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/number.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/route/client.hpp>

#include "report/page.hpp"
#include "report/sheet_parts.hpp"
#include "report/sheet_readers.hpp"

#include <algorithm>

namespace chipledger::report {

namespace {

using route::ClientOption;
using route::ClientPrice;
using route::ProductResult;

std::string priceText(Money price) { return trimmed(toUnits(price), 2); }

// An option without a name is the product itself.
std::string nameOf(const ProductResult& p, const ClientOption& option) {
  return escaped(option.name.empty() ? p.name : option.name);
}

std::string optionsTable(const ProductResult& p, const std::vector<ClientOption>& options) {
  const std::vector<ClientPrice>& sizes = options.front().prices;
  std::vector<HtmlTable::Head> heads{{"option", ""}};
  for (const ClientPrice& size : sizes)
    heads.push_back({std::to_string(size.sets) + (size.sets == 1 ? " tool" : " tools"), p.currency + " each"});
  HtmlTable table("Price of one tool when this many are ordered together, before sales tax", heads);
  table.column(0, " class=\"wrap\"");
  for (const ClientOption& option : options) {
    std::vector<std::string> cells{option.listed ? "<strong>" + nameOf(p, option) + "</strong>" : nameOf(p, option)};
    for (const ClientPrice& size : sizes) {
      const auto price = std::find_if(option.prices.begin(), option.prices.end(),
                                      [&](const ClientPrice& c) { return c.sets == size.sets; });
      cells.push_back(price == option.prices.end() ? "\u2013"
                      : option.listed              ? "<strong>" + priceText(price->price) + "</strong>"
                                                   : priceText(price->price));
    }
    table.row(cells);
  }
  return table.markup();
}

std::string deliveryTable(const ClientOption& listed) {
  HtmlTable table("Ready after the order", {{"tools", ""}, {"weeks", ""}});
  std::size_t rows = 0;
  for (const ClientPrice& c : listed.prices) {
    if (c.weeks.high <= 0) continue;
    table.row({std::to_string(c.sets),
               trimmed(std::max(1.0, std::floor(c.weeks.low)), 0) + " to " + trimmed(std::ceil(c.weeks.high), 0)});
    ++rows;
  }
  return rows == 0 ? "" : table.markup();
}

// What a set holds, by name alone.
std::string chosen(const ProductResult& p) {
  const route::VariantResult& v = p.variants[route::listedVariant(p)];
  std::string items;
  for (const route::MilledPiece& m : v.milled)
    items += "<li>" + escaped(m.name) + ", " +
             (m.piecesPerSet > 1 ? std::to_string(m.piecesPerSet) + " pieces, " : "") + "milled from " +
             escaped(m.material) + "</li>\n";
  for (const route::PartOrder& part : v.buy.parts) items += "<li>" + escaped(part.name) + "</li>\n";
  return "<ul class=\"caution\">\n" + items + "</ul>\n";
}

}  // namespace

std::string clientProductSheet(const ProductResult& p, const SheetOptions& options) {
  Page page;
  page.title = p.name;
  const std::vector<ClientOption> asked = route::clientOptions(p);
  if (asked.empty()) {
    page.main = "<p>No price can be asked: nothing of it would be kept.</p>\n";
    return pageHtml(page, options);
  }
  page.main = "<div class=\"first below\">\n<section>\n<h2>Options</h2>\n" + optionsTable(p, asked) +
              "<p class=\"note\">In steps of " + trimmed(p.terms.priceStep, 2) + " " + escaped(p.currency) +
              (p.terms.salesTax > 0 ? ", before sales tax of " + percentText(p.terms.salesTax) : std::string{}) +
              ". An estimate, not a quote: what a tool may cost once drawing, finish and quantity are settled.</p>\n"
              "</section>\n<section>\n<h2>" +
              std::string(kWhatYouChose) + "</h2>\n" + chosen(p) + deliveryTable(asked.front()) +
              "</section>\n</div>\n";
  page.main +=
      section(kCautions, std::string("<ul class=\"caution\">\n<li>") + escaped(lockCaution()) + "</li>\n</ul>\n");
  return pageHtml(page, options);
}

}  // namespace chipledger::report
