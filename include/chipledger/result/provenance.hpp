#pragma once
// Every number says where it is from.
#include <string>
#include <vector>

namespace chipledger {

enum class From {
  Entered,  ///< the owner typed it (shop file, option, answer)
  Table,    ///< a table row with a published source
  Guessed,  ///< common practice or memory: to be replaced by the shop's own
  Clocked,  ///< measured on the shop's own machine
};
inline const char* word(From from) {
  switch (from) {
    case From::Entered: return "entered";
    case From::Table: return "table";
    case From::Guessed: return "guessed";
    case From::Clocked: return "clocked";
  }
  return "guessed";
}

/// A value that the estimate stands on, as shown to the reader.
struct Assumption {
  std::string name;    ///< "machine.rate"
  double value{};
  std::string unit;    ///< "per hour"
  From from{From::Guessed};
  std::string source;  ///< catalogue and page, "common practice, no source", file and line
};
using Assumptions = std::vector<Assumption>;

}  // namespace chipledger
