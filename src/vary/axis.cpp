#include <fmt/format.h>
#include <chipledger/vary/axis.hpp>

#include <charconv>
#include <cmath>
#include <optional>

namespace chipledger::vary {
namespace {

constexpr double kInch_mm = 25.4;
constexpr double kDecimal = 1e9;  // values are rounded to this many parts, so that 2 + 3 x 0.1 is 2.3
constexpr const char* kExample = "Give a range or a list: --set island-1.height=2:5:0.25 or --set batch=10,25,50.";

std::string trimmed(std::string text) {
  while (!text.empty() && text.front() == ' ') text.erase(text.begin());
  while (!text.empty() && text.back() == ' ') text.pop_back();
  return text;
}

std::vector<std::string> split(const std::string& text, char at) {
  std::vector<std::string> parts;
  std::size_t from = 0;
  while (true) {
    const std::size_t end = text.find(at, from);
    parts.push_back(trimmed(text.substr(from, end - from)));
    if (end == std::string::npos) return parts;
    from = end + 1;
  }
}

std::optional<double> number(std::string text) {
  double unit = 1.0;
  if (text.ends_with("mm")) text = trimmed(text.substr(0, text.size() - 2));
  if (text.ends_with("in")) {
    unit = kInch_mm;
    text = trimmed(text.substr(0, text.size() - 2));
  }
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value * unit;
}

double rounded(double value) { return std::round(value * kDecimal) / kDecimal; }

}  // namespace

Result<Axis> readAxis(const std::string& text) {
  const std::string where = "--set " + text;
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos)
    return fault(FaultCode::Usage, where, "There is no \"=\" between what is varied and its values.", kExample);
  Axis axis;
  axis.key = trimmed(text.substr(0, equals));
  if (axis.key.empty()) return fault(FaultCode::Usage, where, "Nothing is named before the \"=\".", kExample);
  const std::string values = trimmed(text.substr(equals + 1));
  if (values.empty()) return fault(FaultCode::Usage, where, "No values are given after the \"=\".", kExample);
  const bool range = values.find(':') != std::string::npos;
  std::vector<double> numbers;
  for (const std::string& piece : split(values, range ? ':' : ',')) {
    const auto value = number(piece);
    if (!value) return fault(FaultCode::Usage, where, fmt::format("\"{}\" is not a number.", piece), kExample);
    numbers.push_back(*value);
  }
  if (!range) {
    axis.values = numbers;
    return axis;
  }
  if (numbers.size() != 3)
    return fault(FaultCode::Usage, where,
                 fmt::format("A range has three numbers (from, to, step); here are {}.", numbers.size()), kExample);
  const double from = numbers[0], to = numbers[1], step = numbers[2];
  if (step == 0.0) return fault(FaultCode::Usage, where, "The step is zero.", kExample);
  if ((to - from) * step < 0)
    return fault(FaultCode::Usage, where, fmt::format("Steps of {} from {} never get to {}.", step, from, to),
                 "Swap the ends, or turn the sign of the step.");
  const double count = std::floor((to - from) / step + 1e-6) + 1;
  if (count > static_cast<double>(kMostValues))
    return fault(FaultCode::Limit, where,
                 fmt::format("That is {:.0f} values; at most {} are taken.", count, kMostValues), "Take a wider step.");
  for (int k = 0; k < static_cast<int>(count); ++k) axis.values.push_back(rounded(from + k * step));
  return axis;
}

}  // namespace chipledger::vary
