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

/// Version of the geometry kernel this was built with: "7.6.3".
const char* kernelVersion();

/// Starts the small process that later forks a reader per file. Call at the start of main, before any thread;
/// without it each read starts the reader from a plain fork (tests with one thread).
void startReaderProcess();

/// Any thread may call it; the reads of several threads run side by side.
/// Fails: BadFile (no such file, a folder, empty, not STEP, damaged, no solid), Limit (time, memory, file size).
/// Notes it may give, by code (severity):
///   no-unit        no length unit in the file, millimetres assumed (Doubt)
///   odd-size       longest side under 1 mm or over 2 m (Doubt)
///   suspect        mistakes of form, or references to what is not there (Doubt)
///   lost-face      fewer faces than the text declares (Doubt);  lost-body: fewer solids (LeftOut)
///   sewn           loose surfaces that close were sewn (Doubt);  loose-surfaces: those that do not (LeftOut)
///   bad-body       one solid of several is open or empty (LeftOut)
///   inside-out     faces looked inward and were turned (Doubt)
///   not-tight, faces-cross, mesh-open, volume-uncertain   the solid may be wrong, and how (Doubt)
///   names-lost     read without names and colours (Doubt);  byte-order-mark: passed over (Info)
Result<Part> readPart(const std::string& path, const ReadLimits& limits = {});

}  // namespace chipledger::part
