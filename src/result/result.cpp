#include <chipledger/result/result.hpp>

namespace chipledger {

std::string sentence(const Fault& fault) {
  std::string text = fault.where.empty() ? fault.what : fault.where + ": " + fault.what;
  if (!fault.next.empty()) text += " " + fault.next;
  return text;
}

int exitCode(FaultCode code) {
  switch (code) {
    case FaultCode::Internal: return 1;
    case FaultCode::Usage: return 2;
    case FaultCode::BadFile: return 3;
    case FaultCode::Limit: return 5;
  }
  return 1;
}

}  // namespace chipledger
