#pragma once
// One solid of the kernel to one Body.
#include <chipledger/part/part.hpp>

#include "kernel_solids.hpp"

namespace chipledger::part {

/// Adds what it doubts to `notes`. Fails (BadFile) when the solid is not closed or encloses nothing.
Result<Body> describeSolid(const KernelSolid& solid, const KernelPart& part, const std::string& file, Notes& notes);

}  // namespace chipledger::part
