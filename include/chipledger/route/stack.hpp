#pragma once
// What a batch costs, line by line. Each line says its layer; lines add up to the cost exactly, for the batch and for
// one set.
#include <chipledger/units/money.hpp>

#include <string>
#include <vector>

namespace chipledger::route {

enum class Layer {
  Design,    ///< once per design
  Batch,     ///< once per batch
  Set,       ///< per set
  Lost,      ///< what went into pieces that were lost
  Overhead,  ///< share of the cost that bears it
};
inline constexpr Layer kLayers[] = {Layer::Design, Layer::Batch, Layer::Set, Layer::Lost, Layer::Overhead};
const char* word(Layer layer);

struct CostLine {
  std::string name;
  Layer layer{Layer::Set};
  Money batch, perSet;
  bool bearsOverhead{true};
  std::string what{};  ///< "57.1 h at 46"; empty where a line has several prices
};

struct Stack {
  std::vector<CostLine> lines;
  Money cost, perSet;  ///< perSet: cost / sets, rounded once
  Money fixed;         ///< once per design and batch, with their overhead
  Money variable;      ///< cost - fixed
};

/// Adds the overhead line (fixed and the rest apart), drops lines of nothing, shares the cost per set out to the lines
/// without a rest. sets >= 1.
Stack stackUp(std::vector<CostLine> lines, double overhead, int sets);

}  // namespace chipledger::route
