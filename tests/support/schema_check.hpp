#pragma once
// A small checker for the part of JSON Schema that our own schema uses: type, enum, required, properties,
// additionalProperties: false, items, minItems, maxItems and $ref into #/$defs. Any other keyword that restricts is a
// fault of the schema, so that nothing is silently unchecked.
#include <nlohmann/json.hpp>

#include <set>
#include <string>
#include <vector>

namespace chipledger::support {

using Json = nlohmann::json;

inline bool hasType(const Json& value, const std::string& type) {
  if (type == "object") return value.is_object();
  if (type == "array") return value.is_array();
  if (type == "string") return value.is_string();
  if (type == "boolean") return value.is_boolean();
  if (type == "null") return value.is_null();
  // A number written without fraction ("2") is an integer and a number, as in the standard.
  if (type == "number") return value.is_number();
  if (type == "integer") return value.is_number_integer();
  return false;
}

inline void checkAgainst(const Json& value, const Json& schema, const Json& root, const std::string& place,
                         std::vector<std::string>& faults) {
  static const std::set<std::string> known{
      "$ref",     "type",        "enum",  "required", "properties", "additionalProperties", "items", "minItems",
      "maxItems", "description", "title", "$schema",  "$defs"};
  for (const auto& [keyword, ignored] : schema.items()) {
    if (known.count(keyword) == 0) faults.push_back("the schema uses " + keyword + ", which is not checked");
  }
  if (schema.contains("$ref")) {
    const std::string ref = schema["$ref"];
    const std::string name = ref.substr(ref.rfind('/') + 1);
    if (!root["$defs"].contains(name)) {
      faults.push_back("no definition " + ref);
      return;
    }
    checkAgainst(value, root["$defs"][name], root, place, faults);
    return;
  }
  if (schema.contains("type")) {
    const Json types = schema["type"].is_array() ? schema["type"] : Json::array({schema["type"]});
    bool any = false;
    for (const Json& type : types) any = any || hasType(value, type);
    if (!any) {
      faults.push_back(place + ": is " + value.type_name() + ", wanted " + types.dump());
      return;
    }
  }
  if (schema.contains("enum")) {
    bool any = false;
    for (const Json& allowed : schema["enum"]) any = any || allowed == value;
    if (!any) faults.push_back(place + ": " + value.dump() + " is not one of " + schema["enum"].dump());
  }
  if (value.is_object()) {
    if (schema.contains("required")) {
      for (const Json& key : schema["required"]) {
        if (!value.contains(key.get<std::string>())) faults.push_back(place + ": lacks " + key.get<std::string>());
      }
    }
    const Json properties = schema.value("properties", Json::object());
    for (const auto& [key, member] : value.items()) {
      if (properties.contains(key)) {
        checkAgainst(member, properties[key], root, place + "." + key, faults);
      } else if (schema.contains("additionalProperties") && schema["additionalProperties"] == false) {
        faults.push_back(place + ": " + key + " is not in the schema");
      }
    }
  }
  if (value.is_array()) {
    if (schema.contains("minItems") && value.size() < schema["minItems"].get<std::size_t>())
      faults.push_back(place + ": too short");
    if (schema.contains("maxItems") && value.size() > schema["maxItems"].get<std::size_t>())
      faults.push_back(place + ": too long");
    if (schema.contains("items")) {
      for (std::size_t i = 0; i < value.size(); ++i) {
        checkAgainst(value[i], schema["items"], root, place + "[" + std::to_string(i) + "]", faults);
      }
    }
  }
}

/// Everything in `value` that the schema forbids; empty when it fits.
inline std::vector<std::string> schemaFaults(const Json& value, const Json& schema) {
  std::vector<std::string> faults;
  checkAgainst(value, schema, schema, "$", faults);
  return faults;
}

}  // namespace chipledger::support
