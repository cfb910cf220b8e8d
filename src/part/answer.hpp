#pragma once
// How a Part or a Fault travels from the reader's process to ours: plain bytes of this machine, fields in a fixed
// order. Both sides are the same program, so there is no version. Decoding trusts nothing: a short or odd answer is a
// Fault.
#include <chipledger/part/part.hpp>

#include <string>
#include <string_view>

namespace chipledger::part {

std::string encode(Result<Part> answer);
Result<Part> decode(std::string_view bytes);

}  // namespace chipledger::part
