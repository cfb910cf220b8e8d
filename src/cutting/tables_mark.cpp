#include <chipledger/cutting/tables.hpp>

#include "cutting/built_in_data.hpp"

#include <fmt/format.h>

#include <cstdint>

namespace chipledger::cutting {

std::string builtInTablesMark() {
  std::uint32_t mark = 2166136261U;  // FNV-1a, 32 bits: IETF draft "The FNV Non-Cryptographic Hash Algorithm"
  for (const BuiltInFile& file : builtInData())
    for (const char c : file.text) mark = (mark ^ static_cast<unsigned char>(c)) * 16777619U;
  return fmt::format("{:08x}", mark);
}

}  // namespace chipledger::cutting
