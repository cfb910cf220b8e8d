#include "commands.hpp"

#include "long_work.hpp"
#include "output.hpp"

#include <chipledger/compare/compare.hpp>
#include <chipledger/cutting/listing.hpp>
#include <chipledger/detail/answers.hpp>
#include <chipledger/draw/drawn.hpp>
#include <chipledger/draw/read_chassis.hpp>
#include <chipledger/motion/calibration.hpp>
#include <chipledger/report/compare.hpp>
#include <chipledger/report/csv.hpp>
#include <chipledger/report/json.hpp>
#include <chipledger/report/pages.hpp>
#include <chipledger/report/plan_svg.hpp>
#include <chipledger/report/sheet_html.hpp>
#include <chipledger/report/terminal.hpp>
#include <chipledger/route/load.hpp>
#include <chipledger/shop/load.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <filesystem>

namespace chipledger::cli {

Result<part::Part> read(const Options& options, Progress& progress) {
  progress.show("reading " + options.part, 0, 0);
  Result<part::Part> part = part::readPart(options.part, readLimits(options));
  if (!part) return part;
  for (const part::Body& body : part->bodies)
    if (body.faces.size() > static_cast<std::size_t>(options.faceLimit))
      return fault(
          FaultCode::Limit, options.part,
          fmt::format("Body \"{}\" has {} faces; the limit is {}.", body.name, body.faces.size(), options.faceLimit),
          "Export it without cosmetic threads and text, or raise --face-limit.");
  return part;
}

namespace {

constexpr int kLeftOutOrOpen = 4;

/// The date in the foot of a sheet: SOURCE_DATE_EPOCH when set, for reproducible sheets.
std::string today() {
  std::time_t now = std::time(nullptr);
  if (const char* fixed = std::getenv("SOURCE_DATE_EPOCH")) now = static_cast<std::time_t>(std::atoll(fixed));
  std::tm utc{};
  gmtime_r(&now, &utc);
  return fmt::format("{:04}-{:02}-{:02}", utc.tm_year + 1900, utc.tm_mon + 1, utc.tm_mday);
}

/// "out.json" for the first body, "out-2.json" for the second.
std::string numbered(const std::string& path, std::size_t index) {
  if (index == 0 || path == "-") return path;
  const std::size_t slash = path.find_last_of('/');
  const std::size_t dot = path.find_last_of('.');
  const bool hasEnding = dot != std::string::npos && (slash == std::string::npos || dot > slash);
  const std::string number = fmt::format("-{}", index + 1);
  return hasEnding ? path.substr(0, dot) + number + path.substr(dot) : path + number;
}

/// Writes what was asked for; the first failure ends it.
class Writer {
public:
  explicit Writer(std::size_t body) : body_(body) {}
  template <class Make>
  void write(const std::string& path, Make make) {
    if (path.empty() || code_ != 0) return;
    const auto done = writeFile(numbered(path, body_), make());
    if (!done) code_ = failed(done.error());
  }
  int code() const { return code_; }

private:
  std::size_t body_;
  int code_{0};
};

int worse(int a, int b) { return std::max(a, b); }

}  // namespace

Result<report::SheetOptions> sheetOptions(const shop::Shop& shop, const Options& options) {
  report::SheetOptions sheet;
  sheet.date = today();
  sheet.version = CHIPLEDGER_VERSION;
  sheet.shop = shop.name;
  if (!options.shopFile.empty()) sheet.shop += (sheet.shop.empty() ? "" : ", ") + options.shopFile;
  const auto reader = report::readReader(options.sheet);
  if (!reader) return tl::make_unexpected(reader.error());
  sheet.reader = *reader;
  if (sheet.reader != report::Reader::Owner && options.report.empty())
    return fault(FaultCode::Usage, "--sheet " + options.sheet, "No report is asked for, so there is nobody to read it.",
                 "Add --report FILE.html.");
  if (!options.terms.empty() && sheet.reader != report::Reader::Client)
    return fault(FaultCode::Usage, "--terms " + options.terms, "Only the client's sheet carries terms of sale.",
                 "Add --sheet client.");
  if (!options.age.empty()) {
    const auto age = report::readAge(options.age);
    if (!age) return tl::make_unexpected(age.error());
    sheet.age = *age;
  }
  if (!options.terms.empty()) {
    const auto product = route::loadProduct(options.terms);
    if (!product) return tl::make_unexpected(product.error());
    sheet.terms = product->product.terms;
    // The estimate has the shop's overhead on it already.
    if (product->product.overhead) sheet.overhead = (1 + *product->product.overhead) / (1 + shop.rates.overhead) - 1;
  }
  return sheet;
}

Result<std::vector<const part::Body*>> chosenBodies(const part::Part& part, const std::string& name) {
  std::vector<const part::Body*> chosen;
  std::string names;
  for (const part::Body& body : part.bodies) {
    names += names.empty() ? "\"" + body.name + "\"" : ", \"" + body.name + "\"";
    if (name.empty() || body.name == name) chosen.push_back(&body);
  }
  if (chosen.empty())
    return fault(FaultCode::Usage, "--body " + name, "The file has no body of this name.", "It has: " + names + ".");
  return chosen;
}

const part::Body& onlyBody(const std::vector<const part::Body*>& bodies, const std::string& file) {
  const part::Body& first = *bodies.front();
  if (bodies.size() > 1)
    complain(fmt::format("{} holds {} bodies; only \"{}\" is taken here. Choose another with --body.", file,
                         bodies.size(), first.name));
  return first;
}

Result<shop::Shop> chosenShop(const Options& options) {
  if (options.shopFile.empty()) return shop::builtInShop();
  return shop::loadShop(options.shopFile);
}

Result<estimate::Options> estimateOptions(const Options& options, const shop::Shop& shop) {
  estimate::Options asked;
  asked.material = options.material.empty() ? shop.material : options.material;
  asked.batches = shop.batches;
  if (!options.batches.empty()) {
    auto sizes = parseBatches(options.batches);
    if (!sizes) return tl::make_unexpected(sizes.error());
    asked.batches = *sizes;
  }
  auto cell = parseCell(options.cell);
  if (!cell) return tl::make_unexpected(cell.error());
  asked.cell_um = *cell;
  asked.mostCells = mostCells(options);
  if (!options.answers.empty()) asked.answersFile = options.answers;
  asked.priceDetails = !options.noDetailPrices;
  return asked;
}

int openness(const Notes& notes, const std::vector<detail::Question>& questions) {
  const bool leftOut =
      std::any_of(notes.begin(), notes.end(), [](const Note& n) { return n.severity == NoteSeverity::LeftOut; });
  return leftOut || !questions.empty() ? kLeftOutOrOpen : 0;
}

int runLook(const Options& options) {
  if (!options.writeAnswers.empty() && std::filesystem::exists(options.writeAnswers))
    return failed({FaultCode::Usage, "--write-answers " + options.writeAnswers,
                   "There is such a file already; the answers in it would be lost.", "Choose another name."});
  Progress progress(options.quiet);
  const auto part = read(options, progress);
  if (!part) return failed(part.error());
  const auto bodies = chosenBodies(*part, options.body);
  if (!bodies) return failed(bodies.error());
  const auto shop = chosenShop(options);
  if (!shop) return failed(shop.error());
  int code = 0;
  for (std::size_t b = 0; b < bodies->size(); ++b) {
    const part::Body& body = *(*bodies)[b];
    const auto plan = setup::planSetups(body);
    if (!plan) return failed(plan.error());
    auto details = estimate::lookDetails(body, *plan, *shop, options.answers);
    if (!details) return failed(details.error());
    Writer writer(b);
    writer.write(options.json, [&] { return report::lookJson(*part, body, *plan, *details); });
    writer.write(options.writeAnswers, [&] { return detail::answersTemplate(*details); });
    if (writer.code() != 0) return writer.code();
    if (!options.quiet && options.json != "-") print(report::renderLook(*part, body, *plan, *details, terminal()));
    Notes notes = part->notes;
    notes.insert(notes.end(), plan->notes.begin(), plan->notes.end());
    notes.insert(notes.end(), details->notes.begin(), details->notes.end());
    code = worse(code, openness(notes, details->questions));
  }
  return code;
}

int runPrice(const Options& options) {
  const auto shop = chosenShop(options);
  if (!shop) return failed(shop.error());
  auto sheet = sheetOptions(*shop, options);
  if (!sheet) return failed(sheet.error());
  auto asked = estimateOptions(options, *shop);
  if (!asked) return failed(asked.error());
  if (sheet->reader == report::Reader::Client && !sheet->terms)
    complain(
        "The client's prices are what a piece costs to make, in round steps: no margin is on them. --terms "
        "PRODUCT.toml "
        "puts the terms of sale of a product file on them.");
  Progress progress(options.quiet);
  DetailWatch watch(options.runLimit_s);
  asked->progress = [&](const std::string& step, int done, int of) {
    if (const auto word = watch.seen(step, done, of); word && !options.quiet) {
      progress.clear();
      complain(*word);
    }
    progress.show(step, done, of);
  };
  const auto part = read(options, progress);
  if (!part) return failed(part.error());
  const auto bodies = chosenBodies(*part, options.body);
  if (!bodies) return failed(bodies.error());
  int code = 0;
  for (std::size_t b = 0; b < bodies->size(); ++b) {
    const part::Body& body = *(*bodies)[b];
    const auto priced = estimate::estimateBody(*part, body, *shop, *asked);
    if (!priced) {
      code = worse(code, failed(priced.error()));
      continue;
    }
    if (!options.report.empty() && sheet->reader == report::Reader::Owner) {
      auto maps = estimate::minutesMaps(*priced, shop->machine);
      if (!maps) return failed(maps.error());
      sheet->maps = std::move(*maps);
    }
    Writer writer(b);
    writer.write(options.json, [&] { return report::estimateJson(*priced, *part); });
    writer.write(options.csv, [&] { return report::priceCsv(*priced); });
    writer.write(options.paths, [&] { return report::pathsCsv(*priced); });
    writer.write(options.plan, [&] { return report::planSvg(*priced, body); });
    writer.write(options.report, [&] { return report::sheetHtml(*priced, body, *sheet); });
    if (writer.code() != 0) return writer.code();
    if (!options.quiet && options.json != "-") print(report::renderPrice(*priced, terminal()));
    code = worse(code, openness(priced->notes, priced->details.questions));
  }
  return code;
}

int runDetail(const Options& options) {
  const auto shop = chosenShop(options);
  if (!shop) return failed(shop.error());
  auto asked = estimateOptions(options, *shop);
  if (!asked) return failed(asked.error());
  asked->onlyDetail = options.detail;
  const auto sheet = sheetOptions(*shop, options);
  if (!sheet) return failed(sheet.error());
  Progress progress(options.quiet);
  asked->progress = [&](const std::string& step, int done, int of) { progress.show(step, done, of); };
  const auto part = read(options, progress);
  if (!part) return failed(part.error());
  const auto bodies = chosenBodies(*part, options.body);
  if (!bodies) return failed(bodies.error());
  const part::Body& body = onlyBody(*bodies, options.part);
  const auto priced = estimate::estimateBody(*part, body, *shop, *asked);
  if (!priced) return failed(priced.error());
  const auto& list = priced->details.list;
  const auto it =
      std::find_if(list.begin(), list.end(), [&](const detail::Detail& d) { return d.name == options.detail; });
  const int index = static_cast<int>(it - list.begin());
  Writer writer(0);
  writer.write(options.json, [&] { return report::estimateJson(*priced, *part); });
  writer.write(options.plan, [&] { return report::planSvg(*priced, body); });
  writer.write(options.report,
               [&] { return report::detailHtml(*priced, body, static_cast<std::size_t>(index), *sheet); });
  if (writer.code() != 0) return writer.code();
  if (!options.quiet && options.json != "-") print(report::renderDetail(*priced, index, terminal()));
  return openness(priced->notes, priced->details.questions);
}

int runCompare(const Options& options) {
  const auto shop = chosenShop(options);
  if (!shop) return failed(shop.error());
  auto asked = estimateOptions(options, *shop);
  if (!asked) return failed(asked.error());
  asked->priceDetails = !options.noDetailPrices;
  Progress progress(options.quiet);
  const auto sheet = sheetOptions(*shop, options);
  if (!sheet) return failed(sheet.error());
  std::vector<estimate::Estimate> variants;
  std::vector<part::Body> bodiesShown;  // for the drawings of the report
  int code = 0;
  for (const std::string& file : options.variants) {
    Options one = options;
    one.part = file;
    const auto part = read(one, progress);
    if (!part) return failed(part.error());
    const auto bodies = chosenBodies(*part, options.body);
    if (!bodies) return failed(bodies.error());
    progress.show("pricing " + file, 0, 0);
    const part::Body& body = onlyBody(*bodies, file);
    auto priced = estimate::estimateBody(*part, body, *shop, *asked);
    if (!priced) return failed(priced.error());
    code = worse(code, openness(priced->notes, priced->details.questions));
    variants.push_back(std::move(*priced));
    if (!options.report.empty()) bodiesShown.push_back(body);
  }
  const auto comparison = compare::compareVariants(variants);
  if (!comparison) return failed(comparison.error());
  Writer writer(0);
  writer.write(options.json, [&] { return report::compareJson(variants, *comparison); });
  writer.write(options.csv, [&] { return report::compareCsv(variants, *comparison); });
  writer.write(options.report, [&] {
    std::vector<const part::Body*> drawn;
    for (const part::Body& shown : bodiesShown) drawn.push_back(&shown);
    return report::compareHtml(variants, *comparison, drawn, *sheet);
  });
  if (writer.code() != 0) return writer.code();
  if (!options.quiet && options.json != "-" && options.csv != "-")
    print(report::renderCompare(variants, *comparison, terminal()));
  return code;
}

int runDraw(const Options& options) {
  const auto chassis = draw::readChassis(options.chassis);
  if (!chassis) return failed(chassis.error());
  const auto drawn = draw::drawChassis(*chassis);
  if (!drawn) return failed(drawn.error());
  const auto text = draw::stepText(*drawn);
  if (!text) return failed(text.error());
  const auto written = writeFile(options.output, *text);
  return written ? 0 : failed(written.error());
}

namespace {

/// The calibration path as points a control can be given by hand or by its own editor; no program for a machine.
int writeAirCut(const std::string& path, const shop::Shop& shop) {
  constexpr double kChordAngle = 0.05;
  const auto time = motion::calibrationTime(shop.machine);
  if (!time) return failed(time.error());
  std::string text = "x_mm,y_mm,feed_mm_min\n";
  const double feed = toMmPerMin(motion::calibrationFeed());
  for (const path::Move& move : motion::calibrationPath()) {
    const int chords = std::max(1, static_cast<int>(std::ceil(sweep(move.segment) / kChordAngle)));
    for (int k = text.size() < 30 ? 0 : 1; k <= chords; ++k) {
      const Vec3 p = pointAt(move.segment, static_cast<double>(k) / chords);
      text += fmt::format("{:.4f},{:.4f},{:.0f}\n", p.x, p.y, feed);
    }
  }
  const auto written = writeFile(path, text);
  if (!written) return failed(written.error());
  print(fmt::format(
      "{} should take {:.1f} s (at least {:.1f}, at most {:.1f}). Run it in air, well above the table, and\n"
      "enter the stopwatch reading under [machine] as air_cut_s.\n",
      shop.machine.name, toSeconds(time->likely), toSeconds(time->lower), toSeconds(time->upper)));
  return 0;
}

std::string tableText(const cutting::Listing& listing) {
  std::vector<report::Column> columns;
  for (const std::string& name : listing.columns) {
    const std::size_t comma = name.rfind(", ");
    report::Column column;
    column.head = name.substr(0, comma);
    column.unit = comma == std::string::npos ? "" : name.substr(comma + 2);
    column.align = columns.empty() ? report::Align::Left : report::Align::Right;
    columns.push_back(column);
  }
  columns.push_back({"from", "", report::Align::Left, 0, false});
  columns.push_back({"source", "", report::Align::Right, 0, false});
  report::Table table(columns);
  // Sources are long and many rows share one: a number in the row, the text below the table.
  std::vector<std::string> sources;
  for (const cutting::ListingRow& row : listing.rows) {
    std::vector<std::string> cells = row.cells;
    cells.push_back(std::string(word(row.from)) + (row.grade.empty() ? "" : ", " + row.grade));
    auto known = std::find(sources.begin(), sources.end(), row.source);
    if (known == sources.end()) known = sources.insert(sources.end(), row.source);
    cells.push_back(std::to_string(known - sources.begin() + 1));
    table.add(std::move(cells));
  }
  std::string out = listing.heading + "   [[" + listing.section + "]]\n" + table.text(terminal());
  for (std::size_t i = 0; i < sources.size(); ++i) out += fmt::format("  source {}: {}\n", i + 1, sources[i]);
  return out + "\n";
}

}  // namespace

int runShop(const Options& options) {
  if (options.starter) {
    print(shop::starterFile());
    return 0;
  }
  const auto shop = chosenShop(options);
  if (!shop) return failed(shop.error());
  if (!options.airCut.empty()) return writeAirCut(options.airCut, *shop);
  print(report::renderShop(shop->name, shop::describe(*shop), terminal()));
  for (const cutting::Listing& listing : cutting::listTables(shop->tables)) print(tableText(listing));
  return 0;
}

}  // namespace chipledger::cli
