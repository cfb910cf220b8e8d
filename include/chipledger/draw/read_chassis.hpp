#pragma once
// Reads a chassis file (TOML). Its keys carry their unit: height_mm, length_in, angle_deg; a dimension may be a number
// or a text with an expression over the values named in [let]: height_mm = "plate_step - body - 0.9".
#include <chipledger/draw/chassis.hpp>
#include <chipledger/result/result.hpp>

#include <string>
#include <string_view>

namespace chipledger::draw {

/// Fails: BadFile with "file:line" for a syntax error, an unknown key, a wrong type, a value that cannot be, an
/// expression that cannot be worked out.
Result<Chassis> readChassis(const std::string& path);
Result<Chassis> readChassisText(std::string_view text, const std::string& name);

}  // namespace chipledger::draw
