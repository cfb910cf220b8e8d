#pragma once
// The ways a dimension is changed; each knows between which values it holds together.
#include "detail/stretch.hpp"

namespace chipledger::detail {

std::optional<Changeable> heightRange(const Standing& part, int index);
Result<Changed> withHeight(const Standing& part, int index, double value_mm);

std::optional<Changeable> depthRange(const Standing& part, int index);
Result<Changed> withDepth(const Standing& part, int index, double value_mm);

std::optional<Changeable> thicknessRange(const Standing& part, int index);
Result<Changed> withThickness(const Standing& part, int index, double value_mm);

std::optional<Changeable> radiusRange(const Standing& part, int index);
Result<Changed> withRadius(const Standing& part, int index, double value_mm);

/// Plan sizes: diameter, width, length.
std::optional<Changeable> planRange(const Standing& part, int index, Dimension dimension);
Result<Changed> withPlanSize(const Standing& part, int index, Dimension dimension, double value_mm);

inline tl::unexpected<Fault> wouldBreak(std::string what) { return fault(FaultCode::Usage, "", std::move(what), ""); }

}  // namespace chipledger::detail
