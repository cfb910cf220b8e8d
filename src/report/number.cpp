#include <chipledger/report/number.hpp>

#include <array>
#include <charconv>
#include <cmath>

namespace chipledger::report {

namespace {

// Fixed notation of the largest double has 309 digits before the point.
constexpr std::size_t kDigitRoom = 400;

std::string withoutMinusZero(std::string text) {
  const bool zero = text.find_first_not_of("-0.") == std::string::npos;
  return zero && !text.empty() && text.front() == '-' ? text.substr(1) : text;
}

}  // namespace

std::string shortest(double value) {
  if (!std::isfinite(value)) return "null";
  if (value == 0) return "0";
  std::array<char, kDigitRoom> room{};
  const auto end = std::to_chars(room.data(), room.data() + room.size(), value);
  return {room.data(), end.ptr};
}

std::string fixed(double value, int decimals) {
  if (!std::isfinite(value)) return "?";
  std::array<char, kDigitRoom> room{};
  const auto end = std::to_chars(room.data(), room.data() + room.size(), value, std::chars_format::fixed, decimals);
  return withoutMinusZero({room.data(), end.ptr});
}

std::string trimmed(double value, int decimals) {
  std::string text = fixed(value, decimals);
  if (text.find('.') == std::string::npos) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return withoutMinusZero(text);
}

std::string withSign(double value, int decimals) {
  const std::string text = fixed(value, decimals);
  const bool zero = text.find_first_not_of("0.") == std::string::npos;
  return value > 0 && !zero ? "+" + text : text;
}

std::string moneyText(Money money) { return fixed(toUnits(money), 2); }

std::string moneyRounded(Money money) {
  const double units = toUnits(money);
  return fixed(units, std::abs(units) >= 100 ? 0 : 1);
}

std::string moneySigned(Money money) { return withSign(toUnits(money), 2); }
std::string mmText(Length length) { return trimmed(toMm(length)); }
std::string cm3Text(VolumeCount volume) { return fixed(mm3Of(volume) / 1000.0, 2); }
std::string minutesText(TimeCount time, int decimals) { return fixed(minutesOf(time), decimals); }

std::string percentText(double ratio) {
  const double percent = 100.0 * ratio;
  return fixed(percent, std::abs(percent) < 10 ? 1 : 0) + " %";
}

double mm3Of(VolumeCount volume) { return static_cast<double>(volume.um3) / 1e9; }
double minutesOf(TimeCount time) { return static_cast<double>(time.ns) / 60e9; }

}  // namespace chipledger::report
