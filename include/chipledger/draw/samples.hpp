#pragma once
// The sample parts that ship with the program: every chassis file of a folder and the analytic blocks, as STEP text,
// and one table of what they hold (volume, surface, details).
#include <chipledger/result/result.hpp>

#include <string>
#include <vector>

namespace chipledger::draw {

struct SampleFile {
  std::string name;  ///< inside the folder
  std::string text;
};

/// STEP files in the order of their names, then features.tsv. Chassis files are the .toml files that hold [outline].
/// Fails as readChassis and drawChassis do.
Result<std::vector<SampleFile>> makeSamples(const std::string& folder);

/// Version of the geometry kernel, "7.6.3": another one may order a STEP file differently.
std::string kernelVersion();

}  // namespace chipledger::draw
