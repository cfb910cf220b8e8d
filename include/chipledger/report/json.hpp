#pragma once
// Results as JSON. Keys come in a fixed order; numbers are the shortest decimals that read back as the same double;
// numbers that are not finite and what is not known are null. The format is described in docs/json.md and in
// docs/chipledger.estimate.schema.json.
#include <chipledger/estimate/estimate.hpp>

#include <string>

namespace chipledger::report {

inline constexpr const char* kEstimateSchema = "chipledger.estimate/1";
inline constexpr const char* kLookSchema = "chipledger.look/1";

/// `part` is the part that `estimate` was made from; its body is found by fingerprint (else its first body).
std::string estimateJson(const estimate::Estimate& estimate, const part::Part& part);

std::string lookJson(const part::Part& part, const part::Body& body, const setup::Plan& plan,
                     const detail::Details& details);

}  // namespace chipledger::report
