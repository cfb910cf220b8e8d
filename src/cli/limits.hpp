#pragma once
// What one run may take, and what is left behind when it is stopped: nothing half written.
#include "options.hpp"

namespace chipledger::cli {

/// Starts the clock of the whole run and bounds the memory of this process. When the time is up, the program says so
/// and ends with exit code 5.
void takeLimits(const Options& options);

/// Ctrl-C and a polite end remove a file that is being written, then end the program as they always do.
void tidyUpWhenInterrupted();

/// The file now being written aside, so that it can be removed; empty when none is. Kept in fixed storage, since a
/// signal handler reads it.
void nowWriting(const char* path);

}  // namespace chipledger::cli
