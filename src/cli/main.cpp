// The command line: arguments in, calls, results to standard output, everything else to standard error.
#include "command_line.hpp"
#include "limits.hpp"
#include "output.hpp"

#include <chipledger/part/read.hpp>

#include <clocale>
#include <csignal>
#include <exception>
#include <new>

int main(int argc, char** argv) {
  std::setlocale(LC_ALL, "C");
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);  // a file that may not grow further is told as an error of writing
  chipledger::part::startReaderProcess();
  chipledger::cli::tidyUpWhenInterrupted();
  try {
    return chipledger::cli::runCommandLine(argc, argv, chipledger::cli::takeLimits);
  } catch (const std::bad_alloc&) {
    chipledger::cli::complain(
        "There was not enough memory. Use larger cells (--cell 0.1), a smaller part, or raise --memory-limit.");
    return 5;
  } catch (const std::exception& e) {
    chipledger::cli::complain(std::string("Internal fault: ") + e.what() + ". Please report it with the file.");
    return 1;
  }
}
