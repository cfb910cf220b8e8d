#include <fmt/format.h>
#include <chipledger/detail/change.hpp>

#include "detail/change_kinds.hpp"

namespace chipledger::detail {

namespace {

constexpr Dimension kDimensions[] = {Dimension::Height,   Dimension::Depth, Dimension::Thickness, Dimension::Radius,
                                     Dimension::Diameter, Dimension::Width, Dimension::Length};

std::optional<Changeable> rangeOf(const Standing& part, int index, Dimension dimension) {
  switch (dimension) {
    case Dimension::Height:
      return heightRange(part, index);
    case Dimension::Depth:
      return depthRange(part, index);
    case Dimension::Thickness:
      return thicknessRange(part, index);
    case Dimension::Radius:
      return radiusRange(part, index);
    case Dimension::Diameter:
    case Dimension::Width:
    case Dimension::Length:
      return planRange(part, index, dimension);
  }
  return std::nullopt;
}

Result<Changed> make(const Standing& part, int index, Dimension dimension, double value_mm) {
  switch (dimension) {
    case Dimension::Height:
      return withHeight(part, index, value_mm);
    case Dimension::Depth:
      return withDepth(part, index, value_mm);
    case Dimension::Thickness:
      return withThickness(part, index, value_mm);
    case Dimension::Radius:
      return withRadius(part, index, value_mm);
    case Dimension::Diameter:
    case Dimension::Width:
    case Dimension::Length:
      break;
  }
  return withPlanSize(part, index, dimension, value_mm);
}

}  // namespace

const char* word(Dimension dimension) {
  switch (dimension) {
    case Dimension::Height:
      return "height";
    case Dimension::Depth:
      return "depth";
    case Dimension::Thickness:
      return "thickness";
    case Dimension::Radius:
      return "radius";
    case Dimension::Diameter:
      return "diameter";
    case Dimension::Width:
      return "width";
    case Dimension::Length:
      return "length";
  }
  return "";
}

std::vector<Changeable> changeable(const Standing& part, int index) {
  std::vector<Changeable> found;
  for (const Dimension dimension : kDimensions)
    if (const auto range = rangeOf(part, index, dimension)) found.push_back(*range);
  return found;
}

Result<Changed> withDimension(const Standing& part, int index, Dimension dimension, Length value) {
  const std::string& name = part.details->list[static_cast<std::size_t>(index)].name;
  const std::string where = fmt::format("{}.{}", name, word(dimension));
  const auto range = rangeOf(part, index, dimension);
  if (!range)
    return fault(FaultCode::Usage, where, fmt::format("The {} of {} cannot be changed.", word(dimension), name),
                 "Change it on the drawing.");
  // A hair beyond is the rounding of a sum.
  constexpr double kHair_mm = 1e-6;
  const auto beyond = [&](const std::string& why) {
    return fault(FaultCode::Usage, where, why,
                 toMm(range->most) < 1e6
                     ? fmt::format("Possible: {:.2f} to {:.2f} mm.", toMm(range->least), toMm(range->most))
                     : fmt::format("Possible: {:.2f} mm and more.", toMm(range->least)));
  };
  if (toMm(value) < toMm(range->least) - kHair_mm) return beyond(range->below);
  if (toMm(value) > toMm(range->most) + kHair_mm) return beyond(range->above);
  auto changed = make(part, index, dimension, toMm(value));
  if (!changed) return fault(changed.error().code, where, changed.error().what, changed.error().next);
  return changed;
}

}  // namespace chipledger::detail
