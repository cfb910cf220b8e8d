#include "report/json_value.hpp"

#include <chipledger/report/number.hpp>

#include <algorithm>

namespace chipledger::report {

namespace {

constexpr std::size_t kIndent = 2;

void write(const Json& value, std::size_t depth, std::string& out) {
  const std::string inner((depth + 1) * kIndent, ' '), outer(depth * kIndent, ' ');
  switch (value.type()) {
    case Json::value_t::number_float:
      out += shortest(value.get<double>());
      return;
    case Json::value_t::object: {
      if (value.empty()) {
        out += "{}";
        return;
      }
      out += "{\n";
      bool first = true;
      for (const auto& [key, member] : value.items()) {
        out += (first ? "" : ",\n") + inner + Json(key).dump() + ": ";
        write(member, depth + 1, out);
        first = false;
      }
      out += '\n' + outer + '}';
      return;
    }
    case Json::value_t::array: {
      const bool flat = std::all_of(value.begin(), value.end(), [](const Json& v) { return v.is_primitive(); });
      out += '[';
      bool first = true;
      for (const Json& element : value) {
        out += flat ? (first ? "" : ", ") : (first ? "\n" : ",\n") + inner;
        write(element, depth + 1, out);
        first = false;
      }
      if (!flat) out += '\n' + outer;
      out += ']';
      return;
    }
    default:
      out += value.dump(-1, ' ', false, Json::error_handler_t::replace);
      return;
  }
}

const char* severityWord(NoteSeverity severity) {
  switch (severity) {
    case NoteSeverity::Info:
      return "info";
    case NoteSeverity::Doubt:
      return "doubt";
    case NoteSeverity::LeftOut:
      return "left-out";
  }
  return "info";
}

}  // namespace

std::string written(const Json& value) {
  std::string out;
  write(value, 0, out);
  return out + '\n';
}

Json jsonOf(Vec3 v) { return Json::array({v.x, v.y, v.z}); }

Json jsonOf(const Frame& frame) {
  Json out = Json::array();
  for (const double v : frame.matrix()) out.push_back(v);
  return out;
}

Json jsonOf(const detail::Dimensions& d) {
  Json out = Json::object();
  const auto length = [&](const char* key, const std::optional<Length>& value) {
    if (value) out[key] = toMm(*value);
  };
  length("height_mm", d.height);
  length("depth_mm", d.depth);
  length("diameter_mm", d.diameter);
  length("length_mm", d.length);
  length("width_mm", d.width);
  length("corner_radius_mm", d.cornerRadius);
  length("root_radius_mm", d.rootRadius);
  length("thickness_mm", d.thickness);
  length("gap_mm", d.gap);
  length("counter_diameter_mm", d.counterDiameter);
  length("counter_depth_mm", d.counterDepth);
  if (d.angle) out["angle_deg"] = toDegrees(*d.angle);
  if (d.centre) out["centre_mm"] = jsonOf(*d.centre);
  return out;
}

Json jsonOf(const std::vector<part::FaceId>& faces) {
  Json out = Json::array();
  for (const part::FaceId& face : faces) out.push_back(face.index);
  return out;
}

Json jsonOf(const std::vector<detail::Question>& questions) {
  Json out = Json::array();
  for (const detail::Question& q : questions) {
    out.push_back(Json{{"key", q.key}, {"about", q.about}, {"question", q.question}, {"assumed", q.assumed}});
  }
  return out;
}

Json jsonOf(const Notes& notes) {
  Json out = Json::array();
  for (const Note& n : notes) {
    out.push_back(Json{{"code", n.code}, {"text", n.text}, {"about", n.about}, {"severity", severityWord(n.severity)}});
  }
  return out;
}

Json faceNames(const part::Body& body) {
  Json out = Json::array();
  for (const part::Face& face : body.faces) out.push_back(face.name);
  return out;
}

std::string slug(std::string words) {
  std::replace(words.begin(), words.end(), ' ', '-');
  return words;
}

}  // namespace chipledger::report
