#pragma once
// The part in plan, both sides, to scale: exact visible edges, details tinted by their price, names and prices on
// leaders that do not cross, scale bar and the dimensions that matter. The tints rise evenly in darkness and carry a
// hatch each, so that they read without colour and in print. Each detail is a group with data-d="index in
// Estimate::details.list", its label too, and a price text carries data-p="price at each batch"; a page may use them to
// light and to switch.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/part/part.hpp>

#include <cstddef>
#include <functional>
#include <optional>
#include <string>

namespace chipledger::report {

struct PlanOptions {
  std::optional<std::size_t> batch;  ///< index into Estimate::batches for the prices shown; none: the reference batch
  bool prices{true};                 ///< false: names and dimensions only, no tint
  bool labels{true};
  std::function<std::string(std::size_t)> opens{};  ///< name of the number on the page that a detail's label opens
};

/// A complete SVG document whose user unit is one millimetre of paper.
std::string planSvg(const estimate::Estimate& estimate, const part::Body& body, const PlanOptions& options = {});

/// A point inside the region, far from its border sideways: the middle of the widest of several horizontal chords.
Vec2 pointInside(const Region& region);

}  // namespace chipledger::report
