#include "commands.hpp"
#include "output.hpp"

#include <chipledger/report/pages.hpp>
#include <chipledger/report/route.hpp>
#include <chipledger/route/load.hpp>
#include <chipledger/route/price_product.hpp>
#include <chipledger/shop/load.hpp>

#include <algorithm>

namespace chipledger::cli {

namespace {

Result<shop::Shop> shopOf(const Options& options, const route::Product& product) {
  if (!options.shopFile.empty()) return shop::loadShop(options.shopFile);
  if (product.shopFile.empty()) return shop::builtInShop();
  auto shop = shop::loadShop(product.shopFile);
  if (shop) return shop;
  Fault f = shop.error();
  f.what = "The shop file that " + product.file + " names: " + f.what;
  return tl::make_unexpected(f);
}

Result<route::RouteOptions> askedFor(const Options& options, const route::Product& product) {
  route::RouteOptions asked;
  if (!options.batches.empty()) {
    auto sizes = parseBatches(options.batches);
    if (!sizes) return tl::make_unexpected(sizes.error());
    asked.batches = *sizes;
  }
  auto cell = parseCell(options.cell);
  if (!cell) return tl::make_unexpected(cell.error());
  asked.cell_um = *cell;
  asked.mostCells = mostCells(options);
  if (options.batchAsked > 0) asked.sets = options.batchAsked;
  for (const std::string& text : options.whatIfs) {
    auto changes = route::readChanges(text);
    if (!changes) return tl::make_unexpected(changes.error());
    asked.whatIfs.push_back(std::move(*changes));
  }
  asked.variant = options.variant;
  if (options.targetList > 0) asked.targetList = money(options.targetList);
  asked.advice = options.advice || asked.targetList || product.terms.targetList;
  return asked;
}

/// 4 when something is left out or open.
int opennessOf(const route::ProductResult& result) {
  constexpr int kLeftOutOrOpen = 4;
  const auto open = [](const Notes& notes) {
    return std::any_of(notes.begin(), notes.end(), [](const Note& n) {
      return n.severity == NoteSeverity::LeftOut || n.code == "open-questions" || n.code == "nobody-for-it";
    });
  };
  bool any = open(result.notes);
  for (const route::VariantResult& v : result.variants) any = any || open(v.notes);
  return any ? kLeftOutOrOpen : 0;
}

}  // namespace

int runRoute(const Options& options) {
  if (options.starter) return print(route::starterProduct()), 0;
  if (options.starterRoutes) return print(route::builtInRoutesFile()), 0;
  if (options.product.empty())
    return failed({FaultCode::Usage, "PRODUCT", "No product file is given.",
                   "Give a TOML file; chipledger route --starter prints one."});
  const auto file = route::loadProduct(options.product);
  if (!file) return failed(file.error());
  const auto shop = shopOf(options, file->product);
  if (!shop) return failed(shop.error());
  auto asked = askedFor(options, file->product);
  if (!asked) return failed(asked.error());
  const auto sheet = sheetOptions(*shop, options);
  if (!sheet) return failed(sheet.error());
  if (sheet->reader == report::Reader::Machinist)
    return failed({FaultCode::Usage, "--sheet machinist", "A product has no sheet for the machinist.",
                   "Its parts have: chipledger price PART.step --sheet machinist."});
  Progress progress(options.quiet);
  asked->progress = [&](const std::string& step, int done, int of) { progress.show(step, done, of); };
  asked->read = [&](const std::string& step) {
    Options one = options;
    one.part = step;
    return read(one, progress);
  };
  const auto result = route::priceProduct(file->product, file->routes, *shop, *asked);
  if (!result) return failed(result.error());
  for (const auto& [path, make] : {std::pair{options.json, &report::routeJson}, {options.csv, &report::routeCsv}}) {
    if (path.empty()) continue;
    if (const auto done = writeFile(path, make(*result)); !done) return failed(done.error());
  }
  if (!options.report.empty())
    if (const auto done = writeFile(options.report, report::routeHtml(*result, *sheet)); !done)
      return failed(done.error());
  if (!options.quiet && options.json != "-" && options.csv != "-") print(report::renderRoute(*result, terminal()));
  return opennessOf(*result);
}

}  // namespace chipledger::cli
