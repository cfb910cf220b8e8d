#pragma once
// A product file: TOML. Keys carry their unit (_min, _h, _mm; shares end in _share); money is in the shop's currency.
//   name, shop, currency, batches, sets, overhead_share
//   [sales]      list_price, fees_share, warranty_share, sales_tax_share, wanted_margin_share, target_list_price,
//                round_up_to
//   [[channel]]  name, share, discount_share
//   [custom]     price, cost, overhead, owner_h
//   [history]    sets_made, months_since
//   [[milled]]   name, step, body, material, answers, quantity, mirror_mate, own_batch, only
//   [[bought]]   name, price, quantity, minimum_order, breaks, at, only
//   [[sent_out]] name, price, quantity, minimum_charge, days, at, only
//   [[step]]     name, who, per_design_h, per_batch_min, per_set_min, cost_per_design, cost_per_batch, cost_per_set,
//                learning, good_share, bears_overhead, only
//   [[kit]]      file, quantity: everything another product file holds of parts and steps, per set
//   [[variant]]  name, steps = { part = "other.step" }
//   [[route]]    a route of one's own (src/route/data/routes.toml shows the keys)
// Paths are taken from the folder of the file that names them.
#include <chipledger/result/result.hpp>
#include <chipledger/route/routes.hpp>

#include <string>
#include <vector>

namespace chipledger::route {

struct ProductFile {
  Product product;
  std::vector<Route> routes;  ///< the built-in ones, those of the file laid over them by name
};

/// Fails: BadFile with file, line and mend: cannot be read, not TOML, unknown key (with the nearest known one), wrong
/// type, impossible value, a STEP file that is not there, a part or a STEP file used twice, kits that hold each other,
/// shares of the channels that do not make one, a name that nothing has.
Result<ProductFile> loadProduct(const std::string& path);

/// A commented product file to start from; it loads once its STEP file is there.
std::string starterProduct();

}  // namespace chipledger::route
