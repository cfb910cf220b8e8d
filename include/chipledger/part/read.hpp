#pragma once
// Reads a STEP file (AP203, AP214, AP242) in a child process with limits, so that a crash, a hang or a runaway of the
// geometry kernel becomes a sentence.
#include <chipledger/part/part.hpp>

namespace chipledger::part {

struct ReadLimits {
  Duration time{seconds(60)};
  double memory_mb{4000};
  double file_mb{200};
};

/// Starts the small process that later forks a reader per file. Call at the start of main, before any thread;
/// without it each read starts the reader from a plain fork (tests with one thread).
void startReaderProcess();

/// Fails: BadFile (no such file, a folder, empty, not STEP, damaged, no solid), Limit (time, memory, file size).
Result<Part> readPart(const std::string& path, const ReadLimits& limits = {});

}  // namespace chipledger::part
