#pragma once
// Short safety texts, printed once per sheet.
#include <chipledger/estimate/estimate.hpp>

#include <string>
#include <vector>

namespace chipledger::report {

/// What this estimate must say: burning chips when the material is titanium or the estimate carries a caution of its
/// own, then edges, locks, finishing chemicals, law, speeds, open questions. Titanium is recognised by the material's
/// name
/// ("Ti-6Al-4V", "titanium grade 2"); a material's own caution arrives in Estimate::cautions.
std::vector<std::string> cautionsFor(const estimate::Estimate& estimate);

/// Dry titanium chips burn and ordinary extinguishers make it worse.
const char* titaniumCaution();
/// The program prices metal; it does not judge a lock.
const char* lockCaution();
/// Speeds and feeds are for estimating, not for a machine.
const char* speedsCaution();

}  // namespace chipledger::report
