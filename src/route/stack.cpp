#include <chipledger/ledger/ledger.hpp>
#include <chipledger/route/stack.hpp>

#include <algorithm>

namespace chipledger::route {

const char* word(Layer layer) {
  switch (layer) {
    case Layer::Design:
      return "once per design";
    case Layer::Batch:
      return "once per batch";
    case Layer::Set:
      return "per set";
    case Layer::Lost:
      return "lost";
    case Layer::Overhead:
      return "overhead";
  }
  return "per set";
}

namespace {

bool isFixed(const CostLine& line) { return line.layer == Layer::Design || line.layer == Layer::Batch; }

}  // namespace

Stack stackUp(std::vector<CostLine> lines, double overhead, int sets) {
  Stack stack;
  Money fixedBearing, restBearing;
  for (const CostLine& line : lines) {
    (isFixed(line) ? stack.fixed : stack.variable) += line.batch;
    if (line.bearsOverhead) (isFixed(line) ? fixedBearing : restBearing) += line.batch;
  }
  if (overhead > 0.0) {
    const Money onFixed = money(toUnits(fixedBearing) * overhead), onRest = money(toUnits(restBearing) * overhead);
    lines.push_back({"overhead on fixed cost", Layer::Overhead, onFixed, {}, false, ""});
    lines.push_back({"overhead on the rest", Layer::Overhead, onRest, {}, false, ""});
    stack.fixed += onFixed;
    stack.variable += onRest;
  }
  std::erase_if(lines, [](const CostLine& line) { return line.batch == Money{}; });
  std::stable_sort(lines.begin(), lines.end(), [](const CostLine& a, const CostLine& b) { return a.layer < b.layer; });
  stack.cost = stack.fixed + stack.variable;
  const std::int64_t half = sets / 2;
  stack.perSet = {(stack.cost.micros + half) / sets};
  std::vector<double> weights;
  for (const CostLine& line : lines) weights.push_back(static_cast<double>(line.batch.micros));
  const auto shares = ledger::splitExactly(stack.perSet.micros, weights);
  for (std::size_t i = 0; i < lines.size(); ++i) lines[i].perSet = {shares[i]};
  stack.lines = std::move(lines);
  return stack;
}

}  // namespace chipledger::route
