#pragma once
// Where results go: files are written aside and renamed, so nothing is ever left half written.
#include <chipledger/report/table.hpp>
#include <chipledger/result/result.hpp>

#include <string>

namespace chipledger::cli {

/// "-" is standard output. Fails: BadFile with the system's reason; Limit when the text is larger than allowed.
Result<int> writeFile(const std::string& path, const std::string& text);
void limitOutput(double megabytes);   ///< for every file written from now on
void print(const std::string& text);  ///< to standard output
void complain(const Fault& fault);    ///< to standard error
void complain(const std::string& text);
int failed(const Fault& fault);      ///< complains; the exit code
report::TerminalOptions terminal();  ///< width and colour of standard output; NO_COLOR respected

/// A line that shows how far the work is; only on a terminal, never in a file.
class Progress {
public:
  explicit Progress(bool quiet);
  ~Progress();
  void show(const std::string& step, int done, int of);
  void clear();  ///< so that a sentence can stand in its place

private:
  bool on_;
  bool shown_{};
};

}  // namespace chipledger::cli
