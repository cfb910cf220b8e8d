#pragma once
// What the reader's process does with one file, from text to Part. Runs the geometry kernel, so only ever in a process
// of its own.
#include <chipledger/part/read.hpp>

namespace chipledger::part {

/// Names and colours need the richer of the kernel's two readers, which dies on some files the plain one can read.
enum class ReaderKind : std::uint8_t { WithNames, Plain };

struct ReadJob {
  std::string path;
  ReadLimits limits;
  ReaderKind kind{ReaderKind::WithNames};
};

Result<Part> readInThisProcess(const ReadJob& job);

}  // namespace chipledger::part
