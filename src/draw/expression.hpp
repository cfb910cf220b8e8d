#pragma once
// Arithmetic between named dimensions: + - * / ^, brackets, and the usual functions (sqrt, sin in radians, min, max
// ...).
#include <map>
#include <string>
#include <tl/expected.hpp>

namespace chipledger::draw {

using NamedValues = std::map<std::string, double>;

/// The value, or a sentence about what is wrong with the expression.
tl::expected<double, std::string> evaluate(const std::string& expression, const NamedValues& values);
/// Empty, or a sentence about why the name cannot stand for a value.
std::string nameFault(const std::string& name);

}  // namespace chipledger::draw
