#pragma once
// The commands and their options, described once: parsed by the program, printed as its manual and its completion.
#include "options.hpp"

#include <CLI/CLI.hpp>

#include <string>
#include <vector>

namespace chipledger::cli {

struct Command {
  CLI::App* app;
  int (*run)(const Options&);
};

/// Describes every command on `app`; parsing fills `options`, which must live as long.
std::vector<Command> describeCommands(CLI::App& app, Options& options);

/// "chipledger 0.1.0 (geometry kernel 7.6.3, tables 1f3a52c0)".
std::string versionLine();

/// Parses and runs; the exit code. `onParsed` is called before the command runs. Throws what the rooms throw (no
/// memory).
int runCommandLine(int argc, const char* const* argv, void (*onParsed)(const Options&));

}  // namespace chipledger::cli
