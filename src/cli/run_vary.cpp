// The price against a dimension: rows are written as they are found, so that an interrupted run can go on.
#include <chipledger/report/pages.hpp>
#include <chipledger/report/vary.hpp>
#include <chipledger/vary/csv.hpp>
#include <chipledger/vary/sweep.hpp>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <iterator>

#include "commands.hpp"
#include "output.hpp"

namespace chipledger::cli {
namespace {

volatile std::sig_atomic_t interrupted = 0;

/// The first interrupt ends the sweep after the points at work, the second ends the program.
void onInterrupt(int signal) {
  interrupted = 1;
  std::signal(signal, SIG_DFL);
}

/// A CSV file that is whole after every row.
class GrowingFile {
public:
  ~GrowingFile() {
    if (file_ != nullptr && file_ != stdout) std::fclose(file_);
  }
  Result<int> open(const std::string& path) {
    path_ = path;
    file_ = path == "-" ? stdout : std::fopen(path.c_str(), "wb");
    if (file_ == nullptr)
      return fault(FaultCode::BadFile, path, std::string("The file cannot be written: ") + std::strerror(errno) + ".",
                   "Choose a folder that exists and that you may write to.");
    return 0;
  }
  bool write(const std::string& text) {
    if (file_ == nullptr) return true;
    return std::fwrite(text.data(), 1, text.size(), file_) == text.size() && std::fflush(file_) == 0;
  }
  const std::string& path() const { return path_; }

private:
  std::string path_;
  std::FILE* file_{};
};

int nearestToUsual(const std::vector<int>& batches) {
  constexpr int kUsual = 50;
  return *std::min_element(batches.begin(), batches.end(),
                           [](int a, int b) { return std::abs(a - kUsual) < std::abs(b - kUsual); });
}

Result<std::vector<vary::Row>> rowsOfFile(const vary::Table& table, const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return std::vector<vary::Row>{};  // nothing to go on from: from the start
  const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  return vary::readCsv(table, text, path);
}

}  // namespace

int runVary(const Options& options) {
  std::vector<vary::Axis> axes;
  for (const std::string& text : options.sets) {
    auto axis = vary::readAxis(text);
    if (!axis) return failed(axis.error());
    axes.push_back(std::move(*axis));
  }
  if (options.resume && (options.csv.empty() || options.csv == "-"))
    return failed({FaultCode::Usage, "--resume", "There is no file to go on from.", "Name it with --csv FILE."});
  const auto shop = chosenShop(options);
  if (!shop) return failed(shop.error());
  const auto sheet = sheetOptions(*shop, options);
  if (!sheet) return failed(sheet.error());
  auto asked = estimateOptions(options, *shop);
  if (!asked) return failed(asked.error());
  // One batch is enough for a curve: the shop's nearest to 50, unless others are asked for.
  if (options.batches.empty()) asked->batches = {nearestToUsual(asked->batches)};
  Progress progress(options.quiet);
  const auto part = read(options, progress);
  if (!part) return failed(part.error());
  const auto bodies = chosenBodies(*part, options.body);
  if (!bodies) return failed(bodies.error());
  const part::Body& body = onlyBody(*bodies, options.part);
  const auto sweep = vary::Sweep::make(*part, body, *shop, *asked, axes);
  if (!sweep) return failed(sweep.error());

  std::vector<vary::Row> known;
  if (options.resume) {
    auto rows = rowsOfFile(sweep->table(), options.csv);
    if (!rows) return failed(rows.error());
    known = std::move(*rows);
  }
  GrowingFile csv;
  if (!options.csv.empty())
    if (const auto opened = csv.open(options.csv); !opened) return failed(opened.error());
  bool written = csv.write(vary::csvHead(sweep->table()));
  interrupted = 0;
  const auto before = std::signal(SIGINT, onInterrupt);
  const std::size_t all = sweep->table().size();
  vary::Sweep::Watch watch;
  watch.stop = [&] { return interrupted != 0 || !written; };
  watch.onRow = [&](const vary::Table& table, std::size_t row) {
    written = written && csv.write(vary::csvRow(table, row));
    progress.show("pricing points", static_cast<int>(row) + 1, static_cast<int>(all));
  };
  const vary::Table table = sweep->run(std::move(known), watch);
  std::signal(SIGINT, before);
  if (!written)
    return failed({FaultCode::BadFile, csv.path(), "The file cannot be written further.",
                   "Make room on the disk and go on with --resume."});
  if (!options.json.empty())
    if (const auto done = writeFile(options.json, report::varyJson(table)); !done) return failed(done.error());
  if (!options.report.empty()) {
    // Age, band and values are those of the part as drawn.
    asked->priceDetails = false;
    asked->batches = table.batches;
    const auto drawn = estimate::estimateBody(*part, body, *shop, *asked);
    if (!drawn) return failed(drawn.error());
    if (const auto done = writeFile(options.report, report::varyHtml(table, &*drawn, *sheet)); !done)
      return failed(done.error());
  }
  if (!options.quiet && options.json != "-" && options.csv != "-") print(report::renderVary(table, terminal()));
  if (interrupted != 0) {
    complain("Interrupted after " + std::to_string(table.rows.size()) + " of " + std::to_string(all) + " points." +
             (options.csv.empty() ? "" : " The same command with --resume goes on."));
    constexpr int kInterrupted = 128 + SIGINT;  // as a shell tells it
    return kInterrupted;
  }
  return openness(table.notes, table.questions);
}

}  // namespace chipledger::cli
