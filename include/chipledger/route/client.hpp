#pragma once
// What a client is asked for one tool: the list price for the product as it stands, and for every other variant, batch
// or detail left out the price that leaves as much of each tool as the list price does, up to the next price step.
//   price = list + (cost - cost of the listed one) / (received share (1 - fees - warranty))
// Money per set, before sales tax unless a name says otherwise. No cost leaves this header.
// Without a list price the listed one carries the wanted margin.
#include <chipledger/route/route.hpp>

#include <string>
#include <vector>

namespace chipledger::route {

struct ClientPrice {
  int sets{};
  Money price, withTax;
  Weeks weeks;  ///< until the batch is done; 0 to 0: somebody is missing
};

struct ClientOption {
  std::string name;  ///< of the variant, "B islands without all islands"; may be empty where there are no variants
  bool listed{};     ///< the product as it stands
  std::vector<ClientPrice> prices;  ///< what is left out only at the batch the answers are for
};

/// The variant that stands as the product file has it: the first without other STEP files, else the first.
std::size_t listedVariant(const ProductResult& product);
/// The listed one first, then the other variants in order, each with what can be left out of it. Empty when nothing was
/// reckoned or nothing of a list price is kept.
std::vector<ClientOption> clientOptions(const ProductResult& product);
/// Price of a piece with the wanted margin of the terms on it, up to their step; nothing when nothing is kept.
std::optional<Money> askedFor(Money cost, const Terms& terms);

}  // namespace chipledger::route
