#pragma once
// Where a table row is from and how well it is known.
#include <chipledger/result/provenance.hpp>

#include <string>

namespace chipledger::cutting {

enum class Grade {
  Seen,            ///< seen on the maker's, author's or standard's own page
  Reworked,        ///< a textbook example that an open collection works through again
  CommonPractice,  ///< what workshops do; no source
  Memory,          ///< from memory, no page seen: check before use
  Own,             ///< the shop's own row
};
const char* word(Grade grade);

/// Seen and Reworked rows are table values, common practice and memory are guesses.
constexpr From fromOf(Grade grade) {
  switch (grade) {
    case Grade::Seen:
    case Grade::Reworked:
      return From::Table;
    case Grade::CommonPractice:
    case Grade::Memory:
      return From::Guessed;
    case Grade::Own:
      return From::Entered;
  }
  return From::Guessed;
}

struct Origin {
  From from{From::Guessed};
  Grade grade{Grade::Memory};
  std::string source;  ///< catalogue and page, "common practice, no source", "shop.toml line 12"
};

}  // namespace chipledger::cutting
