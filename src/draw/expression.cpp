#include "expression.hpp"

#include <muParser.h>

#include <cmath>

namespace chipledger::draw {

tl::expected<double, std::string> evaluate(const std::string& expression, const NamedValues& values) {
  try {
    mu::Parser parser;
    for (const auto& [name, value] : values) parser.DefineConst(name, value);
    parser.SetExpr(expression);
    const double value = parser.Eval();
    if (parser.GetNumResults() != 1) return tl::make_unexpected(std::string("it is more than one value"));
    if (!std::isfinite(value)) return tl::make_unexpected(std::string("it has no finite value"));
    return value;
  } catch (const mu::Parser::exception_type& e) {
    switch (e.GetCode()) {
      case mu::ecUNASSIGNABLE_TOKEN:
        return tl::make_unexpected("there is no value named \"" + e.GetToken() + "\" before it");
      case mu::ecUNEXPECTED_EOF:
        return tl::make_unexpected(std::string("it ends too early"));
      case mu::ecMISSING_PARENS:
        return tl::make_unexpected(std::string("a bracket is missing"));
      case mu::ecDIV_BY_ZERO:
        return tl::make_unexpected(std::string("it divides by zero"));
      default:
        return tl::make_unexpected("it cannot be understood at \"" + e.GetToken() + "\", character " +
                                   std::to_string(e.GetPos() + 1));
    }
  }
}

std::string nameFault(const std::string& name) {
  try {
    mu::Parser parser;
    parser.DefineConst(name, 1.0);
    parser.SetExpr(name);
    if (parser.Eval() == 1.0) return {};
  } catch (const mu::Parser::exception_type&) {
  }
  return "a value cannot be named \"" + name + "\"";
}

}  // namespace chipledger::draw
