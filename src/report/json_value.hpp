#pragma once
// JSON values shared by the JSON renderers, and the writer.
#include <chipledger/detail/detail.hpp>
#include <chipledger/geometry/vec.hpp>
#include <chipledger/part/part.hpp>
#include <chipledger/result/result.hpp>

#include <nlohmann/json.hpp>
#include <string>

namespace chipledger::report {

using Json = nlohmann::ordered_json;

/// Two blanks a level; arrays of plain numbers on one line. Text that is not UTF-8 is mended with U+FFFD.
std::string written(const Json& value);

Json jsonOf(Vec3 v);
Json jsonOf(const Frame& frame);  ///< 16 numbers, row-major
Json jsonOf(const detail::Dimensions& dimensions);
Json jsonOf(const std::vector<part::FaceId>& faces);
Json jsonOf(const std::vector<detail::Question>& questions);
Json jsonOf(const Notes& notes);
Json faceNames(const part::Body& body);
/// Names joined by '-' become one JSON value: "lock cut" -> "lock-cut".
std::string slug(std::string words);

}  // namespace chipledger::report
