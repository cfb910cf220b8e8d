#include "command_line.hpp"

#include "output.hpp"

#include <chipledger/cutting/tables.hpp>
#include <chipledger/parallel/parallel.hpp>
#include <chipledger/part/read.hpp>

#include <fmt/format.h>

namespace chipledger::cli {
namespace {

const char* const kAbout =
    "What every detail of a milled titanium chassis costs, while it is still a drawing.\n"
    "Estimates, not quotes; speeds and feeds are for estimating, not for a machine.";

const char* const kExamples =
    "Examples:\n"
    "  chipledger price chassis.step                         the main job\n"
    "  chipledger price chassis.step --batch 25,50 --shop my-shop.toml\n"
    "  chipledger detail chassis.step island-1               one detail: with, without, the difference\n"
    "  chipledger look chassis.step --write-answers a.toml   what is in the file, and what it cannot say\n"
    "  chipledger compare plain.step islands.step             variants side by side\n"
    "  chipledger vary chassis.step --set island-1.height=2:5:0.25   price against a dimension\n"
    "  chipledger draw chassis.toml -o chassis.step          a chassis from numbers, before there is any CAD\n"
    "  chipledger route product.toml --what \"metal +20%\"     shop-built or full custom, list price, your hours\n"
    "  chipledger shop --starter > my-shop.toml              a commented shop file to fill in\n"
    "Exit codes: 0 done, 1 internal fault, 2 usage, 3 not readable as a part, 4 priced but something is left out or\n"
    "open, 5 a limit was hit.";

void addAge(CLI::App& app, Options& o) {
  app.add_option("--age", o.age,
                 "age of the estimate in the report's head: sketch, drawn, mocked, proved, run; without it, as the "
                 "values tell");
}

void addLimits(CLI::App& app, Options& o) {
  app.add_option("--time-limit", o.timeLimit_s, "seconds for reading a STEP file")->check(CLI::Range(1.0, 3600.0));
  app.add_option("--run-limit", o.runLimit_s, "seconds for the whole run")->check(CLI::Range(1.0, 86400.0));
  app.add_option("--memory-limit", o.memoryLimit_mb, "megabytes of memory, for reading and for planning each")
      ->check(CLI::Range(100.0, 64000.0));
  app.add_option("--file-limit", o.fileLimit_mb, "largest STEP file, megabytes")->check(CLI::Range(0.001, 4000.0));
  app.add_option("--face-limit", o.faceLimit, "most faces of one body")->check(CLI::Range(1, 10000000));
  app.add_option("--cell-limit", o.cellLimit_m,
                 "most cells of one grid, millions: larger cells are used, and said, where there would be more")
      ->check(CLI::Range(0.0001, 1000.0));
  app.add_option("--output-limit", o.outputLimit_mb, "largest file written, megabytes")
      ->check(CLI::Range(0.001, 100000.0));
}

void addPart(CLI::App& app, Options& o, bool several = false) {
  if (several) {
    app.add_option("PARTS", o.variants, "two or more STEP files; the first is what the others are held against")
        ->required();
  } else {
    app.add_option("PART", o.part, "STEP file (AP203, AP214, AP242)")->required();
  }
  app.add_option("--body", o.body, "only the body of this name");
  app.add_option("--answers", o.answers, "TOML file with answers to the open questions");
  app.add_option("--shop", o.shopFile, "TOML file with your own rates, plates, cutters and tables");
  app.add_option("--threads", o.threads, "threads (0: all; the result is the same)")->check(CLI::Range(0, 256));
  app.add_option("--json", o.json, "write JSON to FILE, or to standard output with -");
  app.add_flag("--quiet", o.quiet, "no progress line, no table");
  addLimits(app, o);
}

void addPricing(CLI::App& app, Options& o) {
  app.add_option("--material", o.material, "material name (see chipledger shop)");
  app.add_option("--batch", o.batches, "batch sizes in sets: 10,25,50,100");
  app.add_option("--cell", o.cell, "cell size of the metal field, mm (chosen when not given)");
}

Command addLook(CLI::App& app, Options& o) {
  CLI::App* look = app.add_subcommand("look", "what is in the file: size, volume, directions, details, open questions");
  addPart(*look, o);
  look->add_option("--write-answers", o.writeAnswers, "start an answers file for the open questions");
  return {look, runLook};
}

Command addPrice(CLI::App& app, Options& o) {
  CLI::App* price = app.add_subcommand("price", "blank, order of work, cutters, minutes, price by detail and by batch");
  addPart(*price, o);
  addPricing(*price, o);
  price->add_flag("--no-detail-prices", o.noDetailPrices, "skip planning the part without each detail (quicker)");
  price->add_option("--csv", o.csv, "write the price tables as CSV");
  price->add_option("--plan", o.plan, "write a plan view with prices as SVG");
  price->add_option("--paths", o.paths, "write every move of every cutter as CSV");
  price->add_option("--report", o.report, "write the whole sheet as one HTML file");
  price->add_option("--sheet", o.sheet,
                    "whose sheet the report is: owner (all), machinist (no money), client (round prices)");
  price->add_option("--terms", o.terms,
                    "product file whose terms of sale (margin, fees, price steps) the client's prices carry");
  addAge(*price, o);
  return {price, runPrice};
}

Command addDetail(CLI::App& app, Options& o) {
  CLI::App* detail = app.add_subcommand("detail", "one detail: with, without, the difference line by line");
  addPart(*detail, o);
  addPricing(*detail, o);
  detail->add_option("NAME", o.detail, "detail name as `look` prints it: island-1")->required();
  detail->add_option("--plan", o.plan, "write a plan view with its price as SVG");
  detail->add_option("--report", o.report, "write it as one HTML file");
  addAge(*detail, o);
  return {detail, runDetail};
}

Command addCompare(CLI::App& app, Options& o) {
  CLI::App* compare = app.add_subcommand("compare", "variants side by side: what differs, what it costs, and why");
  addPart(*compare, o, true);
  addPricing(*compare, o);
  compare->add_flag("--no-detail-prices", o.noDetailPrices, "skip what each detail costs in each variant (quicker)");
  compare->add_option("--csv", o.csv, "write prices, details, lines and crossings as CSV");
  compare->add_option("--report", o.report, "write the comparison as one HTML file");
  addAge(*compare, o);
  return {compare, runCompare};
}

Command addVary(CLI::App& app, Options& o) {
  CLI::App* vary = app.add_subcommand("vary", "the price against a dimension, a batch size or a value of the shop");
  addPart(*vary, o);
  addPricing(*vary, o);
  vary->add_option("--set", o.sets,
                   "what is varied and its values: island-1.height=2:5:0.25, pocket-2.radius=1,1.6,2.2, batch=10,50, "
                   "shop.rates.machine_per_hour=40:60:5; several make a grid")
      ->required();
  vary->add_option("--csv", o.csv, "write the points as CSV, row by row as they are found");
  vary->add_option("--report", o.report, "write curve and table as one HTML file");
  addAge(*vary, o);
  vary->add_flag("--resume", o.resume, "go on from the rows that the CSV file holds");
  return {vary, runVary};
}

Command addDraw(CLI::App& app, Options& o) {
  CLI::App* draw = app.add_subcommand("draw", "a chassis drawn from numbers, as STEP");
  draw->add_option("CHASSIS", o.chassis, "TOML file")->required();
  draw->add_option("-o,--output", o.output, "STEP file to write")->required();
  return {draw, runDraw};
}

Command addRoute(CLI::App& app, Options& o) {
  CLI::App* route =
      app.add_subcommand("route", "shop-built or full custom: cost, list price, your hours, when, from which batch on");
  route->add_option("PRODUCT", o.product, "TOML file of the tool: parts, steps, sales");
  route->add_option("--shop", o.shopFile, "shop file, instead of the one the product names");
  route->add_option("--batch", o.batches, "batch sizes in sets: 10,25,50,100");
  route->add_option("--sets", o.batchAsked, "the batch that the answers are for")->check(CLI::Range(1, 1000000));
  route->add_option("--variant", o.variant, "only the variant of this name");
  route->add_option("--what", o.whatIfs,
                    "a what-if, as often as needed: \"metal +20%\", \"scrap = 12%\", \"list = 750\"");
  route->add_option("--target-list", o.targetList, "what must go to sell at this list price")
      ->check(CLI::Range(0.01, 1e9));
  route->add_flag("--advice", o.advice,
                  "plan the parts without each detail: what to cut, what details must earn (slow)");
  route->add_option("--cell", o.cell, "cell size of the metal field, mm (chosen when not given)");
  route->add_option("--threads", o.threads, "threads (0: all; the result is the same)")->check(CLI::Range(0, 256));
  route->add_option("--json", o.json, "write JSON to FILE, or to standard output with -");
  route->add_option("--csv", o.csv, "write variants, routes and batches as CSV");
  route->add_option("--report", o.report, "write it as one HTML file");
  route->add_option("--sheet", o.sheet, "whose sheet the report is: owner (all), client (list prices, no costs)");
  addAge(*route, o);
  route->add_flag("--quiet", o.quiet, "no progress line, no table");
  route->add_flag("--starter", o.starter, "print a commented product file to start from");
  route->add_flag("--starter-routes", o.starterRoutes, "print the routes that ship, to copy and change");
  addLimits(*route, o);
  return {route, runRoute};
}

Command addShop(CLI::App& app, Options& o) {
  CLI::App* shop =
      app.add_subcommand("shop", "the shop in force: rates, machine, plates, cutters, tables and their sources");
  shop->add_option("FILE", o.shopFile, "shop file to check and show");
  shop->add_option("--air-cut", o.airCut,
                   "write a path to run in air as a table of points; says how long it should take");
  shop->add_flag("--starter", o.starter, "print a commented shop file to start from");
  return {shop, runShop};
}

}  // namespace

std::string versionLine() {
  return fmt::format("chipledger {} (geometry kernel {}, tables {})", CHIPLEDGER_VERSION, part::kernelVersion(),
                     cutting::builtInTablesMark());
}

std::vector<Command> describeCommands(CLI::App& app, Options& options) {
  app.name("chipledger");
  app.description(kAbout);
  app.footer(kExamples);
  app.set_version_flag("--version", versionLine());
  app.require_subcommand(1);
  return {addLook(app, options), addPrice(app, options), addDetail(app, options), addCompare(app, options),
          addVary(app, options), addRoute(app, options), addDraw(app, options),   addShop(app, options)};
}

int runCommandLine(int argc, const char* const* argv, void (*onParsed)(const Options&)) {
  Options options;
  CLI::App app;
  const std::vector<Command> commands = describeCommands(app, options);
  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& e) {
    return app.exit(e);
  } catch (const CLI::ParseError& e) {
    complain(std::string(e.what()) + ". See chipledger --help.");
    return 2;
  }
  setThreads(options.threads);
  if (onParsed != nullptr) onParsed(options);
  for (const Command& command : commands)
    if (command.app->parsed()) return command.run(options);
  return 2;
}

}  // namespace chipledger::cli
