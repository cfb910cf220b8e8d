// The command line: arguments in, calls, results to standard output, everything else to standard error.
#include "options.hpp"
#include "output.hpp"

#include <chipledger/parallel/parallel.hpp>
#include <chipledger/part/read.hpp>

#include <CLI/CLI.hpp>
#include <clocale>
#include <csignal>
#include <cstdlib>
#include <exception>
#include <new>

namespace {

using chipledger::cli::Options;

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
    "  chipledger draw chassis.toml -o chassis.step          a chassis from numbers, before there is any CAD\n"
    "  chipledger shop --starter > my-shop.toml              a commented shop file to fill in\n"
    "Exit codes: 0 done, 1 internal fault, 2 usage, 3 not readable as a part, 4 priced but something is left out or\n"
    "open, 5 a limit was hit.";

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
  app.add_option("--time-limit", o.timeLimit_s, "seconds for reading the STEP file")->check(CLI::Range(1.0, 3600.0));
  app.add_option("--memory-limit", o.memoryLimit_mb, "megabytes for reading the STEP file")
      ->check(CLI::Range(100.0, 64000.0));
  app.add_option("--file-limit", o.fileLimit_mb, "largest STEP file, megabytes")->check(CLI::Range(0.001, 4000.0));
  app.add_flag("--quiet", o.quiet, "no progress line, no table");
}

void addPricing(CLI::App& app, Options& o) {
  app.add_option("--material", o.material, "material name (see chipledger shop)");
  app.add_option("--batch", o.batches, "batch sizes in sets: 10,25,50,100");
  app.add_option("--cell", o.cell, "cell size of the metal field, mm (chosen when not given)");
}

int run(int argc, char** argv) {
  Options o;
  CLI::App app(kAbout, "chipledger");
  app.footer(kExamples);
  app.set_version_flag("--version", std::string("chipledger ") + CHIPLEDGER_VERSION);
  app.require_subcommand(1);

  CLI::App* look = app.add_subcommand("look", "what is in the file: size, volume, directions, details, open questions");
  addPart(*look, o);
  look->add_option("--write-answers", o.writeAnswers, "start an answers file for the open questions");

  CLI::App* price = app.add_subcommand("price", "blank, order of work, cutters, minutes, price by detail and by batch");
  addPart(*price, o);
  addPricing(*price, o);
  price->add_flag("--no-detail-prices", o.noDetailPrices, "skip planning the part without each detail (quicker)");
  price->add_option("--csv", o.csv, "write the price tables as CSV");
  price->add_option("--plan", o.plan, "write a plan view with prices as SVG");
  price->add_option("--paths", o.paths, "write every move of every cutter as CSV");
  price->add_option("--report", o.report, "write the whole sheet as one HTML file");

  CLI::App* detail = app.add_subcommand("detail", "one detail: with, without, the difference line by line");
  addPart(*detail, o);
  addPricing(*detail, o);
  detail->add_option("NAME", o.detail, "detail name as `look` prints it: island-1")->required();

  CLI::App* compare = app.add_subcommand("compare", "variants side by side: what differs, what it costs, and why");
  addPart(*compare, o, true);
  addPricing(*compare, o);

  CLI::App* draw = app.add_subcommand("draw", "a chassis drawn from numbers, as STEP");
  draw->add_option("CHASSIS", o.chassis, "TOML file")->required();
  draw->add_option("-o,--output", o.output, "STEP file to write")->required();

  CLI::App* shop =
      app.add_subcommand("shop", "the shop in force: rates, machine, plates, cutters, tables and their sources");
  shop->add_option("FILE", o.shopFile, "shop file to check and show");
  shop->add_option("--air-cut", o.airCut,
                   "write a path to run in air as a table of points; says how long it should take");
  shop->add_flag("--starter", o.starter, "print a commented shop file to start from");

  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& e) {
    return app.exit(e);
  } catch (const CLI::ParseError& e) {
    chipledger::cli::complain(std::string(e.what()) + ". See chipledger --help.");
    return 2;
  }

  chipledger::setThreads(o.threads);
  if (look->parsed()) return chipledger::cli::runLook(o);
  if (price->parsed()) return chipledger::cli::runPrice(o);
  if (detail->parsed()) return chipledger::cli::runDetail(o);
  if (compare->parsed()) return chipledger::cli::runCompare(o);
  if (draw->parsed()) return chipledger::cli::runDraw(o);
  return chipledger::cli::runShop(o);
}

}  // namespace

int main(int argc, char** argv) {
  std::setlocale(LC_ALL, "C");
  std::signal(SIGPIPE, SIG_IGN);
  chipledger::part::startReaderProcess();
  try {
    return run(argc, argv);
  } catch (const std::bad_alloc&) {
    chipledger::cli::complain("There was not enough memory. Use larger cells (--cell 0.1) or a smaller part.");
    return 5;
  } catch (const std::exception& e) {
    chipledger::cli::complain(std::string("Internal fault: ") + e.what() + ". Please report it with the file.");
    return 1;
  }
}
